"""Opens the book: one SQLite file, with the settings that keep what was saved.

With ``shape.py`` the only place with SQL that is SQLite's alone, but for the triggers of the
migrations; 0002 asks for the dialect first. WAL and ``synchronous=FULL`` mean that what
was saved is still there after the power went.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager
from functools import lru_cache
from pathlib import Path

from sqlalchemy import URL, Connection, Engine, create_engine, event
from sqlalchemy.engine.interfaces import ExceptionContext
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.records.refusals import in_plain_words
from breadline.records.shape import GO_BACK, bring_up, may_be_a_book

BUSY_MS = 10_000  # how long a second writer waits for the first [ms]


def open_book(path: Path | str) -> Engine:
    """The book at ``path``, made if it is not there, brought to this version's shape.

    A book in an older shape is copied beside itself first, as
    ``<name>.before-<revision>.db``.

    Errors
    ------
    RecordError
        If the file is no book of Breadline, was written by a newer version, is
        damaged, or cannot be written (read-only, full disk, no such folder).
    """
    path = Path(path)
    if not path.parent.is_dir():
        raise RecordError(str(path), "its folder is not there", "a folder that exists", "Make it first")
    engine = _engine(path.absolute())
    engine.dispose()  # none of its connections is to a file that stood here before
    try:
        bring_up(engine, path)
    except BaseException:
        engine.dispose()
        raise
    return engine


@contextmanager
def writing(engine: Engine) -> Iterator[Session]:
    """A session that holds the pen from its start and saves at its end, or saves nothing.

    Its rows stay readable afterwards: no row of the book ever changes, so none grows stale.
    """
    pen = engine.execution_options(writes=True)
    with Session(pen, expire_on_commit=False) as session, session.begin():
        yield session


@contextmanager
def looking(engine: Engine) -> Iterator[Session]:
    """A session for reading; nothing is saved."""
    with Session(engine) as session:
        yield session


def checked(engine: Engine) -> None:
    """Ask the database whether the file is whole and every key points at a row.

    Errors
    ------
    RecordError
        If it is not, with what the database says.
    """
    with engine.connect() as connection:
        said = connection.exec_driver_sql("PRAGMA integrity_check").scalars().all()
        loose = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
    if said != ["ok"] or loose:
        what = "; ".join(str(line) for line in [*said, *loose][:5])
        raise RecordError(str(engine.url.database), f"the book is damaged ({what})", do=GO_BACK)


@lru_cache(maxsize=32)
def _engine(path: Path) -> Engine:
    """One for each book, since it keeps what it has made of every question: a page asks some dozens."""
    engine = create_engine(URL.create("sqlite", database=str(path)), connect_args={"timeout": BUSY_MS / 1000})
    event.listen(engine, "connect", _set_up)
    event.listen(engine, "begin", _begin)
    event.listen(engine, "handle_error", _say_it_plainly)
    return engine


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
