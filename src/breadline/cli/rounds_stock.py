"""``breadline rounds``: visit, freezer and dry-feed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path

from breadline.cli.printed import shown, told
from breadline.cli.rounds_kept import there as there_is
from breadline.cli.rounds_kept import yard_in
from breadline.errors import RecordError, YardError
from breadline.jobs import freezer as stock
from breadline.jobs import rounds_dry_feed as dry
from breadline.jobs import rounds_visit as visits
from breadline.jobs.yard_file import read_yard
from breadline.plan.frozen_frames import Taken
from breadline.records.address import BookAt


def visit(yard_path: Path, typed: Mapping[str, str], as_json: bool) -> None:
    """Print what follows from a visit."""
    yard = read_yard(yard_path)
    found = visits.visit_answer(yard, visits.found_of(typed, yard.place.country))
    if as_json:
        shown(visits.visit_document(found))
        return
    told(visits.visit_lines(found))


def freezer(path: BookAt, typed: Mapping[str, str], today: str, as_json: bool) -> None:
    """Put in, set aside, take out, in this order; then print what lies there."""
    there_is(path)
    book = stock.FreezerBook(path, _day(today))
    said: list[str] = []
    taken: Taken | None = None
    if typed["frames"]:
        book.put(typed)
        said.append(f"Written down: {typed['frames']} from {typed['yard']}.")
    if typed["sick_yard"]:
        book.disease(typed)
        said.append(f"Set aside: all that lies there from {typed['sick_yard']}.")
    if typed["take"]:
        taken = book.take(typed)
        said += stock.taken_words(taken)
    found = book.told({"need_g": typed["need_g"], "freezer": typed["freezer"]})
    if as_json:
        shown(stock.freezer_document(found, taken))
        return
    told(stock.freezer_lines(found, said))


def dry_feed(
    yard_path: Path, typed: Mapping[str, str], days: Sequence[str], book: BookAt | None, as_json: bool
) -> None:
    """Print the plan of dry feed; where a book is named it is written down that it stands there."""
    yard = read_yard(yard_path)
    found = dry.dry_feed(yard, {**typed, **dry.days_typed(days)})
    if book is not None:
        there, key = yard_in(book, yard)
        there.keep_dry_feed(key, found.stood)
    if as_json:
        shown(dry.dry_feed_document(found, book is not None))
        return
    told(dry.dry_feed_lines(found, book is not None))


def no_dry_feed(yard_path: Path, book: BookAt | None, because: str, as_json: bool) -> None:
    """Take back that dry feed stood at a yard; what was written down stays in the file."""
    if book is None:
        raise RecordError(
            "--never-stood", "no book is named", "--book BOOK", "Name the book it was written in"
        )
    yard = read_yard(yard_path)
    there, key = yard_in(book, yard)
    there.no_dry_feed(key, because)
    said = f"Taken back: no dry feed stood at {yard.name}. Check groups may be drawn there again."
    if as_json:
        shown({"shape": dry.TAKEN_BACK, "yard": yard.name, "because": because, "sentence": said})
        return
    told([("bold", said)])


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text) if text else date.today()
    except ValueError:
        raise YardError("--today", f'"{text}" is no date', "year-month-day, such as 2026-02-10") from None
