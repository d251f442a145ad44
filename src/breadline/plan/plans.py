"""Plans of feeding: when the first round, how far apart, how much, how many, of what."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import Literal

from breadline.errors import PlanError
from breadline.language import say, say_counted
from breadline.plan.cuts import Patty, cut_words

Kind = Literal["nothing", "last_year", "search", "missed", "move"]
Way = tuple[tuple[int, float, bool], ...]
INTERVALS = (7, 10, 14, 21, 28)  # common practice, no source: the next piece after one to four weeks [d]
MOST_STARTS = 16
AGAIN_ROUNDS = 3  # of a second series
BREAK = 35  # days without feed that make it one [d]


@dataclass(frozen=True)
class Piece:
    """What a colony gets in one round."""

    day: int  # from the first day of the ensemble
    grams: float  # as fed [g]


@dataclass(frozen=True)
class Plan:
    """One way of feeding a yard; days count from the first day of the ensemble."""

    kind: Kind
    pieces: tuple[Piece, ...] = ()
    feed: int = 0  # which of the feeds
    interval: int = 0  # between rounds, 0 where they are not even [d]
    by_rule: bool = False  # a round is left out where pollen comes in

    @property
    def rounds(self) -> int:
        """How many at most."""
        return len(self.pieces)

    @property
    def start(self) -> int | None:
        """Day of the first round."""
        return self.pieces[0].day if self.pieces else None

    @property
    def grams(self) -> float:
        """Put on a colony in all, at most. [g]"""
        return sum(piece.grams for piece in self.pieces)

    def without(self, at: int) -> Plan:
        """The same with round ``at`` missed."""
        return replace(self, kind="missed", pieces=self.pieces[:at] + self.pieces[at + 1 :])

    @property
    def way(self) -> Way:
        """What is put on, whatever it is called: day, mass [g] and whether by rule, of each piece."""
        return tuple((piece.day, piece.grams, self.by_rule) for piece in self.pieces)

    @property
    def key(self) -> tuple[int, Way]:
        """The same with which feed: what two plans are told apart by."""
        return self.feed, self.way


NOTHING = Plan("nothing")


@dataclass(frozen=True)
class Grid:
    """What the search goes through."""

    starts: tuple[int, ...]  # days from today
    portions_g: tuple[float, ...]  # a colony and round, as the beetles and bees allow [g]
    intervals: tuple[int, ...] = INTERVALS
    most_rounds: int = 8
    rule: bool = True  # also plans whose rounds are left out while pollen comes in
    again: int | None = None  # day from today of a second series, also tried; None tries none
    most_at: Mapping[int, float] = field(default_factory=dict)  # what is cleared by interval, where less [g]
    own_portions_g: tuple[tuple[float, ...], ...] = ()  # of each feed, where they differ [g]

    def portions_at(self, interval: int, feed: int = 0) -> tuple[float, ...]:
        """The pieces of a feed that are cleared in an interval [g]: up to ``most_at`` of it, where named."""
        most = self.most_at.get(interval, float("inf"))
        known = self.own_portions_g[feed] if self.own_portions_g else self.portions_g
        return tuple(grams for grams in known if grams <= most + 1e-6)

    def checked(self) -> Grid:
        """The same, if it can be.

        Errors: PlanError for a start before today, no portion, or intervals that nobody keeps.
        """
        if not self.starts or min(self.starts) < 0:
            raise PlanError(
                "start",
                say("lies before today") if self.starts else say("none given"),
                say("today or later"),
                say("A round that was given belongs into the record"),
            )
        every = (self.portions_g, *self.own_portions_g)
        if not all(one and min(one) > 0 for one in every):
            raise PlanError(
                "portion",
                say("none above 0 g"),
                say("what the colony clears before the next visit"),
                say("Colonies that get none are planned as do nothing"),
            )
        largest = max(max(one) for one in every)
        if largest > 5000:
            raise PlanError("portion", f"{largest:g} g", say("up to 5,000 g a colony and round"),
                            say("If you typed the amount for the yard, divide by its colonies"))  # fmt: skip
        if not self.intervals or min(self.intervals) < 1 or max(self.intervals) > 60:
            raise PlanError("interval", f"{self.intervals}", say("1 to 60 days from one round to the next"))
        if not 1 <= self.most_rounds <= 30:
            raise PlanError("rounds", f"{self.most_rounds}", say("1 to 30"))
        return self


def weekly(first: int, last: int) -> tuple[int, ...]:
    """Start days one week apart, two or more where that would be too many; before ``last``. [d]"""
    weeks = -(-max(1, last - first) // 7)
    return tuple(range(first, max(first + 1, last), 7 * -(-weeks // MOST_STARTS)))


def _lengths(most: int) -> tuple[int, ...]:
    """How many rounds are tried: every number up to four, then every other."""
    return tuple(k for k in range(1, most + 1) if k <= 4 or k % 2 == 0 or k == most)


def plans_of(
    grid: Grid, today: int, last: int, feeds: int, last_year: Plan | None = None
) -> tuple[Plan, ...]:
    """Every plan to be looked at, "do nothing" first, none twice.

    Parameters
    ----------
    grid
        What the search goes through.
    today, last
        Day of today and last day of the ensemble; no round falls on or after ``last``. [d]
    feeds
        How many feeds.
    last_year
        What was done last year, moved to this year's dates.
    """
    grid.checked()
    found = [NOTHING, *((last_year,) if last_year is not None and last_year.pieces else ())]
    for feed in range(feeds):
        for start in grid.starts:
            for interval in grid.intervals:
                days = [d for k in range(grid.most_rounds) if (d := today + start + k * interval) < last]
                for grams in grid.portions_at(interval, feed):
                    pieces = tuple(Piece(d, grams) for d in days)
                    cut = [pieces[:k] for k in _lengths(len(pieces))]
                    found += [Plan("search", one, feed, interval if len(one) > 1 else 0) for one in cut]
                    found += _again(grid, cut, today, last, Plan("search", (), feed, interval))
                    if grid.rule and pieces:
                        found.append(Plan("search", pieces, feed, interval, by_rule=True))
    seen: dict[tuple[int, Way], Plan] = {}
    for plan in found:
        seen.setdefault((plan.feed, plan.way), plan)
    return tuple(seen.values())


def _again(grid: Grid, cut: list[tuple[Piece, ...]], today: int, last: int, of: Plan) -> list[Plan]:
    """The same series with a second one after a break: size made in autumn, kept up in winter."""
    if grid.again is None or not cut:
        return []
    days = [d for k in range(AGAIN_ROUNDS) if (d := today + grid.again + k * of.interval) < last]
    second = tuple(Piece(d, cut[0][0].grams) for d in days)
    breaks = [one for one in cut if second and one[-1].day + BREAK <= second[0].day]
    return [replace(of, pieces=one + second, interval=0) for one in breaks]


def changed(
    plan: Plan, portions_g: Sequence[tuple[float, ...]], today: int, last: int
) -> tuple[tuple[str, Plan], ...]:
    """A plan with one thing changed at a time, each in words; what is changed is no plan of last year.

    ``portions_g`` are those of each feed that were searched [g]; no round falls before ``today`` or from
    ``last`` on. Another feed is given in the piece of its own that comes nearest.
    """
    plan, pieces, found = replace(plan, kind="search"), plan.pieces, []
    for what, by in ((say("a week earlier"), -7), (say("a week later"), 7)):
        moved = tuple(Piece(p.day + by, p.grams) for p in pieces)
        if today <= moved[0].day and moved[-1].day < last:
            found.append((what, replace(plan, pieces=moved)))
    if len(pieces) > 1 and not plan.by_rule:
        found.append((say("one round fewer"), replace(plan, pieces=pieces[:-1])))
    gap = plan.interval or _last_gap(pieces)
    if pieces[-1].day + gap < last and not plan.by_rule:
        one_more = (*pieces, Piece(pieces[-1].day + gap, pieces[-1].grams))
        even = plan.interval if len(pieces) > 1 else gap
        found.append((say("one round more"), replace(plan, pieces=one_more, interval=even)))
    found += _other_portions(plan, portions_g[plan.feed])
    others = [feed for feed in range(len(portions_g)) if feed != plan.feed]
    found += [(say("the other feed"), _of_feed(plan, feed, portions_g[feed])) for feed in others]
    return tuple(found)


def _last_gap(pieces: tuple[Piece, ...]) -> int:
    """Between the last two rounds, a week where there is one alone or a long break between them. [d]"""
    gap = pieces[-1].day - pieces[-2].day if len(pieces) > 1 else BREAK
    return gap if gap < BREAK else 7


def _of_feed(plan: Plan, feed: int, portions_g: tuple[float, ...]) -> Plan:
    """The same rounds of another feed, each in the nearest of its own pieces."""
    if not portions_g:
        return replace(plan, feed=feed)
    pieces = tuple(Piece(p.day, _nearest(portions_g, p.grams)) for p in plan.pieces)
    return replace(plan, feed=feed, pieces=pieces)


def _nearest(portions_g: tuple[float, ...], grams: float) -> float:
    return min(portions_g, key=lambda own: (abs(own - grams), own))


def _other_portions(plan: Plan, portions_g: tuple[float, ...]) -> list[tuple[str, Plan]]:
    now = plan.pieces[0].grams
    if any(piece.grams != now for piece in plan.pieces):
        return []
    near = ((say("smaller pieces"), max((g for g in portions_g if g < now), default=None)),
            (say("larger pieces"), min((g for g in portions_g if g > now), default=None)))  # fmt: skip
    return [
        (what, replace(plan, pieces=tuple(Piece(p.day, grams) for p in plan.pieces)))
        for what, grams in near
        if grams is not None
    ]


def as_last_year(given: tuple[Piece, ...], feed: int = 0) -> Plan:
    """What was done last year, as a plan."""
    return Plan("last_year", tuple(sorted(given, key=lambda piece: piece.day)), feed)


def break_after(plan: Plan) -> int | None:
    """After how many rounds the long break of a second series begins; None where there is none."""
    gaps = [b.day - a.day for a, b in pairwise(plan.pieces)]
    long = [k for k, gap in enumerate(gaps, 1) if gap >= BREAK]
    return long[0] if len(long) == 1 else None


def _with_a_break(plan: Plan) -> str:
    """ ", 10 days apart with a break of 10 weeks after the first 6"; nothing where rounds are uneven."""
    at = break_after(plan)
    if at is None:
        return ""
    gaps = [b.day - a.day for a, b in pairwise(plan.pieces)]
    pause, rest = round(gaps.pop(at - 1) / 7), set(gaps)
    if len(rest) != 1:
        if at == 1:
            return say(", with a break of {weeks} weeks after the first", weeks=pause)
        return say(", with a break of {weeks} weeks after the first {at}", weeks=pause, at=at)
    days = rest.pop()
    if at == 1:
        return say(
            ", {days} days apart with a break of {weeks} weeks after the first", days=days, weeks=pause
        )
    return say(
        ", {days} days apart with a break of {weeks} weeks after the first {at}",
        days=days,
        weeks=pause,
        at=at,
    )


def pieces_words(plan: Plan, patty: Patty, threshold: float | None = None) -> str:
    """ "4 rounds of ½ patty (½ lb), 14 days apart"; "Do nothing" where there are none.

    A plan that is stopped by rule names the ``threshold`` of the count at the entrance. [share]
    """
    if not plan.pieces:
        return say("Do nothing")
    even = len({piece.grams for piece in plan.pieces}) == 1
    each = cut_words(plan.pieces[0].grams / patty.mass_g, patty) if even else say("pieces of several sizes")
    apart = say(", {days} days apart", days=plan.interval) if plan.interval else _with_a_break(plan)
    if not plan.by_rule:
        return say_counted(
            "{n} round of {each}{apart}", "{n} rounds of {each}{apart}", plan.rounds, each=each, apart=apart
        )
    until = say(", none while pollen comes in")
    if threshold is not None:
        until = say(", none while pollen comes in ({n} in 100 bees carry it)", n=round(100 * threshold))
    return say_counted(
        "up to {n} round of {each}{apart}{until}", "up to {n} rounds of {each}{apart}{until}", plan.rounds,
        each=each, apart=apart, until=until,
    )  # fmt: skip
