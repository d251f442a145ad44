"""What a book's file holds, read back record by record: rows a table, and a digest over all of them.

It goes by the file alone and by no version of the tables, so that any two files can be held
against each other. SQLite's own SQL, as in ``engine.py`` and ``copies.py``.
"""

from __future__ import annotations

import hashlib
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory

from breadline.errors import RecordError
from breadline.language import noted, say
from breadline.records.file_head import head_of
from breadline.records.log_file import LogEnd, log_end
from breadline.records.refusals import in_plain_words

HEADER = b"SQLite format 3\0"
NO_RECORDS = frozenset({"alembic_version", "copy_made"})  # what the book notes of itself: shape, copies
COPY_DIGEST = "copy_digest"  # a table of copies alone; see copy_digest.py
NO_BOOK = noted("it is a database, but not a book of Breadline")
OTHER_COPY = noted("Take another copy; this file was left as it is")


@dataclass(frozen=True)
class Contents:
    """Rows of each table and the digest over them, in the order of their keys."""

    rows: tuple[tuple[str, int], ...]
    sha256: str

    @property
    def records(self) -> int:
        """All rows together, without what the book notes of itself: a copy and its book have as many."""
        return sum(count for table, count in self.rows if table not in NO_RECORDS)


@contextmanager
def reading_file(path: Path) -> Iterator[sqlite3.Connection]:
    """A connection that only reads; what the database refuses is said in plain words.

    Errors
    ------
    RecordError
        If the file is not there or cannot be read.
    """
    refuse_missing(path)
    try:
        with _opened(path) as connection:
            yield connection
    except sqlite3.Error as fault:
        plain = in_plain_words(str(path), str(fault))
        raise plain or RecordError(
            str(path), say("it cannot be read ({fault})", fault=fault), say("a whole book")
        ) from fault


def contents(connection: sqlite3.Connection) -> Contents:
    """Every row of every table read back."""
    counts, digest = [], hashlib.sha256()
    for table in tables_of(connection):
        columns = [row[1] for row in connection.execute(f'PRAGMA table_info("{table}")')]
        by = '"id"' if "id" in columns else "rowid"
        digest.update(repr((table, columns)).encode())
        count = 0
        for row in connection.execute(f'SELECT * FROM "{table}" ORDER BY {by}'):
            digest.update(repr(row).encode("utf-8", "surrogatepass"))
            count += 1
        counts.append((table, count))
    return Contents(tuple(counts), digest.hexdigest())


def tables_of(connection: sqlite3.Connection) -> list[str]:
    """The tables of a file by name; left out are the database's own, and what a copy says of itself."""
    wanted = "SELECT name FROM sqlite_master WHERE type = 'table' AND name NOT LIKE 'sqlite~_%' ESCAPE '~'"
    return sorted(name for (name,) in connection.execute(wanted) if name != COPY_DIGEST)


def not_text(connection: sqlite3.Connection) -> Iterator[tuple[str, int]]:
    """Tables and how many of their entries hold letters that are none: bytes that are no UTF-8."""
    for table in tables_of(connection):
        count, wrong = 0, _Letters()
        connection.text_factory = wrong
        for _ in connection.execute(f'SELECT * FROM "{table}"'):
            count += wrong.met
            wrong.met = False
        connection.text_factory = str
        if count:
            yield table, count


class _Letters:
    """Text as it is read; ``met`` where some of it was none."""

    met = False

    def __call__(self, told: bytes) -> str:
        try:
            return told.decode()
        except UnicodeDecodeError:
            self.met = True
            return told.decode(errors="replace")


def shape_of(connection: sqlite3.Connection) -> str | None:
    """The shape in which a book was written; None where there is none."""
    if "alembic_version" not in tables_of(connection):
        return None
    row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    return None if row is None else str(row[0])


def unwhole(connection: sqlite3.Connection) -> list[str]:
    """What the database finds wrong in its own file; empty where it is whole."""
    said = [str(line) for (line,) in connection.execute("PRAGMA integrity_check")]
    loose, mismatch = loose_keys(connection)
    return (
        [line for line in said if line != "ok"]
        + mismatch
        + [f"{table}: it names an entry of {parent} that is not there" for table, parent in loose]
    )


def loose_keys(connection: sqlite3.Connection) -> tuple[list[tuple[str, str]], list[str]]:
    """Table and table named, of entries that name one that is not there; and what cannot be asked."""
    try:
        rows = connection.execute("PRAGMA foreign_key_check").fetchall()
    except sqlite3.OperationalError as fault:  # a table that was made anew without its key
        if "mismatch" not in str(fault):
            raise
        return [], [str(fault)]
    return [(table, parent) for table, _, parent, _ in rows], []


