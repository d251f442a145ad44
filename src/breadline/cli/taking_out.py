"""``breadline export``: all of a book, in open forms."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from breadline.cli.keeping import progress
from breadline.cli.printed import say, shown
from breadline.errors import RecordError
from breadline.jobs.export import FORMS, Form, taken_out, taken_out_document
from breadline.language import noted
from breadline.language import say as worded
from breadline.records.address import book_at, typed
from breadline.records.log_file import DAMAGED, UNFINISHED

HELD_AGAINST = noted(
    "Keep the book and its -wal file as they are, hold what was taken out against your last copy and enter "
    "again what is missing."
)


def run(book: str, target: Path, form: str, as_json: bool) -> None:
    """Take a book out and say where it lies."""
    known: dict[str, Form] = {name: name for name in FORMS}
    if form not in known:
        raise RecordError("--as", worded("“{form}” is not known", form=form), ", ".join(FORMS))
    with progress(worded("Taking the book out …")) as step:
        done = taken_out(book_at(book), target, known[form], datetime.now(UTC), step)
    if as_json:
        shown(taken_out_document(done))
        return
    named = {"n": done.records, "target": done.target}
    if done.form == "geojson":
        say(worded("Taken out: {n:,} yards, to {target}.", **named))
    else:
        say(worded("Taken out: {n:,} records, corrected and withdrawn ones too, to {target}.", **named))
    if done.form == "json":
        say(
            worded("The same book again, anywhere: breadline import NEW_BOOK {file}", file=typed(done.target))
        )
    if done.log.damaged:
        where = worded("{part}: {wrong}", part=f"{book}-wal", wrong=worded(DAMAGED))
        say(f"{where}.", worded(HELD_AGAINST))
    elif done.log.unfinished:
        say(worded(UNFINISHED))
