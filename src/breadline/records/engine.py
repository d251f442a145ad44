"""Opens the book: a SQLite file or a PostgreSQL database, by the same code from here on."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from sqlalchemy import Engine
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.going_on import still_wanted
from breadline.language import say
from breadline.records import sqlite
from breadline.records.address import BookAt, OnServer, book_at
from breadline.records.contents import copied_to, reading_file, shape_of, where_it_can_be_read
from breadline.records.database import database_at, database_of
from breadline.records.log_file import LogEnd, log_end, refuse_damaged_log
from breadline.records.shape import bring_up, known_shapes
from breadline.records.sqlite import engine_that_reads

_LOOKED_AT: set[Path] = set()  # files whose log was looked at: a program opens its book for each page


def open_book(at: BookAt | str) -> Engine:
    """The book at ``at``, made if it is not there, brought to this version's shape.

    ``at`` is the path of a SQLite file or the address of a PostgreSQL database, such as
    ``postgresql://anna@server.example/bees``; the database has to be there, its tables
    are made. A file in an older shape is copied beside itself first, as
    ``<name>.before-<revision>.db``.

    Errors
    ------
    RecordError
        If it is no book of Breadline, was written by a newer version, is damaged, in its log too, or
        cannot be reached or written (read-only, full disk, no such folder or database,
        wrong password).
    """
    at = book_at(at)
    if isinstance(at, Path) and at not in _LOOKED_AT and at.is_file():
        refuse_damaged_log(at)  # opened to be written, its last entries would be gone for good
        _LOOKED_AT.add(at)
    return _brought_up(at)


def _brought_up(at: BookAt) -> Engine:
    engine = database_at(at).engine_of(at)
    try:
        bring_up(engine, at)
    except BaseException:
        engine.dispose()
        raise
    return engine


@contextmanager
def only_reading(at: BookAt, end: LogEnd | None = None) -> Iterator[Session]:
    """A session that reads a book and leaves a file of this version's shape as it is, byte for byte.

    It works where nothing can be written: on a full disk, in a folder that is read-only, and on what can
    be read beside a damaged log. A book in an older shape is opened as by :func:`open_book`, one with a
    damaged log in a copy. ``end`` is how a file's log ends, where somebody has looked.

    Errors
    ------
    RecordError
        As :func:`open_book`.
    """
    if isinstance(at, Path):
        end = end or log_end(at)
        with where_it_can_be_read(at, end) as place:
            if _in_shape(place):
                with looking(engine_that_reads(place)) as session:
                    yield session
                return
    with _beside_its_log(at, end) as place:
        engine = _brought_up(place)
        with looking(engine) as session:
            yield session
        shut_book(engine)


@contextmanager
def _beside_its_log(at: BookAt, end: LogEnd | None) -> Iterator[BookAt]:
    """A book itself, or a copy of it where what still holds in a damaged log would go with the opening."""
    if not isinstance(at, Path) or end is None or not end.damaged:
        yield at
        return
    with TemporaryDirectory(prefix="breadline-") as folder:
        yield copied_to(Path(folder), at)


def _in_shape(at: Path) -> bool:
    with reading_file(at) as connection:
        return shape_of(connection) == known_shapes()[0]


def shut_book(engine: Engine) -> None:
    """Let go of a book; the next to open it need not wait longer for that."""
    database_of(engine).shut(engine)


def shut_all_books() -> None:
    """Let go of every book that this program opened; a file's log is brought into the file.

    A book on a server needs nothing: what is answered "stored" is in it.
    """
    sqlite.shut_all()


def is_there(at: BookAt) -> bool:
    """Whether there is something to open, so that a mistyped name does not begin a new book.

    Errors
    ------
    RecordError
        If a server cannot be reached or does not let us in.
    """
    return database_at(at).is_there(at)


@contextmanager
def writing(engine: Engine) -> Iterator[Session]:
    """A session that holds the pen from its start and saves at its end, or saves nothing.

    There is one pen for each book, and whoever holds it sees all that was saved before.
    On SQLite it is ``BEGIN IMMEDIATE``, asked for in turn. On PostgreSQL it is an advisory lock of the
    transaction, taken before anything is read, and not the isolation level
    "serializable": that lets several write at once and then refuses some of them at
    the end, who would have to do it all again; what is written here follows from what
    a person was shown and cannot be done again unseen. A lock of a table would do as
    well, but would stand in the way of the server's own upkeep. Writes take
    milliseconds and one yard has few writers, so to wait costs nothing. A program
    that does not ask for the pen still meets the guards, keys and unique entries.

    Work that somebody left before its end saves nothing (``going_on``).

    Its rows stay readable afterwards: no row of the book ever changes, so none grows stale.
    """
    database = database_of(engine)
    pen = engine.execution_options(**database.WRITING)
    with database.turn(engine), Session(pen, expire_on_commit=False) as session, session.begin():
        yield session
        still_wanted()


@contextmanager
def looking(engine: Engine) -> Iterator[Session]:
    """A session for reading; all it reads is as of one moment, and nothing is saved."""
    with Session(engine.execution_options(**database_of(engine).LOOKING)) as session:
        yield session


def checked(engine: Engine) -> None:
    """Ask whether the book is whole, every key points at a row and every guard stands.

    Errors
    ------
    RecordError
        If not, with what the database says.
    """
    database = database_of(engine)
    with engine.connect() as connection:
        said = [*database.faults(connection), *database.loose_keys(connection)]
    if said:
        what = "; ".join(said[:5])
        raise RecordError(
            place(engine), say("the book is damaged ({what})", what=what), do=say(database.GO_BACK)
        )


def place(engine: Engine) -> str:
    """Where an open book lies, without a password."""
    if engine.dialect.name == "postgresql":
        return str(OnServer(engine.url))
    return str(Path(engine.url.database or ""))
