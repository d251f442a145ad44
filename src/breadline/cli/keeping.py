"""``breadline backup``, ``restore`` and ``verify``: a book kept safe."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path

from rich.console import Console
from rich.progress import Progress

from breadline.cli.printed import say, shown, told
from breadline.jobs.safe_copy import backed_up, copied_document, megabytes, restored
from breadline.language import say as worded
from breadline.records.address import book_at, typed
from breadline.records.copy_digest import NO_DIGEST
from breadline.records.log_file import UNFINISHED


@contextmanager
def progress(what: str) -> Iterator[Callable[[int, int], None]]:
    """A bar on standard error, that goes away when it is done."""
    with Progress(console=Console(stderr=True), transient=True) as bar:
        task = bar.add_task(what, total=None)

        def step(done: int, total: int) -> None:
            bar.update(task, completed=done, total=total)

        yield step


def backup(book: str, file: Path | None, as_json: bool) -> None:
    """Copy a book out, and say that the copy was read back."""
    with progress(worded("Copying the book and reading the copy back …")) as step:
        done = backed_up(book_at(book), file, date.today(), step)
    if as_json:
        shown(copied_document("breadline.backup/1", done))
        return
    say(
        worded(
            "Backed up: {copy} ({megabytes}) was read back and holds all {records:,} records of {book}.",
            copy=done.copy,
            megabytes=megabytes(done.size),
            records=done.contents.records,
            book=book,
        ),
        worded(
            "To go back to it: breadline restore {copy} NEW_BOOK. Keep it on another disk than the book.",
            copy=typed(done.copy),
        ),
        *([worded(UNFINISHED)] if done.log_unfinished else []),
    )


def restore(file: Path, book: str, as_json: bool) -> None:
    """Bring a book back from a copy."""
    with progress(worded("Bringing the book back and reading it …")) as step:
        done = restored(file, book_at(book), step)
    if as_json:
        carries = "digest" if done.carried else "no digest"
        shown(copied_document("breadline.restore/1", done) | {"copy_carries": carries})
        return
    say(
        worded(
            "Restored: {book} was read back and holds all {records:,} records of {file}.",
            book=book,
            records=done.contents.records,
            file=file,
        ),
        worded("It is what it was when the copy was made.") if done.carried else worded(NO_DIGEST),
        *([worded(UNFINISHED)] if done.log_unfinished else []),
        worded("Open it with: breadline serve {typed}", typed=typed(book)),
    )


def verify(book: str, as_json: bool) -> int:
    """Say whether a book is whole; 2 where it is not."""
    from breadline.jobs.verified import verified, verified_document

    with Console(stderr=True).status(worded("Reading every record …")):
        found = verified(book_at(book))
    if as_json:
        shown(verified_document(found))
        return 2 if found.findings else 0
    told([("bold", found.sentence)])
    for one in found.findings:
        told([("", f"- {one.where}: {one.what}."), ("", f"  {one.do}.")])
    return 2 if found.findings else 0
