"""How firmly a recipe stands: what holds its cost up, its prices’ ranges, and the next best recipe."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from breadline.ration.model import Model
from breadline.ration.problem import Limit
from breadline.ration.rows import rows_of
from breadline.ration.search import EXACT, Best, Search, cheapest_kilogram
from breadline.ration.solver import TIGHT, Solved, solved_from
from breadline.ration.targets import Side, Target

ANY_PRICE = 1e4  # times dearer than all else: as dear as one likes
TURNS = 30  # towards an end of a price range
NEAR_TIE = 0.01  # of the cost: within a hundredth two recipes cost the same


@dataclass(frozen=True)
class Binding:
    """A target at its bound, and what giving way on it by one natural step would save.

    Parameters
    ----------
    step
        How far it gives, in the unit of the target.
    saving
        By solving anew. [money/kg]
    gap
        How much of the cost that could still be off. [share]
    """

    target: Target
    side: Side
    bound: float  # [unit of the target]
    step: float  # [unit of the target]
    saving: float
    gap: float


@dataclass(frozen=True)
class LimitSaving:
    """What a limit of the making costs: one ingredient more, opened bags, or no least of what goes in.

    Parameters
    ----------
    saving
        By solving anew. [money/kg]
    gap
        How much of the cost that could still be off. [share]
    """

    limit: Limit
    saving: float
    gap: float


@dataclass(frozen=True)
class PriceRange:
    """Prices of one ingredient over which this recipe stays the cheapest, all others as they are.

    Parameters
    ----------
    low, high
        [money/kg]; ``None`` where time ran out before the end was found. ``low`` 0
        and ``high`` infinite where no price of it would change the recipe. For an
        ingredient that is not used, ``low`` is where it would come in.
    """

    key: str
    used: bool
    price: float  # [money/kg]
    low: float | None
    high: float | None


@dataclass(frozen=True)
class NextBest:
    """The cheapest recipe that leaves out at least one ingredient of the best.

    Parameters
    ----------
    without
        The ingredient it was made without.
    dearer
        How much more it costs. [share of the cost of the best]
    """

    solved: Solved
    without: str
    dearer: float

    @property
    def near_tie(self) -> bool:
        """Whether the two cost the same for all that prices are worth."""
        return self.dearer <= NEAR_TIE


@dataclass(frozen=True)
class Standing:
    """All of it for one recipe.

    Parameters
    ----------
    bindings
        The greatest saving first; a target at its bound that saves nothing comes last.
    next_best
        ``None`` where every ingredient is needed, or none was found in time.
    all_needed
        Whether it was shown that without any one ingredient there is no mix.
    within_time
        ``False`` where time ran out, so that something here is left open.
    """

    bindings: tuple[Binding, ...]
    price_ranges: tuple[PriceRange, ...]
    next_best: NextBest | None
    within_time: bool
    limits: tuple[LimitSaving, ...] = ()
    all_needed: bool = False


class _Again:
    """The model of a solved problem, asked again and again within the time there is."""

    def __init__(self, solved: Solved) -> None:
        self.solved, self.problem = solved, solved.problem
        self.rows = rows_of(self.problem)
        self.model = Model(self.problem, self.rows)
        self.model.solve()
        self.mix = np.array([solved.shares.get(k, 0.0) for k in self.problem.keys])
        self.left = self.problem.making.time_limit_s if self.model.counts_whole else float("inf")

    def best(self, start: bool = True) -> Best | None:
        """The cheapest as the model now stands, begun at the recipe; ``None`` once time has run out."""
        if self.left <= 0.0:
            return None
        begin = self.solved.shares_of_mixer if start else None
        best = cheapest_kilogram(self.model, Search(self.left, begin))
        if self.model.counts_whole:
            self.left -= best.seconds
        return best


def standing(solved: Solved) -> Standing:
    """How firmly a recipe stands; every figure is worked out by solving anew, none is read off a basis."""
    again = _Again(solved)
    bindings = _bindings(again)
    without = _without_each(again)
    next_best = _next_best(again, without)
    ranges = tuple(_range(again, i, without.get(i)) for i in range(len(again.mix)))
    limits = tuple(_limit_savings(again))
    goes_in = np.count_nonzero(again.mix > 0.0)
    all_needed = len(without) == goes_in and all(best.found.possible is False for best in without.values())
    return Standing(bindings, ranges, next_best, again.left > 0.0, limits, all_needed)


def _bindings(again: _Again) -> tuple[Binding, ...]:
    found: list[Binding] = []
    for i, row in enumerate(again.rows):
        if not row.tight(again.mix, TIGHT):
            continue
        again.model.ease(i, row.eased(row.step))
        best = again.best()
        again.model.ease(i, row.bound)
        if best is not None and best.found.possible:
            saving = max(0.0, again.solved.cost_per_kg - best.cost)
            saving = 0.0 if saving < EXACT * again.solved.cost_per_kg else saving
            step = abs(row.eased(row.step) - row.bound)
            found.append(Binding(row.target, row.side, row.bound, step, saving, best.gap))
    return tuple(sorted(found, key=lambda b: -b.saving))


def _limit_savings(again: _Again) -> Iterator[LimitSaving]:
    """Each limit of the making let go by a step, where time allows."""
    making, was = again.problem.making, again.solved.cost_per_kg
    for limit in making.limits():
        if again.left <= 0.0:
            return
        loose = making.without(limit)
        if limit == "most ingredients" and making.most_ingredients is not None:
            loose = replace(making, most_ingredients=making.most_ingredients + 1)
        model = Model(replace(again.problem, making=loose), again.rows)
        best = cheapest_kilogram(model, Search(again.left, again.solved.shares_of_mixer))
        again.left -= best.seconds
        if best.found.possible:
            saving = max(0.0, was - best.cost)
            yield LimitSaving(limit, saving if saving >= 10.0 * EXACT * was else 0.0, best.gap)


def _without_each(again: _Again) -> dict[int, Best]:
    """The cheapest mix without each ingredient of the recipe, where time allowed."""
    found: dict[int, Best] = {}
    for i in np.flatnonzero(again.mix > 0.0):
        again.model.leave_out(int(i))
        best = again.best(start=False)
        again.model.leave_out(int(i), out=False)
        if best is not None:
            found[int(i)] = best
    return found


def _next_best(again: _Again, without: dict[int, Best]) -> NextBest | None:
    there = [(best.cost, i) for i, best in without.items() if best.found.possible]
    if not there:
        return None
    cost, i = min(there)
    best, was = without[i], again.solved.cost_per_kg
    solved = solved_from(again.problem, again.rows, best)
    return NextBest(solved, again.problem.keys[i], max(0.0, (cost - was) / was) if was > 0.0 else 0.0)


def _range(again: _Again, i: int, without: Best | None) -> PriceRange:
    """Where one price may lie: what the cheapest costs is concave in it, so its ends come by cutting."""
    key, price, used = again.problem.keys[i], float(again.model.prices[i]), bool(again.mix[i] > 0.0)
    ends: list[float | None] = [_end(again, i, 0.0)]
    if not used:
        ends.append(float("inf"))
    elif without is None or without.found.possible is None:
        ends.append(None)
    elif not without.found.possible:  # needed: how much of it, may still hang on its price
        far = ANY_PRICE * max(price, again.solved.cost_per_kg)
        end = _end(again, i, far)
        ends.append(float("inf") if end == far else end)
    else:
        dearest = price + (without.cost - again.solved.cost_per_kg) / float(again.mix[i])
        ends.append(_end(again, i, dearest))
    again.model.prices[i] = price
    again.model.cost_by(again.model.prices)
    return PriceRange(key, used, price, *ends)


def _end(again: _Again, i: int, at: float) -> float | None:
    """From a price beyond the end, or on it, back to the last price at which this recipe is cheapest.

    At each price the cheapest mix gives a straight line under which no cost lies;
    where it meets the recipe's own line is the next price to try.
    """
    prices, mix = again.model.prices, again.mix
    others = float(np.delete(prices, i) @ np.delete(mix, i))
    was = float(prices[i])
    for _ in range(TURNS):
        prices[i] = at
        again.model.cost_by(prices)
        best = again.best()
        if best is None or not best.found.possible or best.gap > EXACT * 100:
            prices[i] = was
            return None
        mine = others + at * mix[i]
        if best.cost >= mine - EXACT * max(mine, best.cost):
            break
        other = best.found.shares / best.found.shares.sum()
        rise = float(mix[i] - other[i])
        if abs(rise) < 1e-12:
            break
        at = (best.cost - at * float(other[i]) - others) / rise
    prices[i] = was
    return max(0.0, at)
