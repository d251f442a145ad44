"""The book in a database of a PostgreSQL server, and the SQL that is PostgreSQL's alone."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import AbstractContextManager, contextmanager, nullcontext
from functools import lru_cache
from importlib.util import find_spec
from typing import Any
from uuid import UUID

from sqlalchemy import Connection, Engine, create_engine, event, inspect, text
from sqlalchemy.engine.interfaces import ExceptionContext

from breadline.errors import RecordError
from breadline.language import noted, say
from breadline.records.address import OnServer
from breadline.records.append_only import Base
from breadline.records.refusals import of_server

BUSY_MS = 60_000  # how long a writer waits for those who asked for the pen before it [ms]
REACH_S = 10  # how long a server is waited for [s]
PEN = 0x62_72_65_61_64  # "bread": the number of the lock that is the pen of a book
GO_BACK = noted("Leave the database as it is and restore your last pg_dump into a new one")
# one moment's view for all questions of a reading, as a reading of a SQLite file has it
LOOKING: Mapping[str, Any] = {"isolation_level": "REPEATABLE READ"}
# each question sees what was saved before it, so whoever has waited for the pen sees it all
WRITING: Mapping[str, Any] = {"writes": True, "isolation_level": "READ COMMITTED"}
GUARDED = ("update", "delete", "truncate")  # what a table's triggers refuse

_TAKE_THE_PEN = text(
    "SELECT set_config('lock_timeout', :wait, true), "
    "CASE current_setting('synchronous_commit') WHEN 'off' "
    "THEN set_config('synchronous_commit', 'on', true) END, "
    "pg_advisory_xact_lock(:pen)"
)


def engine_of(at: OnServer) -> Engine:
    """The engine of the book there; its connections stay open from one request to the next.

    Errors
    ------
    RecordError
        If the driver is not installed.
    """
    if find_spec("psycopg") is None:
        raise RecordError(
            str(at),
            say("a book on PostgreSQL needs the package psycopg, which is not installed"),
            say('pip install "breadline[postgresql]"'),
        )
    return _engine(at)


def is_there(at: OnServer) -> bool:
    """Whether the database has any table."""
    with engine_of(at).connect() as connection:
        return bool(inspect(connection).get_table_names())


def shut(engine: Engine) -> None:
    """Nothing to do: the connections serve the next request."""


def turn(engine: Engine) -> AbstractContextManager[None]:
    """Nothing to wait for: the server gives the pen to whoever asked first."""
    return nullcontext()


def refuse_unfit(connection: Connection, where: str) -> None:
    """RecordError where the database cannot keep every letter."""
    coded = connection.exec_driver_sql("SHOW server_encoding").scalar()
    if coded != "UTF8":
        raise RecordError(
            where,
            say("this database keeps text as {coded}, which lacks letters that people write", coded=coded),
            say("one that keeps text as UTF8"),
            say("Make one with: createdb --encoding=UTF8 --template=template0 NAME"),
        )


@lru_cache(maxsize=32)
def _engine(at: OnServer) -> Engine:
    reach = {"client_encoding": "utf8", "connect_timeout": REACH_S, "application_name": "breadline"}
    own = {key: value for key, value in reach.items() if key not in at.url.query}
    engine = create_engine(at.url, connect_args=own, pool_pre_ping=True)
    event.listen(engine, "begin", _begin)
    event.listen(engine, "handle_error", _say_it_plainly)
    return engine


def _begin(connection: Connection) -> None:
    if connection.get_execution_options().get("writes", False):
        connection.execute(_TAKE_THE_PEN, {"wait": str(BUSY_MS), "pen": PEN})


def _say_it_plainly(context: ExceptionContext) -> None:
    if context.is_pre_ping or context.engine is None:
        return  # a connection that has died is replaced by a new one
    place = str(OnServer(context.engine.url))
    plain = of_server(place, context.original_exception, context)
    if plain is not None:
        raise plain from context.original_exception


@contextmanager
def migrating(engine: Engine) -> Iterator[Connection]:
    """A connection with the pen held; all of a migration, tables too, is one transaction."""
    with engine.connect().execution_options(**WRITING) as connection:
        try:
            yield connection
        finally:
            connection.rollback()


def keep_before(at: OnServer, revision: str) -> None:
    """No copy is made: a migration is kept whole or not at all, and a copy is ``pg_dump``'s to make.

    Breadline may reach a database from a machine that has neither the room nor the
    right to copy it; the guide says to dump it before a new version is installed.
    """


def changed_since(connection: Connection, stamp: str | None) -> tuple[str, frozenset[UUID] | None]:
    """What can be seen now, as the server says it: it changes with every write, to any book there."""
    here = str(connection.exec_driver_sql("SELECT pg_current_snapshot()").scalar())
    return here, frozenset() if here == stamp else None


def loose_keys(connection: Connection) -> list[str]:
    """The keys that point at no row; the server allows none unless somebody switched its checks off."""
    loose = []
    for (_, table), keys in inspect(connection).get_multi_foreign_keys().items():
        for key in keys:
            (column,), (other,), target = (
                key["constrained_columns"],
                key["referred_columns"],
                key["referred_table"],
            )
            found = connection.exec_driver_sql(
                f'SELECT id FROM "{table}" AS here WHERE "{column}" IS NOT NULL AND NOT EXISTS '
                f'(SELECT 1 FROM "{target}" WHERE "{other}" = here."{column}") LIMIT 5'
            )
            loose += [f"{table} {row}, {column}" for row in found.scalars()]
    return loose


def faults(connection: Connection) -> list[str]:
    """What cannot be read back, and which guards are gone or switched off.

    Every row is read whole, so a page that fails its checksum or a long value that
    is lost is met here.
    """
    asked = text(
        "SELECT tgname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid "
        "WHERE tgenabled = 'A' AND pg_table_is_visible(tgrelid) AND NOT tgisinternal"
    )
    there = set(connection.execute(asked).scalars())
    wanted = [f"{table}_no_{verb}" for table in Base.metadata.tables for verb in GUARDED]
    for table in Base.metadata.tables:
        connection.exec_driver_sql(f'SELECT sum(length(whole::text)) FROM "{table}" AS whole').scalar()
    return [f"the guard {name} is gone or switched off" for name in wanted if name not in there]
