"""``breadline export``: all of a book, in open forms."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from breadline.cli.keeping import progress
from breadline.cli.printed import say, shown
from breadline.errors import RecordError
from breadline.jobs.export import FORMS, Form, taken_out, taken_out_document
from breadline.records.address import book_at, typed


def run(book: str, target: Path, form: str, as_json: bool) -> None:
    """Take a book out and say where it lies."""
    known: dict[str, Form] = {name: name for name in FORMS}
    if form not in known:
        raise RecordError("--as", f"“{form}” is not known", ", ".join(FORMS))
    with progress("Taking the book out …") as step:
        done = taken_out(book_at(book), target, known[form], datetime.now(UTC), step)
    if as_json:
        shown(taken_out_document(done))
        return
    what = "yards" if done.form == "geojson" else "records, corrected and withdrawn ones too"
    say(f"Taken out: {done.records:,} {what}, to {done.target}.")
    if done.form == "json":
        say(f"The same book again, anywhere: breadline import NEW_BOOK {typed(done.target)}")
