"""From plans to trucks: each yard's rounds as visits, and the visits of a day in driving order as loads."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from itertools import pairwise
from math import ceil

from breadline.errors import PlanError
from breadline.language import say
from breadline.need.yard import Place
from breadline.plan.bands import Band
from breadline.plan.cuts import Patty
from breadline.plan.driving import Way, own_order, short_way
from breadline.plan.paper import MOST_YARDS, Load, RoundVisit
from breadline.plan.strength_classes import QUARTER, colonies_by_share, colonies_in, steps_of

LEAST_G = 1e-6  # of rounding [g]
A_ROUND_DAYS = 7  # within which the days of one round lie [d]
NO_PLACE = Place(0.0)  # of a yard that nobody placed; driven last


@dataclass(frozen=True)
class Drive:
    """How the yards are driven to: in the keeper's own order, else a short way from the shop."""

    own: tuple[str, ...] = ()  # names of yards
    shop: Place | None = None

    def way(self, visits: Sequence[RoundVisit]) -> Way | None:
        """The way of one day; None where neither order nor shop is known: then as they come.

        Errors: PlanError as in ``own_order`` and ``short_way``.
        """
        names = [visit.yard for visit in visits]
        if self.own:
            return own_order(names, [name for name in self.own if name in names])
        if self.shop is None:
            return None
        return short_way(self.shop, [visit.place or NO_PLACE for visit in visits])


AS_THEY_COME = Drive()


def round_visits(
    yard: RoundVisit,
    bands: Sequence[Band],
    pieces: Sequence[tuple[date, float]],
    patties: Sequence[Patty] = (),
) -> tuple[RoundVisit, ...]:
    """A yard's visits, one for each piece of its plan.

    Parameters
    ----------
    yard
        The yard as any of its visits; round, day, classes and counts are the plan's.
    bands
        The classes that the search chose, with the share of colonies in each.
    pieces
        Day and full piece of each round [g]. It is cut down to a piece that people cut.
    patties
        What each of them is cut from, where that is not the yard's own in all of them.

    Errors
    ------
    PlanError
        If days do not follow each other, or a piece is less than a quarter patty.
    """
    if any(later[0] <= earlier[0] for earlier, later in pairwise(pieces)):
        raise PlanError(
            f"rounds at {yard.yard}", say("their days do not follow each other"), say("one after the other")
        )
    visits = []
    of = tuple(patties) or (yard.patty,) * len(pieces)
    for number, ((on, grams), patty) in enumerate(zip(pieces, of, strict=True), start=1):
        if grams < patty.mass_g / QUARTER - LEAST_G:
            raise PlanError(
                f"round {number} at {yard.yard}",
                say("{grams:g} g is less than a quarter patty", grams=grams),
                say("{mass_g:g} g or more", mass_g=patty.mass_g / QUARTER),
                say("Name a smaller patty"),
            )
        steps = steps_of(bands, grams, patty)
        counts = colonies_by_share(steps, bands, yard.colonies)
        visits.append(replace(yard, round=number, on=on, steps=steps, counts=counts, patty=patty))
    return tuple(visits)


def truck_days(
    visits: Sequence[RoundVisit],
    spare: float,
    drive: Drive = AS_THEY_COME,
    most_yards: int = MOST_YARDS,
    note: str = "",
) -> tuple[Load, ...]:
    """All visits of all yards as loads: by day, feed and patty, in driving order.

    Rounds are those of the trucks: see ``rounds_of_trucks``. Sheets of a day are filled evenly, so that a
    ninth yard does not stand on a page of its own.

    Parameters
    ----------
    visits
        In any order; a yard may come once a day.
    spare
        What is loaded on top. [share]
    drive
        The driving order.
    most_yards
        On one sheet.
    note
        Stands at the foot of each sheet.
    """
    units = visits[0].patty.units if visits else "lb"
    numbered = rounds_of_trucks(visits)
    rounds = max((visit.round for visit in numbered), default=0)
    loads: list[Load] = []
    own = _own_rounds(visits)
    for key in sorted({_truck(visit) for visit in numbered}):
        yards = [visit for visit in numbered if _truck(visit) == key]
        way = drive.way(yards)
        if way is not None:
            yards = [yards[i] for i in way.order]
        parts = ceil(len(yards) / most_yards)
        ends = [len(yards) * part // parts for part in range(parts + 1)]
        loads += [
            Load(tuple(yards[a:b]), spare, rounds, way.sentence(units) if way else "", part, parts, note,
                 tuple(own[one.yard, one.on] for one in yards[a:b]))
            for part, (a, b) in enumerate(pairwise(ends), start=1)
        ]  # fmt: skip
    return tuple(loads)


def _own_rounds(visits: Sequence[RoundVisit]) -> dict[tuple[str, date], tuple[int, int]]:
    """Which round of its own yard each visit is, and of how many."""
    days: dict[str, list[date]] = {}
    for one in sorted(visits, key=lambda visit: visit.on):
        days.setdefault(one.yard, []).append(one.on)
    return {(yard, on): (n, len(all_of)) for yard, all_of in days.items() for n, on in enumerate(all_of, 1)}


def rounds_of_trucks(visits: Sequence[RoundVisit]) -> tuple[RoundVisit, ...]:
    """The visits with the rounds of all yards together, so that the yards of one day are on one truck.

    A yard that begins late has its first piece on the others' second round. A round ends where a yard is
    come to again, or after a week: what it takes is mixed on one day.
    """
    numbers: dict[date, int] = {}
    number, first, been = 0, date.min, set[str]()
    for on in sorted({visit.on for visit in visits}):
        there = {visit.yard for visit in visits if visit.on == on}
        if not number or there & been or (on - first).days >= A_ROUND_DAYS:
            number, first, been = number + 1, on, set()
        been |= there
        numbers[on] = number
    return tuple(replace(visit, round=numbers[visit.on]) for visit in visits)


def _truck(visit: RoundVisit) -> tuple[int, date, str, float, float]:
    """What is on one truck: round, day, feed and the patty that is cut, as bought and as counted [g]."""
    return visit.round, visit.on, visit.feed, visit.patty.whole_g, visit.patty.mass_g


def counted_by_hive(visit: RoundVisit, hives: Sequence[tuple[str, float]]) -> tuple[int, ...]:
    """How many colonies are in each class, a pair as one: by their frames where all were graded.

    ``hives`` are those that were, with their frames of bees [frames].
    """
    joined = colonies_in(visit.steps, [pair.frames for pair in visit.combine])
    if len(hives) == visit.colonies:
        apart = colonies_in(visit.steps, [frames for tag, frames in hives if visit.pair_of(tag) is None])
        return tuple(a + b for a, b in zip(apart, joined, strict=True))
    left, counts = 2 * len(visit.combine), []
    for count, more in zip(visit.counts, joined, strict=True):  # the smallest are joined
        counts.append(max(0, count - left) + more)
        left = max(0, left - count)
    return tuple(counts)
