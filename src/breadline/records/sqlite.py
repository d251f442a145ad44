"""The book as one SQLite file: its settings, and the SQL that is SQLite's alone.

WAL and ``synchronous=FULL`` mean that what was saved is still there after the power went.
"""

from __future__ import annotations

import atexit
import sqlite3
import time
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager, suppress
from functools import cache, lru_cache
from pathlib import Path
from typing import Any
from uuid import UUID
from weakref import WeakSet

from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.engine.interfaces import ExceptionContext
from sqlalchemy.pool import NullPool

from breadline.errors import RecordError
from breadline.language import noted, say
from breadline.records.address import may_be_a_book
from breadline.records.append_only import Base
from breadline.records.contents import contents, only_reads
from breadline.records.copy_digest import keep_digest
from breadline.records.refusals import in_plain_words
from breadline.records.turns import Turns

BUSY_MS = 10_000  # how long a second program waits for the first to have written [ms]
CACHE_KB = (
    65_536  # of the file at hand, so that a large sheet is not written out and read back as it comes in
)
FOLD_S = 2.0  # how long the end of a program waits for others that read its book [s]
TURN_MS = 60_000  # how long a thread waits for others of its program [ms]
GO_BACK = noted("Keep this file as it is and go back to your last copy")
LOOKING: Mapping[str, Any] = {}
WRITING: Mapping[str, Any] = {"writes": True}
Stamp = dict[str, tuple[int, str]]  # of each table the number and key of its newest row
_OF = "SELECT DISTINCT new.yard_id FROM {} AS new"
_OF_PHONES = (
    "SELECT DISTINCT field_entry.yard_id FROM {} AS new JOIN field_entry ON field_entry.id = new.entry_id"
)
OF_YARDS = {
    "reading": "SELECT DISTINCT visit.yard_id FROM reading AS new JOIN visit ON visit.id = new.visit_id",
    **{table: _OF.format(table) for table in ("visit", "yard_fact", "bloom", "weather", "outlook", "plan")},
    **{table: _OF_PHONES.format(table) for table in ("field_answer", "field_reading")},
}
_OPEN: WeakSet[Engine] = WeakSet()
GUARDED = ("update", "delete", "replace")  # what a table's triggers refuse


def engine_of(at: Path) -> Engine:
    """The engine of the book at ``at``; none of its connections is to a file that stood there before.

    Errors
    ------
    RecordError
        If its folder is not there.
    """
    if not at.parent.is_dir():
        raise RecordError(
            str(at), say("its folder is not there"), say("a folder that exists"), say("Make it first")
        )
    engine = _engine(at.absolute())
    engine.dispose()
    return engine


def engine_that_reads(at: Path) -> Engine:
    """An engine that only reads the file at ``at`` and leaves it as it is, log, settings and all."""
    url = URL.create("sqlite", database=str(at))
    engine = create_engine(url, creator=lambda: only_reads(at), poolclass=NullPool)
    event.listen(engine, "begin", _begin)
    event.listen(engine, "handle_error", _say_it_plainly)
    return engine


def is_there(at: Path) -> bool:
    """Whether a file lies there."""
    return at.exists()


def shut(engine: Engine) -> None:
    """Close the file."""
    engine.dispose()


def refuse_unfit(connection: Connection, where: str) -> None:
    """Every SQLite file is fit: its text is Unicode."""


@contextmanager
def turn(engine: Engine) -> Iterator[None]:
    """Wait for the other threads of this program that want to write to the book.

    Errors
    ------
    RecordError
        If they take too long.
    """
    turns = _turns(str(engine.url.database))
    if not turns.take(TURN_MS / 1000):
        raise in_plain_words(str(engine.url.database), "is locked") or AssertionError("no words for a lock")
    try:
        yield
    finally:
        turns.pass_on()


@cache
def _turns(path: str) -> Turns:
    """One queue for each file."""
    return Turns()


@lru_cache(maxsize=32)
def _engine(path: Path) -> Engine:
    """One for each book, since it keeps what it has made of every question: a page asks some dozens."""
    engine = create_engine(URL.create("sqlite", database=str(path)), connect_args={"timeout": BUSY_MS / 1000})
    event.listen(engine, "connect", _set_up)
    event.listen(engine, "begin", _begin)
    event.listen(engine, "handle_error", _say_it_plainly)
    _OPEN.add(engine)
    return engine


@atexit.register
def shut_all() -> None:
    """Let go of every book at the end of the program: then its log goes into its one file."""
    for engine in list(_OPEN):
        engine.dispose()
        _fold_in(Path(engine.url.database or ""))


def _fold_in(at: Path) -> None:
    """Bring into a book's one file what its log still holds, where somebody else has it open too."""
    log = at.with_name(f"{at.name}-wal")
    with suppress(OSError, sqlite3.Error):  # who waits longer, or may not write, leaves it to the next
        if log.stat().st_size:
            there = f"{at.absolute().as_uri()}?mode=rw"
            with closing(sqlite3.connect(there, FOLD_S, uri=True)) as connection:
                connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()


