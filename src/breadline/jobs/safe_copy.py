"""A book copied out, and brought back from a copy."""

from __future__ import annotations

from contextlib import suppress
from datetime import date
from pathlib import Path
from typing import Any

from breadline.errors import RecordError
from breadline.language import say
from breadline.records.address import BookAt
from breadline.records.brought import keep_copy
from breadline.records.copies import Copied, Progress, copied, refuse_newer
from breadline.records.engine import open_book, shut_book, writing
from breadline.records.shape import known_shapes


def backed_up(book: BookAt, copy: Path | None, today: date, progress: Progress | None = None) -> Copied:
    """A copy of a book, read back record by record; beside the book where no place is named.

    Errors
    ------
    RecordError
        If it cannot be made, with the reason; then there is no copy.
    """
    file = _a_file(book)
    refuse_newer(file)
    done = copied(file, copy or free_name(file, today), progress)
    note_copy(done, str(done.copy.resolve()))
    return done


def download_of(book: BookAt, place: Path) -> Copied:
    """A copy of a book that is sent away from there, read back; the book knows of it.

    Errors
    ------
    RecordError
        If it cannot be made, or the book lies in a database.
    """
    refuse_newer(_a_file(book))
    done = copied(_a_file(book), place)
    note_copy(done, "")
    return done


def _a_file(book: BookAt) -> Path:
    if not isinstance(book, Path):
        raise RecordError(
            str(book), say("a book in a database is not copied by this program"), say("a book in a file"),
            say("Back it up with pg_dump, or take everything out: breadline export BOOK all.json --as json"),
        )  # fmt: skip
    return book


def note_copy(done: Copied, to: str) -> None:
    """Let the book know of a copy, where it may be written and is in this version's shape."""
    head, _ = known_shapes()
    if done.shape != head:
        return  # opening it would change its shape, and nobody asked for that
    with suppress(RecordError):
        engine = open_book(done.source)
        with writing(engine) as session:
            keep_copy(session, to, done.contents.sha256, done.contents.records)
        shut_book(engine)


def restored(copy: Path, book: BookAt, progress: Progress | None = None) -> Copied:
    """A new book from a copy, read back record by record; the copy stays.

    Errors
    ------
    RecordError
        If a book stands there, or the copy is half-written, damaged, of a newer version or no book.
    """
    refuse_newer(copy)
    return copied(copy, _a_file(book), progress)


def free_name(book: Path, today: date) -> Path:
    """The name of a copy beside a book: with the day, and a number where that is taken."""
    plain, number = book.with_name(f"{book.stem}.copy-{today.isoformat()}.db"), 1
    copy = plain
    while copy.exists():
        number += 1
        copy = plain.with_name(f"{plain.stem}-{number}.db")
    return copy


def copied_document(shape: str, done: Copied) -> dict[str, Any]:
    """What was copied, as one JSON object."""
    return {
        "shape": shape,
        "from": str(done.source.resolve()),
        "to": str(done.copy.resolve()),
        "bytes": done.size,
        "database_shape": done.shape,
        "records": done.contents.records,
        "tables": dict(done.contents.rows),
        "sha256": done.contents.sha256,
        "log_unfinished": done.log_unfinished,
    }


def megabytes(size: int) -> str:
    """A size as people say it."""
    return f"{size / 1e6:,.1f} MB" if size >= 100_000 else f"{size / 1e3:,.0f} kB"
