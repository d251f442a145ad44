"""``breadline rounds``: visit, freezer and dry-feed."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from breadline.cli.printed import shown, told
from breadline.cli.rounds_kept import there as there_is
from breadline.cli.rounds_kept import yard_in
from breadline.errors import RecordError, TrialError, YardError
from breadline.jobs import freezer as stock
from breadline.jobs import rounds_dry_feed as dry
from breadline.jobs import rounds_visit as visits
from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.fed_since import would_feed
from breadline.jobs.trial_book import TrialsBook
from breadline.jobs.yard_file import read_yard
from breadline.knowledge.shelf import Shelf
from breadline.language import say as worded
from breadline.need.yard import Yard
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
    given: tuple[str, ...] = ()
    taken: Taken | None = None
    if typed["frames"]:
        book.put(typed)
        said.append(f"Written down: {typed['frames']} from {typed['yard']}.")
    if typed["sick_yard"]:
        book.disease(typed)
        given = book.given_words(typed["sick_yard"])
        said += [f"Set aside: all that lies there from {typed['sick_yard']}.", *given]
    if typed["take"]:
        taken = book.take(typed)
        said += stock.taken_words(taken)
    found = book.told({"need_g": typed["need_g"], "freezer": typed["freezer"]})
    if as_json:
        shown(stock.freezer_document(found, taken, given))
        return
    told(stock.freezer_lines(found, said))


@dataclass(frozen=True)
class Keeping:
    """Where it is written down that dry feed stands there; ``anyway`` though it spoils a locked trial."""

    book: BookAt | None = None
    anyway: bool = False


def dry_feed(
    yard_path: Path, typed: Mapping[str, str], days: Sequence[str], keeping: Keeping, as_json: bool
) -> None:
    """Print the plan of dry feed; where a book is named it is written down that it stands there."""
    yard = read_yard(yard_path)
    found = dry.dry_feed(yard, {**typed, **dry.days_typed(days)}, _figures(keeping.book, yard))
    spoils = _kept(found, keeping)
    kept = keeping.book is not None
    if as_json:
        shown(dry.dry_feed_document(found, kept, spoils))
        return
    told(dry.dry_feed_lines(found, kept, spoils))


def _figures(book: BookAt | None, yard: Yard) -> Shelf | None:
    """Those of the book in which it is written down, as its page goes by them; None without one."""
    if book is None:
        return None
    yard_in(book, yard)  # refused where the yard is not there
    return BeliefBook(book).shelf()


def _kept(found: dry.DryFeedTold, keeping: Keeping) -> tuple[str, ...]:
    """Write it down where a book is named; what it does to locked check groups.

    Errors
    ------
    TrialError
        If it would feed unfed colonies of one, and nobody said that it stands there all the same.
    """
    if keeping.book is None:
        return ()
    there, key = yard_in(keeping.book, found.yard)
    trials = TrialsBook(keeping.book, found.yard.today)
    spoils = would_feed(trials, found.plan.no_check_group, found.yard.place)
    if spoils and not keeping.anyway:
        raise TrialError(
            found.yard.name,
            " ".join(spoils),
            worded("dry feed out of its flight range, or feed in the hives"),
            worded("Nothing is written down. If it stands there all the same, --anyway writes it down"),
        )
    there.keep_dry_feed(key, found.stood)
    return spoils


def no_dry_feed(yard_path: Path, book: BookAt | None, because: str, as_json: bool) -> None:
    """Take back that dry feed stood at a yard; what was written down stays in the file."""
    if book is None:
        raise RecordError(
            "--never-stood",
            worded("no book is named"),
            worded("--book BOOK"),
            worded("Name the book it was written in"),
        )
    yard = read_yard(yard_path)
    there, key = yard_in(book, yard)
    there.no_dry_feed(key, because)
    said = worded(
        "Taken back: no dry feed stood at {name}. Check groups may be drawn there again.", name=yard.name
    )
    if as_json:
        shown({"shape": dry.TAKEN_BACK, "yard": yard.name, "because": because, "sentence": said})
        return
    told([("bold", said)])


def _day(text: str) -> date:
    try:
        return date.fromisoformat(text) if text else date.today()
    except ValueError:
        raise YardError(
            "--today", worded('"{text}" is no date', text=text), worded("year-month-day, such as 2026-02-10")
        ) from None
