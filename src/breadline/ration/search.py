"""The search for the cheapest kilogram: at once where shares are free, in turns where bags are whole.

Where things are whole, any mix is sought first, at no matter what cost: without costs
to weigh it is there in hundredths of a second, and the search begins at it.

Where a batch need not fill the mixer, money for a kilogram is money over weight.
A turn makes the money least that a batch costs beyond a rate for each kilogram;
the rate then falls to what its mix costs, until no mix beats it (Dinkelbach 1967).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from breadline.ration.model import NOTHING_KNOWN, Found, Model, Progress, Stop, Watcher
from breadline.ration.problem import Making
from breadline.ration.quotient import FloatArray

MOST_TURNS = 12
FIRST = 0.3  # of the time there is, for a first mix at any cost
EXACT = 1e-7  # of the cost: nearer than this is the same


@dataclass(frozen=True)
class Best:
    """The cheapest mix of a model.

    Parameters
    ----------
    cost
        [money/kg]
    gap
        How much cheaper the cheapest could still be. [share of ``cost``]
    seconds
        All turns together. [s]
    """

    found: Found
    cost: float
    gap: float
    stopped: bool
    seconds: float


@dataclass(frozen=True)
class Search:
    """How a search for whole things is to go.

    Parameters
    ----------
    limit_s
        Its longest. [s]
    start
        Shares of a full mixer to begin at, by ingredient key. [share]
    watch
        Told how it stands, from the first mix on.
    stop
        Asked all along whether to end it.
    """

    limit_s: float
    start: Mapping[str, float] | None = None
    watch: Watcher | None = None
    stop: Stop | None = None

    @property
    def stopped(self) -> bool:
        """Whether it is to end."""
        return self.stop is not None and self.stop()


def cheapest_kilogram(model: Model, search: Search | None = None) -> Best:
    """The cheapest mix, for a kilogram of it."""
    if not model.counts_whole:
        found = model.solve()
        return Best(found, found.value, 0.0, found.stopped, found.seconds)
    return _in_turns(model, search or Search(model.problem.making.time_limit_s))


def _in_turns(model: Model, search: Search) -> Best:
    making = model.problem.making
    begin = _kept(model, search.start)
    free = _free_cost(model)
    if not np.isfinite(free):
        return _none(replace(NOTHING_KNOWN, possible=False, stopped=False))
    rate, seconds = free if making.fill_least < 1.0 else 0.0, 0.0
    if begin is None:
        _watch(
            model, replace(search, watch=None), (0.0, 0.0, 0.0), None
        )  # without costs there is nothing to tell
        first = model.first_mix(search.limit_s * FIRST)
        seconds += first.seconds
        if first.possible is False or (search.stopped and not first.possible):
            return _none(first)
        begin = _told_first(model, first, search.watch, free)
    best: Best | None = None
    for _ in range(MOST_TURNS):
        model.cost_by(model.prices - rate)
        model.within(search.limit_s - seconds)
        _watch(model, search, (rate, seconds, free), begin if best is None else best.found.shares)
        if begin is not None:
            model.begin_at(begin)
        found = model.solve()
        seconds += found.seconds
        if not found.possible:
            return best or _begun(model, found, begin, free, seconds)
        reached = best is not None and found.value >= -EXACT * best.cost  # nothing beats the last mix
        best = _better(best, _costed(model, found, (rate, seconds, free)))
        if rate == 0.0 or reached or found.stopped:
            break
        rate, begin = best.cost, best.found.shares
    model.cost_by(model.prices)
    assert best is not None
    return replace(best, seconds=seconds)


def _kept(model: Model, start: Mapping[str, float] | None) -> FloatArray | None:
    """The mix to begin at, shape (ingredients,); ``None`` where it keeps not all that is asked. [share]"""
    begin = model.mix_of(start) if start else None
    return begin if begin is not None and model.keeps(begin) else None


def _none(found: Found) -> Best:
    return Best(found, np.inf, np.inf, found.stopped, found.seconds)


def _begun(model: Model, found: Found, begin: FloatArray | None, free: float, seconds: float) -> Best:
    """What a search ends with that found nothing: the mix that it began at, if it did at one."""
    if begin is None:
        return replace(_none(found), seconds=seconds)
    cost = cost_of(model, begin)
    return Best(replace(found, shares=begin, possible=True), cost, gap(cost, free), True, seconds)


def _told_first(model: Model, first: Found, watch: Watcher | None, free: float) -> FloatArray | None:
    """The first mix of all, told at once; ``None`` where there was none in time. [share]"""
    if not first.possible:
        return None
    cost = cost_of(model, first.shares)
    if watch is not None:
        watch(Progress(first.seconds, cost, gap(cost, free), model.by_key(first.shares)))
    return first.shares


def gap(cost: float, lowest: float) -> float:
    """How much of a cost may still be saved; none where it is free, as water is. [share]"""
    return max(0.0, (cost - lowest) / cost) if cost > 0.0 else 0.0


def cost_of(model: Model, shares: FloatArray) -> float:
    """What a mix costs, in shares of a full mixer, shape (ingredients,) [share]. [money/kg]"""
    return float(model.prices @ shares) / float(shares.sum())


def _free_cost(model: Model) -> float:
    """What the cheapest kilogram costs where nothing has to be whole: none can be cheaper. [money/kg]"""
    free = Model(replace(model.problem, making=Making()), model.rows)
    return free.solve().value


def _costed(model: Model, found: Found, stands: tuple[float, float, float]) -> Best:
    (rate, seconds, free), cost = stands, cost_of(model, found.shares)
    lowest = max(free, _lowest(rate, found.bound, model.problem.making.fill_least))
    return Best(found, cost, gap(cost, lowest), found.stopped, seconds)


def _better(before: Best | None, now: Best) -> Best:
    """The cheaper of two turns; what the later one proved of the bound holds for both."""
    if before is None or now.cost <= before.cost:
        return now
    lowest = now.cost * (1.0 - now.gap)
    return replace(before, gap=gap(before.cost, lowest), stopped=now.stopped)


def _lowest(rate: float, bound: float, fill_least: float) -> float:
    """No kilogram is cheaper than this, if no batch costs less than ``bound`` beyond the rate. [money/kg]"""
    return rate + (bound / fill_least if bound < 0.0 else bound)


def _watch(
    model: Model, search: Search, stands: tuple[float, float, float], so_far: FloatArray | None
) -> None:
    """Turn what HiGHS tells into money for a kilogram; how it stands: rate, seconds before, cost of free
    shares, below which none can be."""
    watch = search.watch
    if watch is None and search.stop is None:
        return
    (rate, before_s, free), least = stands, model.problem.making.fill_least
    best = [] if so_far is None else [(cost_of(model, so_far), model.by_key(so_far))]

    def told(seconds: float, bound: float, shares: FloatArray) -> None:
        cost = cost_of(model, shares) if len(shares) else np.inf
        if np.isfinite(cost) and (not best or cost < best[0][0]):
            best[:] = [(cost, model.by_key(shares))]
        if not best or watch is None:
            return
        lowest = max(free, _lowest(rate, bound, least)) if abs(bound) < 1e20 else free
        watch(Progress(before_s + seconds, best[0][0], gap(best[0][0], lowest), best[0][1]))

    model.watched(told, lambda: search.stopped)
