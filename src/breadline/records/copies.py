"""A book copied out and brought back: never over another file, and read back before it counts.

SQLite's own SQL, as in ``engine.py``: its backup takes one moment of a book that is
being written to.
"""

from __future__ import annotations

import os
import sqlite3
import stat
from collections.abc import Callable
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from breadline.errors import RecordError
from breadline.language import say
from breadline.records.address import may_be_a_book, typed
from breadline.records.contents import (
    NO_BOOK,
    OTHER_COPY,
    Contents,
    contents,
    reading_file,
    refuse_half_written,
    shape_of,
    tables_of,
    unwhole,
)
from breadline.records.copy_digest import COPY_CHANGED, ONLY_COPY, keep_digest, kept_digest
from breadline.records.log_file import DAMAGED, SAVE_BOTH, log_end
from breadline.records.refusals import in_plain_words
from breadline.records.shape import known_shapes

Progress = Callable[[int, int], None]  # pages that are done, pages in all
PAGES = 2_000  # at a time
OWN = stat.S_IRUSR | stat.S_IWUSR  # a copy of a file that is kept read-only is written all the same


@dataclass(frozen=True)
class Copied:
    """A copy that was read back and holds what the original held at that moment."""

    source: Path
    copy: Path
    contents: Contents
    size: int  # [bytes]
    shape: str | None
    carried: bool = False  # whether the original was a copy with a digest of itself, which holds
    log_unfinished: bool = False  # whether the original's log ends in the middle of an entry


def copied(source: Path, copy: Path, progress: Progress | None = None) -> Copied:
    """Copy a book to a new file and read the copy back record by record.

    Until it was read back the copy lies beside its place as ``<name>.unfinished``; one that
    could not be finished is taken away.

    Errors
    ------
    RecordError
        If there is a file already, the source is no book, is damaged or half-written,
        the disk is full, or the copy does not hold what the source holds.
    """
    refuse_what_stands(copy)
    _refuse_old_log(copy)
    refuse_half_written(source)
    end = log_end(source)
    if end.damaged:
        raise RecordError(f"{source}-wal", say(DAMAGED), say("a whole log"), say(SAVE_BOTH))
    with reading_file(source) as original:
        refuse_no_book(source, original)
        unfinished = copy.with_name(f"{copy.name}.unfinished")
        _begun(unfinished)
        try:
            unfinished.chmod(stat.S_IMODE(source.stat().st_mode) | OWN)
            original.execute("BEGIN")  # one moment for the copy and for what is read back
            wanted = contents(original)
            carried = kept_digest(source, original)
            _refuse_changed(source, carried, wanted)
            _written(original, unfinished, progress, wanted)
            _read_back(source, unfinished, wanted)
            _put(unfinished, copy)
        finally:
            unfinished.unlink(missing_ok=True)
        size, shape = copy.stat().st_size, shape_of(original)
        return Copied(source, copy, wanted, size, shape, carried is not None, end.unfinished)


def refuse_newer(path: Path) -> None:
    """Refuse a copy that this version could not open.

    Errors
    ------
    RecordError
        If a newer version wrote it, or it is no book.
    """
    refuse_half_written(path)
    with reading_file(path) as connection:
        here = shape_of(connection)
    head, known = known_shapes()
    if here is not None and here not in known:
        raise RecordError(
            str(path),
            say("it was written by a newer version of Breadline (shape {here})", here=here),
            say("shape {head} or older", head=head),
            say("Install the newer version; nothing was changed in the file"),
        )


def refuse_what_stands(path: Path) -> None:
    """Refuse a place where a file stands, or where there is no folder.

    Errors
    ------
    RecordError
        If so: nothing is ever written over.
    """
    if not path.parent.is_dir():
        raise RecordError(
            str(path), say("its folder is not there"), say("a folder that exists"), say("Make it first")
        )
    if path.exists() or path.is_symlink():
        raise RecordError(
            str(path),
            say("there is a file of this name already"),
            say("a new name: nothing is written over"),
            say("Choose another name, or move the file away first"),
        )