def _set_up(raw: sqlite3.Connection, _: object) -> None:
    raw.isolation_level = None  # SQLAlchemy begins transactions, so that DDL is inside them too
    raw.execute(f"PRAGMA busy_timeout={BUSY_MS}").fetchall()
    tables = raw.execute("SELECT name FROM sqlite_master WHERE type = 'table'").fetchall()
    if may_be_a_book({name for (name,) in tables}):  # another program's file keeps its own settings
        _write_ahead(raw)
    for pragma in (
        "synchronous=FULL",
        "foreign_keys=ON",
        "recursive_triggers=ON",  # else INSERT OR REPLACE deletes past the triggers
        f"cache_size=-{CACHE_KB}",
    ):
        raw.execute(f"PRAGMA {pragma}").fetchall()


def _write_ahead(raw: sqlite3.Connection) -> None:
    """Switch to write-ahead logging; SQLite does not wait its turn for that by itself."""
    until = time.monotonic() + BUSY_MS / 1000
    while True:
        try:
            raw.execute("PRAGMA journal_mode=WAL").fetchall()
            return
        except sqlite3.OperationalError as busy:
            if "locked" not in str(busy) or time.monotonic() > until:
                raise
            time.sleep(0.02)


def _begin(connection: Connection) -> None:
    pen = connection.get_execution_options().get("writes", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if pen else "BEGIN")


def _say_it_plainly(context: ExceptionContext) -> None:
    engine = context.engine
    place = "book of records" if engine is None else str(engine.url.database)
    plain = in_plain_words(place, str(context.original_exception))
    if plain is not None:
        raise plain from context.original_exception


@contextmanager
def migrating(engine: Engine) -> Iterator[Connection]:
    """A connection of its own with foreign keys off, as rebuilding a table needs, and the pen held."""
    with engine.connect().execution_options(**WRITING) as connection:
        raw: Any = connection.connection.dbapi_connection
        raw.execute("PRAGMA foreign_keys=OFF")  # outside a transaction, else it does nothing
        try:
            yield connection
        finally:
            connection.rollback()
            raw.execute("PRAGMA foreign_keys=ON")


def keep_before(at: Path, revision: str) -> Path:
    """A whole copy of the book beside it, with what still stands in its log."""
    name = f"{at.stem}.before-{revision}"
    spare = at.with_name(f"{name}.db")
    number = 1
    while spare.exists():
        number += 1
        spare = at.with_name(f"{name}-{number}.db")
    try:
        with closing(sqlite3.connect(at)) as old, closing(sqlite3.connect(spare)) as new:
            old.backup(new)
            new.isolation_level = None
            new.execute("PRAGMA journal_mode=DELETE").fetchall()
            keep_digest(new, contents(new).sha256)
    except sqlite3.Error as error:
        plain = in_plain_words(str(spare), str(error))
        raise plain or RecordError(
            str(spare), say("the copy could not be written ({error})", error=error)
        ) from error
    return spare


def changed_since(connection: Connection, stamp: Stamp | None) -> tuple[Stamp, frozenset[UUID] | None]:
    """The newest row of each table that a yard's answer rests on; rows are only added, so it says all."""
    asked = " UNION ALL ".join(
        f"SELECT '{table}', rowid, id FROM {table} WHERE rowid = (SELECT max(rowid) FROM {table})"
        for table in (*OF_YARDS, "figure_edit")
    )
    here: Stamp = {table: (row, key) for table, row, key in connection.exec_driver_sql(asked)}
    if stamp is None:
        return here, None
    touched: set[UUID] = set()
    for table, newest in here.items():
        if newest == stamp.get(table):
            continue
        row, key = stamp.get(table, (0, None))
        same = connection.exec_driver_sql(f"SELECT id FROM {table} WHERE rowid = ?", (row,)).scalar()
        if table == "figure_edit" or same != key:  # all yards, or another file than before
            return here, None
        found = connection.exec_driver_sql(f"{OF_YARDS[table]} WHERE new.rowid > ?", (row,)).scalars().all()
        if None in found:
            return here, None
        touched |= {UUID(one) for one in found}
    return here, None if stamp.keys() - here.keys() else frozenset(touched)


def loose_keys(connection: Connection) -> list[str]:
    """The keys that point at no row, as SQLite names them."""
    return [str(tuple(row)) for row in connection.exec_driver_sql("PRAGMA foreign_key_check").all()]


def faults(connection: Connection) -> list[str]:
    """What SQLite finds wrong with the file, and which guards are gone."""
    said = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all()
    there = set(connection.exec_driver_sql("SELECT name FROM sqlite_master WHERE type = 'trigger'").scalars())
    wanted = [f"{table}_no_{verb}" for table in Base.metadata.tables for verb in GUARDED]
    gone = [f"the guard {name} is gone" for name in wanted if name not in there]
    return [*(line for line in said if line != "ok"), *gone]
