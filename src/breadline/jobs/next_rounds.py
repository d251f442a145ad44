"""The round of each yard that comes next, out of the plans in force."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_done import NEAR, RoundKept
from breadline.language import say, say_counted
from breadline.need.words import counted, day
from breadline.records import plans
from breadline.records.address import BookAt
from breadline.records.engine import looking


class NextRounds(RoundsBook):
    """A book as its list of yards asks it: what is fed next."""

    def ahead(self) -> dict[str, list[tuple[date, float]]]:
        """Day and grams a colony of each round from today on, by yard; of plans in force alone. [g]"""
        found: dict[str, list[tuple[date, float]]] = {}
        with looking(self._engine) as session:
            for yard, on, grams in plans.rounds_from(session, self.today):
                found.setdefault(str(yard), []).append((on, grams))
        return found


def next_rounds(path: BookAt, today: date) -> dict[str, tuple[date, float]]:
    """By yard, day and grams a colony of the next round that was not given yet. [g]

    A round may be given some days early; whether it was is asked only where it is that near.
    """
    book, first = NextRounds(path, today), {}
    for yard, rounds in book.ahead().items():
        left = rounds if rounds[0][0] - today > timedelta(days=NEAR) else _not_given(book, yard)
        if left:
            first[yard] = left[0]
    return first


def _not_given(book: RoundsBook, yard: str) -> list[tuple[date, float]]:
    kept = book.plan(yard)
    rounds: tuple[RoundKept, ...] = () if kept is None else kept.rounds
    return [(one.on, one.grams) for one in rounds if one.on >= book.today and one.given is None]


def rounds_sentence(plans_of: Mapping[str, str], coming: Mapping[str, date], yards: int, today: date) -> str:
    """What the list of plans says first.

    Parameters
    ----------
    plans_of
        Names of the yards with a plan in force, by key.
    coming
        Day of the next round of those that have one, by key.
    yards
        How many yards there are.
    """
    if not plans_of:
        return say("No yard has a plan in force yet.")
    have = say_counted(
        "{n} of {yards} has a plan in force", "{n} of {yards} have a plan in force", len(plans_of),
        yards=counted(yards, "yard"),
    )  # fmt: skip
    if not coming:
        return say("{have}; no round lies ahead.", have=have)
    on = min(coming.values())
    at = [name for key, name in plans_of.items() if coming.get(key) == on]
    where = at[0] if len(at) == 1 else counted(len(at), "yard")
    return say("{have}; the next round is on {day}, in {where}.", have=have, day=day(on, today), where=where)