def _refuse_old_log(copy: Path) -> None:
    """A log that another book left behind would be read into this one when it is opened."""
    for tail in ("-wal", "-journal", "-shm"):
        log = copy.with_name(copy.name + tail)
        if log.exists():
            raise RecordError(
                str(log),
                say("a book that lay here before has left its log behind"),
                say("a place with nothing of it"),
                say("Move it away together with the book it belongs to: its last entries may stand in it"),
            )


def refuse_no_book(path: Path, connection: sqlite3.Connection) -> None:
    """Refuse another program's database.

    Errors
    ------
    RecordError
        If it is one.
    """
    tables = set(tables_of(connection))
    if "operation" not in tables or not may_be_a_book(tables):
        raise RecordError(str(path), say(NO_BOOK), say("a book"), say("Check the path"))


def _begun(unfinished: Path) -> None:
    try:
        os.close(os.open(unfinished, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    except FileExistsError:
        raise RecordError(
            str(unfinished), say("another copy is being written here, or one broke off"),
            say("one copy at a time"), say("Wait for it, or move the unfinished file away"),
        ) from None  # fmt: skip
    except OSError as fault:
        raise RecordError(
            str(unfinished.parent),
            say("the copy cannot be written there ({strerror})", strerror=fault.strerror),
            say("a folder you may write to"),
            say("Choose another folder"),
        ) from fault


def _refuse_changed(source: Path, carried: str | None, wanted: Contents) -> None:
    if carried not in (None, wanted.sha256):
        raise RecordError(str(source), say(COPY_CHANGED), say("a copy as it was made"), say(ONLY_COPY))


def _written(
    original: sqlite3.Connection, unfinished: Path, progress: Progress | None, wanted: Contents
) -> None:
    def told(_: int, left: int, total: int) -> None:
        if progress is not None:
            progress(total - left, total)

    try:
        with closing(sqlite3.connect(unfinished, isolation_level=None)) as new:
            new.execute("PRAGMA synchronous=FULL").fetchall()
            original.backup(new, pages=PAGES, progress=told)
            new.execute("PRAGMA journal_mode=DELETE").fetchall()  # one file, no log beside it
            keep_digest(new, wanted.sha256)
    except sqlite3.Error as fault:
        raise _not_made(unfinished, str(fault)) from fault
    finally:
        for tail in ("-journal", "-wal", "-shm"):
            unfinished.with_name(unfinished.name + tail).unlink(missing_ok=True)


def _not_made(unfinished: Path, said: str) -> RecordError:
    folder = str(unfinished.parent)
    if "full" in said or "disk I/O error" in said:
        return RecordError(
            folder, say("the disk is full or refuses to be written: the copy was not made"),
            say("free space as large as the book"), say("Free some space, or name a file on another disk"),
        )  # fmt: skip
    return in_plain_words(folder, said) or RecordError(
        folder, say("the copy could not be written ({said})", said=said)
    )


def _read_back(source: Path, unfinished: Path, wanted: Contents) -> None:
    with reading_file(unfinished) as copy:
        wrong = unwhole(copy)
        found = None if wrong else contents(copy)
    if wrong:
        raise RecordError(
            str(source),
            say("it is damaged, and so would its copy be ({names})", names="; ".join(wrong[:3])),
            say("a whole book"),
            say("breadline verify {typed} says what is damaged and what to do", typed=typed(source)),
        )
    if found != wanted:
        raise RecordError(
            str(unfinished),
            say("the copy, read back, does not hold what the book holds"),
            say("an equal copy"),
            say("The copy was taken away. {other_copy}", other_copy=say(OTHER_COPY)),
        )


def _put(unfinished: Path, copy: Path) -> None:
    """The finished copy in its place, only where nothing stands, and written through to the disk."""
    with unfinished.open("rb+") as file:
        os.fsync(file.fileno())
    try:
        os.link(unfinished, copy)  # refuses what stands, which a rename would write over
    except FileExistsError:
        refuse_what_stands(copy)
        raise
    except OSError:  # a disk without links
        refuse_what_stands(copy)
        unfinished.rename(copy)
    if os.name == "posix":
        folder = os.open(copy.parent, os.O_RDONLY)
        os.fsync(folder)
        os.close(folder)
