"""The cheapest mix that reaches every target, or why there is none."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import islice

import numpy as np

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import Content
from breadline.language import say
from breadline.ration.conflict import AtOdds, Member, at_odds, eased, nearest_gives
from breadline.ration.model import NOTHING_KNOWN, Model, Progress, Stop, Watcher
from breadline.ration.problem import Problem
from breadline.ration.quotient import NOUGHT, FloatArray
from breadline.ration.recipe import Part, Recipe
from breadline.ration.rows import Row, floors_of, rows_of
from breadline.ration.search import Best, Search, cheapest_kilogram
from breadline.ration.targets import Miss, Side, Target

NAME = "cheapest mix"
NEAR = 1e-5  # of the cost: a gap below this is none
TIGHT = 1e-6  # of the bound, and never less than this of the unit


@dataclass(frozen=True)
class Reached:
    """What a mix comes to on one target.

    Parameters
    ----------
    value
        Least and most it can be, over the ranges of its contents; ``None`` for a ratio
        of two things of which there is nothing. [unit of the target]
    binding
        The side on which the target holds the cost up, if any.
    guessed
        Keys of used ingredients whose value was not reported.
    """

    target: Target
    value: Content | None
    binding: Side | None
    guessed: tuple[str, ...]


@dataclass(frozen=True)
class Solved:
    """The cheapest mix found.

    Parameters
    ----------
    recipe
        In grams of one batch, or of a kilogram where no batch was named; most first.
    shares
        By ingredient key, together 1. [share]
    cost_per_kg
        [money/kg]
    batch_kg, bags
        Weight of the batch [kg] and whole bags by key, where asked for.
    reached
        One for each target, in their order.
    gap
        How much cheaper the cheapest could still be; 0 where proven. [share of the cost]
    stopped
        Whether time or the user ended the search before it was proven.
    seconds
        How long the search took. [s]
    """

    problem: Problem
    recipe: Recipe
    shares: Mapping[str, float]
    cost_per_kg: float
    batch_kg: float | None
    bags: Mapping[str, int]
    reached: tuple[Reached, ...]
    gap: float
    stopped: bool
    seconds: float

    @property
    def shares_of_mixer(self) -> dict[str, float]:
        """By ingredient key, of what the mixer holds: where the next search may begin. [share]"""
        full = self.problem.making.batch_kg
        filled = 1.0 if full is None or self.batch_kg is None else self.batch_kg / full
        return {key: share * filled for key, share in self.shares.items()}

    @property
    def batch_cost(self) -> float | None:
        """What the batch costs, where one was named. [money]"""
        return None if self.batch_kg is None else self.cost_per_kg * self.batch_kg


@dataclass(frozen=True)
class Conflict:
    """No mix reaches every target.

    Parameters
    ----------
    proven
        ``False`` where time ran out before a mix was found or ruled out.
    members
        What cannot all be had; without any one of them the others can.
    irreducible
        Whether that was shown for every member.
    gives
        Which targets give way, and to what, in the nearest mix.
    nearest
        The cheapest of the mixes that miss least; ``None`` where giving way on
        targets does not help.
    stopped
        Whether the search was told to stop before it had a mix.
    """

    problem: Problem
    proven: bool
    members: tuple[Member, ...]
    irreducible: bool
    gives: tuple[Miss, ...]
    nearest: Solved | None
    stopped: bool = False


def cheapest(
    problem: Problem,
    *,
    start: Mapping[str, float] | None = None,
    watch: Watcher | None = None,
    stop: Stop | None = None,
) -> Solved | Conflict:
    """The cheapest mix that keeps every target, or the targets at odds.

    Parameters
    ----------
    start
        A mix to begin a search for whole things at, such as the last recipe's
        ``shares_of_mixer``; it is passed over where it keeps not all. [share of a full mixer]
    watch
        Told how the search stands, from its first mix on; must not raise.
    stop
        Asked all along whether to end it: with the best mix so far, or, where there is none yet,
        without looking any further. Must not raise.

    Returns
    -------
    Solved | Conflict
        A ``Solved`` may have ``stopped`` early; its ``gap`` then says how far off it may be.

    Raises
    ------
    RecipeError
        For what the user can mend: see ``Problem``, ``Target`` and ``rows_of``.
    """
    rows = rows_of(problem)
    model = Model(problem, rows)
    search = Search(problem.making.time_limit_s, start, watch, stop)
    best = cheapest_kilogram(model, search)
    if best.found.possible is None and search.stopped:
        return Conflict(problem, False, (), False, (), None, stopped=True)
    if not best.found.possible:
        return _conflict(problem, rows, best.found.possible is False, stop)
    _not_watered_down(rows, best.found.shares)
    return solved_from(problem, rows, best)


def first_look(
    problem: Problem, seconds: float, start: Mapping[str, float] | None = None
) -> Solved | Conflict:
    """The best mix within so many seconds [s]; why there is none is left to ``cheapest``.

    Where things have to be whole, that can take longer than a person waits for a first answer.
    """
    rows = rows_of(problem)
    best = cheapest_kilogram(Model(problem, rows), Search(seconds, start))
    if not best.found.possible:
        return Conflict(problem, False, (), False, (), None)
    _not_watered_down(rows, best.found.shares)
    return solved_from(problem, rows, best)


def so_far(problem: Problem, progress: Progress) -> Solved:
    """The best recipe of a search that still goes on, in the user's terms."""
    rows = rows_of(problem)
    shares = np.array([progress.shares_of_mixer.get(k, 0.0) for k in problem.keys])
    found = replace(NOTHING_KNOWN, shares=shares, possible=True)
    return solved_from(problem, rows, Best(found, progress.cost, progress.gap, True, progress.seconds))


