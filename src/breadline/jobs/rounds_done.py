"""The rounds of a plan that was chosen, beside what was written down as given, and what is left to give.

One rule for the pages, the list of yards, the sheets, other programs and what stopping saves: a round that
was told hive by hive is given once nearly all of its hives are written down; what is not stays to be given
until the day from which the next round is nearer.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from types import MappingProxyType

from breadline.language import say
from breadline.need.words import day_and_year
from breadline.need.yard import Given
from breadline.plan.round_days import may_count, nearer_until

AS_PLANNED = 0.1  # of a round, that may be more or less and is still what was planned [share]
NO_HIVES: Mapping[date, int] = MappingProxyType({})


@dataclass(frozen=True)
class RoundKept:
    """A round of a kept plan, and what came of it."""

    number: int
    on: date
    grams: float  # a colony, as planned [g]
    given: float | None  # a colony; None where nothing was written down about its day [g]
    given_on: date | None = None
    hives: int | None = None  # that it was written down of; None where it was told of the yard
    fed: int = 0  # hives that its sheet feeds, of those that stand today; 0 where nobody asked
    until: date | None = None  # the last day on which no other round is nearer; its own day where unknown

    @property
    def missing(self) -> int:
        """Hives of which nothing is written down, of a round told hive by hive; 0 where nearly all are."""
        if self.given is None or self.hives is None or self.hives >= (1.0 - AS_PLANNED) * self.fed:
            return 0
        return self.fed - self.hives

    @property
    def in_full(self) -> bool:
        """Whether it is written down as given, to the yard or to nearly all of its hives."""
        return self.given is not None and not self.missing

    def share_left(self, today: date) -> float:
        """What of it is still to be given [share]: nothing once it is given, or another round is nearer."""
        if today > (self.until or self.on) or self.in_full:
            return 0.0
        return 1.0 if self.given is None else self.missing / self.fed

    def overdue(self, today: date) -> bool:
        """Whether its day is past, and it is still to be given in part or whole."""
        return self.on < today and self.share_left(today) > 0.0


def held_against(
    pieces: Sequence[tuple[date, float]], given: Sequence[Given], hives: Mapping[date, int] = NO_HIVES
) -> tuple[tuple[RoundKept, ...], tuple[Given, ...]]:
    """Each feeding counts for the round it is nearest to; the others stand beside.

    It may be some days early, or as late as no other round is nearer.

    Parameters
    ----------
    pieces
        The rounds of the plan: day, and grams a colony [g].
    given
        What was written down since it was chosen.
    hives
        Of how many hives, by day, where it was told hive by hive.
    """
    days = [on for on, _ in pieces]
    had = _nearest(days, [one.on for one in given])
    rounds = []
    for k, (on, grams) in enumerate(pieces):
        bare = RoundKept(k + 1, on, grams, None, until=nearer_until(days, k))
        one = given[had[k]] if k in had else None
        rounds.append(
            bare if one is None
            else replace(bare, given=one.grams, given_on=one.on, hives=hives.get(one.on))
        )  # fmt: skip
    beside = tuple(one for n, one in enumerate(given) if n not in had.values())
    return tuple(rounds), beside


def _nearest(rounds: Sequence[date], given: Sequence[date]) -> dict[int, int]:
    """Which feeding counts for which round, by their places: the nearest two first, each once."""
    away = sorted((abs((day - on).days), k, n) for k, on in enumerate(rounds) for n, day in enumerate(given)
                  if may_count(rounds, k, day))  # fmt: skip
    found: dict[int, int] = {}
    for _, k, n in away:
        if k not in found and n not in found.values():
            found[k] = n
    return found


def open_words(rounds: Sequence[RoundKept], today: date) -> str:
    """What is said of rounds that were given in part, or are overdue: what to do; empty where none is."""
    return " ".join(filter(None, (_open(one, today) for one in rounds)))


def _open(one: RoundKept, today: date) -> str:
    day = day_and_year(one.on)
    if one.missing and one.share_left(today):
        return say(
            "The round of {day} is written down for {hives} of {fed} hives: feed the others, or write them "
            "down.",
            day=day, hives=one.hives, fed=one.fed,
        )  # fmt: skip
    if one.missing:
        return say(
            "The round of {day} is written down for {hives} of {fed} hives.",
            day=day, hives=one.hives, fed=one.fed,
        )  # fmt: skip
    if one.overdue(today):
        return say("The round of {day} is overdue: give it, or write down what was given.", day=day)
    return ""


def given_words(one: RoundKept) -> str:
    """What a sheet of a round says of it that is written down already; empty where nothing is."""
    if one.given_on is None:
        return ""
    day = day_and_year(one.given_on)
    if one.missing:
        return say("Written down as given on {day} for {hives} of {fed} hives: feed the others.",
                   day=day, hives=one.hives, fed=one.fed)  # fmt: skip
    return say("Written down as given on {day}.", day=day)