def refuse_missing(path: Path) -> None:
    """Refuse a path where no file is.

    Errors
    ------
    RecordError
        If there is none.
    """
    if not path.is_file():
        raise RecordError(
            str(path), say("there is no such file"), say("a book or a copy of one"), say("Check the path")
        )


class HalfWritten(RecordError):
    """A file that is shorter than it says itself."""


def refuse_half_written(path: Path) -> None:
    """Refuse a file that is shorter than it says itself, or no database at all.

    Errors
    ------
    RecordError
        If it is not there, or with how much of it is there.
    """
    refuse_missing(path)
    size = path.stat().st_size
    head = head_of(path, 100)
    if not head:
        raise RecordError(
            str(path), say("the file is empty"), say("a book or a copy of one"), say(OTHER_COPY)
        )
    if not head.startswith(HEADER) or len(head) < 100:
        raise RecordError(
            str(path), say("it is not a book of Breadline"), say("a SQLite file"), say("Check the path")
        )
    page = int.from_bytes(head[16:18], "big")
    page = 65536 if page == 1 else page
    told = int.from_bytes(head[28:32], "big")
    if head[24:28] == head[92:96] and size < told * page:
        raise HalfWritten(
            str(path),
            say("it is half-written: {size:,} of {told:,} bytes are there", size=size, told=told * page),
            say("a whole file"),
            say(OTHER_COPY),
        )


LOGS = ("-wal", "-journal")  # beside a file; its last entries stand in the one, a broken write in the other


@contextmanager
def where_it_can_be_read(path: Path, end: LogEnd | None = None) -> Iterator[Path]:
    """The file itself, or a copy of it with its log where nothing can be written beside it, or shall not be.

    Who opens a damaged log leaves an index of what holds of it, as if that were all. ``end`` is how the
    log ends, where somebody has looked.

    Errors
    ------
    RecordError
        If the file is not there, or there is no room for the copy.
    """
    refuse_missing(path)
    if not _logs(path) or (not (end or log_end(path)).damaged and _opens(path)):
        yield path
        return
    with TemporaryDirectory(prefix="breadline-") as folder:
        yield copied_to(Path(folder), path)


_NO_ROOM = ("unable to open", "disk I/O error", "is full", "readonly")  # for what must stand beside a log


def _opens(path: Path) -> bool:
    try:
        with closing(_asked(path)):
            return True
    except sqlite3.Error as fault:
        return not any(sign in str(fault) for sign in _NO_ROOM)


def copied_to(folder: Path, path: Path) -> Path:
    """A file and its log in another folder, where the database may put them together."""
    aside = folder / path.name
    try:
        for one in (path, *_logs(path)):
            shutil.copyfile(one, folder / one.name)
    except OSError as fault:
        size = sum(one.stat().st_size for one in (path, *_logs(path)))
        raise RecordError(
            str(path),
            say(
                "nothing can be written beside it, and it could not be read elsewhere ({strerror})",
                strerror=fault.strerror,
            ),
            say("{size:,.0f} MB free in {parent}", size=size / 1000000.0, parent=folder.parent),
            say("Free some space, or copy it with its -wal file"),
        ) from fault
    return aside


def _logs(path: Path) -> list[Path]:
    beside = [path.with_name(path.name + tail) for tail in LOGS]
    return [one for one in beside if one.is_file() and one.stat().st_size]


@contextmanager
def _opened(path: Path) -> Iterator[sqlite3.Connection]:
    with where_it_can_be_read(path) as place, closing(only_reads(place)) as connection:
        yield connection


def only_reads(path: Path) -> sqlite3.Connection:
    """A connection that only reads. Where nothing can be written beside it, a file is taken as one that
    nobody writes to; one with a log has to be brought by :func:`where_it_can_be_read` first."""
    if _opens(path):
        return _asked(path)
    address = f"{path.absolute().as_uri()}?mode=ro&immutable=1"
    return sqlite3.connect(address, uri=True, isolation_level=None)


def _asked(path: Path) -> sqlite3.Connection:
    """A read-only connection to it that was seen to work."""
    connection = sqlite3.connect(f"{path.absolute().as_uri()}?mode=ro", uri=True, isolation_level=None)
    try:
        connection.execute("SELECT count(*) FROM sqlite_master").fetchone()
    except sqlite3.Error:
        connection.close()
        raise
    return connection
