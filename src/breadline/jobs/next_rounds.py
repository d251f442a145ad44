"""The round of each yard that comes next, out of the plans in force, and the one that is overdue."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from breadline.jobs.plan_kept import PlanKept
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_done import RoundKept
from breadline.language import say, say_counted
from breadline.measures import Units
from breadline.need.words import counted, day, short_day
from breadline.plan.cuts import mass_words
from breadline.plan.round_days import MOST_LATE, NEAR
from breadline.records import plans
from breadline.records.address import BookAt
from breadline.records.engine import looking


@dataclass(frozen=True)
class Coming:
    """How the rounds of a yard's plan stand on a day.

    Parameters
    ----------
    today
        That day.
    next
        The first from that day on of which nothing is written down: day, and grams a colony [g].
    due
        One whose day is past, or that is given in part, and that is still to be given.
    missed
        The one before the next, where it was not given and the next is nearer now.
    """

    today: date
    next: tuple[date, float] | None = None
    due: RoundKept | None = None
    missed: RoundKept | None = None

    def __bool__(self) -> bool:
        return bool(self.next or self.due)

    def words(self, units: Units) -> str:
        """As a line of the list has it: day and piece, and what is to be done about one that is due."""
        today = self.today
        said = [] if self.due is None else [_due_words(self.due, units, today)]
        if self.next is not None:
            on, piece = short_day(self.next[0], today), mass_words(self.next[1], units)
            said.append(say("next {day}, {piece}", day=on, piece=piece) if said else f"{on}, {piece}")
        if self.missed is not None:
            said.append(say("that of {day} is not written down", day=short_day(self.missed.on, today)))
        return "; ".join(said)


def _due_words(due: RoundKept, units: Units, today: date) -> str:
    on, piece = short_day(due.on, today), mass_words(due.grams, units)
    if due.missing:
        return say("{day}, {piece}: given for {hives} of {fed} hives", day=on, piece=piece,
                   hives=due.hives, fed=due.fed)  # fmt: skip
    return say("{day}, {piece}: overdue, give it or write down what was given", day=on, piece=piece)


class NextRounds(RoundsBook):
    """A book as its list of yards asks it: what is fed next."""

    def around(self) -> dict[str, list[tuple[date, float]]]:
        """Day and grams a colony of each round that may matter yet, by yard; of plans in force alone. [g]"""
        found: dict[str, list[tuple[date, float]]] = {}
        with looking(self._engine) as session:
            for yard, on, grams in plans.rounds_from(session, self.today - timedelta(days=2 * MOST_LATE)):
                found.setdefault(str(yard), []).append((on, grams))
        return found


def next_rounds(path: BookAt, today: date, held: Mapping[str, PlanKept] | None = None) -> dict[str, Coming]:
    """By yard, the next round that was not given yet, and the one that is overdue or given in part.

    A round may be given some days early or late; whether it was is asked only where it is that near. ``held``
    are the plans of the yards, where they are at hand.
    """
    book, found = NextRounds(path, today), {}
    around = book.around()
    far = {yard for yard, rounds in around.items() if rounds[0][0] - today > timedelta(days=NEAR)}
    held = book.plans(around.keys() - far) if held is None else held
    for yard, rounds in around.items():
        if yard in far:
            found[yard] = Coming(today, rounds[0])
        elif near := _coming(held.get(yard), today):
            found[yard] = near
    return found


def _coming(kept: PlanKept | None, today: date) -> Coming:
    """How a plan stands by what is written down of it; nothing where it is over."""
    if kept is None or kept.past(today):
        return Coming(today)
    left = [one for one in kept.rounds if one.share_left(today)]
    due = next((one for one in left if one.on < today or one.given is not None), None)
    ahead = next((one for one in left if one.on >= today and one.given is None), None)
    before = [one for one in kept.rounds if one.on < today and (ahead is None or one.on < ahead.on)]
    missed = before[-1] if ahead and before and due is None and before[-1].given is None else None
    return Coming(today, None if ahead is None else (ahead.on, ahead.grams), due, missed)


def rounds_sentence(
    plans_of: Mapping[str, str], coming: Mapping[str, Coming], yards: int, today: date
) -> str:
    """What the list of plans says first.

    Parameters
    ----------
    plans_of
        Names of the yards with a plan in force, by key.
    coming
        How the rounds of those stand that have one to give, by key.
    yards
        How many yards there are.
    """
    if not plans_of:
        return say("No yard has a plan in force yet.")
    have = say_counted(
        "{n} of {yards} has a plan in force", "{n} of {yards} have a plan in force", len(plans_of),
        yards=counted(yards, "yard"),
    )  # fmt: skip
    coming = {key: one for key, one in coming.items() if key in plans_of}
    ahead = {key: one.next[0] for key, one in coming.items() if one.next is not None}
    due = {key: one.due.on for key, one in coming.items() if one.due is not None}
    late = ""
    if due:
        late = " " + say("To give still: the round of {day}, in {where}.", day=day(min(due.values()), today),
                   where=_where(plans_of, due))  # fmt: skip
    if not ahead:
        return say("{have}; no round lies ahead.", have=have) + late
    where, on = _where(plans_of, ahead), day(min(ahead.values()), today)
    return say("{have}; the next round is on {day}, in {where}.", have=have, day=on, where=where) + late


def _where(plans_of: Mapping[str, str], days: Mapping[str, date]) -> str:
    """The yard of the first of those days, or how many have it."""
    at = [name for key, name in plans_of.items() if days.get(key) == min(days.values())]
    return at[0] if len(at) == 1 else counted(len(at), "yard")
