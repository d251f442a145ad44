"""``breadline rounds``: what the plan that a book keeps for a yard gives: its sheets, what is left of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial
from pathlib import Path

from breadline.errors import NoWeather, PlanError, RecordError
from breadline.jobs.book import AtHand
from breadline.jobs.check_hives import kept_back_in
from breadline.jobs.kept_back import Kept
from breadline.jobs.plan_kept import PlanKept
from breadline.jobs.rounds_as_kept import kept_paper
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_yard_paper import YardPaper
from breadline.jobs.yard_as_of import read_yard_as_of
from breadline.jobs.yards_named import key_named
from breadline.language import noted
from breadline.language import say as worded
from breadline.need.yard import Yard
from breadline.records.address import BookAt, typed
from breadline.records.engine import is_there

NOTHING_CHANGED = noted("Nothing it rests on changed since it was chosen.")


def there(book: BookAt) -> None:
    """Nothing, where the book is there; RecordError where it is not."""
    if not is_there(book):
        raise RecordError(
            str(book),
            worded("there is no such book"),
            worded("a book"),
            worded("breadline yards BOOK --add YARD.toml"),
        )


def yard_in(book: BookAt, yard: Yard) -> tuple[RoundsBook, str]:
    """The book on the yard's day, and the key of the yard in it; RecordError where either is not there."""
    there(book)
    of = RoundsBook(book, yard.today)
    key = _key_in(of, yard)
    if key is None:
        do = worded("breadline yards {book} --add YARD.toml --weather FILE puts it in", book=typed(book))
        raise RecordError(yard.name, worded("this yard is not in the book"), worded("a yard of the book"), do)
    return of, key


def _key_in(of: RoundsBook, yard: Yard) -> str | None:
    return key_named([(key, name) for key, name, _ in of.yard_ids()], yard.name)


def plan_kept(book: BookAt | None, yard: Yard) -> PlanKept | None:
    """The plan a book keeps for a yard; None without a book, without the yard in it, or without a plan."""
    if book is None:
        return None
    there(book)
    of = RoundsBook(book, yard.today)
    key = _key_in(of, yard)
    return None if key is None else of.plan(key)


def at_hand_there(book: BookAt | None, yard: Yard) -> AtHand | None:
    """The weather and the figures a book has for a yard; None without a book, the yard in it, or weather."""
    if book is None:
        return None
    there(book)
    of = RoundsBook(book, yard.today)
    key = _key_in(of, yard)
    try:
        return None if key is None else of.at_hand(key)
    except NoWeather:
        return None


def kept_back_there(book: BookAt | None, yard: Yard) -> tuple[Kept, ...]:
    """The hives that check groups of a book keep back in a yard; none without a book or the yard in it."""
    if book is None:
        return ()
    of = RoundsBook(book, yard.today)
    key = _key_in(of, yard)
    return () if key is None else kept_back_in(of, key)


@dataclass(frozen=True)
class ToPrint:
    """What is printed: of each yard its paper, what is said of it, what changed since, and the day."""

    yards: tuple[YardPaper, ...]
    today: date
    said: tuple[str, ...] = ()
    changed: tuple[tuple[str, str], ...] = ()


def papers_kept(book: BookAt | None, yards: Sequence[Path], today: date | None = None) -> ToPrint:
    """The sheets of the chosen plans, with what changed since they were chosen.

    Of the yards that are named by their files, else of every yard of the book with a plan; on ``today``, or
    where none is named on the day of each file.

    Errors
    ------
    PlanError, RecordError
        If no book is named, no plan was chosen, or a plan of an older book is not among those of today.
    """
    if book is None:
        raise PlanError(
            "--as-chosen",
            worded("no book is named"),
            worded("--book BOOK"),
            worded("Name the book the plan is kept in"),
        )
    there(book)
    found = [_named(book, path, today) for path in yards] if yards else _all(book, today)
    papers, said, changed = [], [], []
    for of, key, name, kept in found:
        changed.append((name, of.changed(key, kept)))
        again = partial(of.rounds, key, kept.asked, again=True)
        papers.append(kept_paper(of, key, kept, changed[-1][1], again))
        said.append(f"{name}: {kept.sentence}. {changed[-1][1] or worded(NOTHING_CHANGED)}")
    return ToPrint(tuple(papers), found[0][0].today, tuple(said), tuple(changed))


def day_named(text: str | None) -> date | None:
    """A day typed for ``--as-of``; None where none was."""
    try:
        return None if text is None else date.fromisoformat(text)
    except ValueError:
        raise PlanError(
            "--as-of", worded('"{text}" is no date', text=text), worded("year-month-day, such as 2026-01-20")
        ) from None


def _named(book: BookAt, path: Path, today: date | None) -> tuple[RoundsBook, str, str, PlanKept]:
    yard = read_yard_as_of(path, today)
    of, key = yard_in(book, yard)
    kept = of.plan(key)
    if kept is None:
        raise PlanError(yard.name, worded("no plan was chosen for it"), worded("a chosen plan"),
                        worded("breadline rounds plan … --book BOOK keeps one"))  # fmt: skip
    return of, key, yard.name, kept


def _all(book: BookAt, today: date | None) -> list[tuple[RoundsBook, str, str, PlanKept]]:
    of = RoundsBook(book, today)
    plans = of.plans()
    found = [(of, key, name, plans[key]) for key, name, _ in of.yard_ids() if key in plans]
    if not found:
        raise PlanError(str(book), worded("no plan was chosen for any of its yards"), worded("a chosen plan"),
                        worded("breadline rounds plan … --book BOOK keeps one"))  # fmt: skip
    return found
