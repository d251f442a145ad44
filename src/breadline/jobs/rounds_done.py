"""The rounds of a plan that was chosen, beside what was written down as given."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from breadline.need.yard import Given

NEAR = 5  # days off its day at which a round still counts as given [d]
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


def held_against(
    pieces: Sequence[tuple[date, float]], given: Sequence[Given], hives: Mapping[date, int] = NO_HIVES
) -> tuple[tuple[RoundKept, ...], tuple[Given, ...]]:
    """Each feeding counts for the round it is nearest to, within some days; the others stand beside.

    Parameters
    ----------
    pieces
        The rounds of the plan: day, and grams a colony [g].
    given
        What was written down since it was chosen.
    hives
        Of how many hives, by day, where it was told hive by hive.
    """
    had = _nearest([on for on, _ in pieces], [one.on for one in given])
    rounds = []
    for k, (on, grams) in enumerate(pieces):
        if k in had:
            one = given[had[k]]
            rounds.append(RoundKept(k + 1, on, grams, one.grams, one.on, hives.get(one.on)))
        else:
            rounds.append(RoundKept(k + 1, on, grams, None))
    beside = tuple(one for n, one in enumerate(given) if n not in had.values())
    return tuple(rounds), beside


def _nearest(rounds: Sequence[date], given: Sequence[date]) -> dict[int, int]:
    """Which feeding counts for which round, by their places: the nearest two first, each once."""
    away = sorted((abs((day - on).days), k, n) for k, on in enumerate(rounds) for n, day in enumerate(given))
    found: dict[int, int] = {}
    for days, k, n in away:
        if days <= NEAR and k not in found and n not in found.values():
            found[k] = n
    return found