def _conflict(problem: Problem, rows: tuple[Row, ...], proven: bool, stop: Stop | None) -> Conflict:
    """What is at odds, and the nearest mix."""
    odds = at_odds(problem, rows, stop) if proven else AtOdds((), False, nearest_gives(problem, rows, stop))
    near = cheapest_of_eased(eased(problem, odds.gives)) if odds.gives else None
    return Conflict(problem, proven, odds.members, odds.irreducible, odds.gives, near)


def cheapest_of_eased(problem: Problem) -> Solved | None:
    """The cheapest mix of targets that were moved until there is one."""
    rows = rows_of(problem)
    best = cheapest_kilogram(Model(problem, rows))
    return solved_from(problem, rows, best) if best.found.possible else None


def solved_from(problem: Problem, rows: Sequence[Row], best: Best) -> Solved:
    """An answer of the model in the user's terms."""
    found = best.found
    filled = float(found.shares.sum())
    shares = found.shares / filled
    making = problem.making
    batch_kg = None if making.batch_kg is None else making.batch_kg * filled
    grams = 1000.0 * (batch_kg or 1.0)
    order = sorted(range(len(shares)), key=lambda i: (-shares[i], problem.keys[i]))
    parts = tuple(Part(problem.ingredients[i], float(shares[i]) * grams) for i in order if shares[i] > 0.0)
    return Solved(
        problem=problem,
        recipe=Recipe(NAME, parts, {k: p for k, p in problem.prices.items() if k in problem.keys}),
        shares={problem.keys[i]: float(shares[i]) for i in order if shares[i] > 0.0},
        cost_per_kg=best.cost if not making.counts_whole_things else cost_of(problem, shares),
        batch_kg=batch_kg,
        bags=_bags(problem, shares, batch_kg),
        reached=tuple(_reached(problem, rows, shares)),
        gap=best.gap if best.gap > NEAR else 0.0,
        stopped=best.stopped,
        seconds=best.seconds,
    )


def cost_of(problem: Problem, shares: FloatArray) -> float:
    """What a mix of these shares [share] costs at the problem's prices. [money/kg]"""
    return float(np.array([problem.price(k) for k in problem.keys]) @ shares)


def _bags(problem: Problem, shares: FloatArray, batch_kg: float | None) -> dict[str, int]:
    return {
        k: round(float(s) * (batch_kg or 0.0) / (problem.prices[k].bag_kg or 1.0))
        for k, s in zip(problem.keys, shares, strict=True)
        if k in problem.making.whole_bags and s > 0.0
    }


def _reached(problem: Problem, rows: Sequence[Row], shares: FloatArray) -> Iterator[Reached]:
    """What a mix comes to on each target, over the ranges of its contents."""
    left = iter(rows)
    for target in problem.targets:
        both = list(islice(left, (target.least is not None) + (target.most is not None)))
        quotient = both[0].quotient
        low, high = quotient.span(shares)
        tight = [row.side for row in both if row.tight(shares, TIGHT, (low, high))]
        value = None if math.isnan(low) or math.isnan(high) else Content(low, high)
        blank = np.flatnonzero((shares > 0.0) & ~quotient.known)
        guessed = tuple(problem.keys[i] for i in blank)
        yield Reached(target, value, tight[0] if tight else None, guessed)


def _not_watered_down(rows: Sequence[Row], shares: FloatArray) -> None:
    """Refuse a mix that nothing keeps from being watered down: its per cent of dry matter says nothing."""
    if any(float(floor @ shares) <= NOUGHT * shares.sum() for floor in floors_of(rows)):
        raise RecipeError(
            "targets on dry matter", say("nothing keeps the cheapest mix from being nearly all water"),
            say("a most of water beside them"), say("Give a most of water"),
        )  # fmt: skip
