"""Simulation-based calibration of the belief: what is drawn from it must lie anywhere in what is learnt.

A true μ, τ and season effects are drawn from the belief before; trials are drawn from them; the belief
after them is worked out. The truth then lies below the share u of that belief in a share u of all
repeats, or the update is wrong. The same for the pollen-equivalence in a reduced model, whose curve
rises and levels off.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from scipy import stats

from breadline.belief.season_effects import Before, Learnt, SeasonResult, learnt
from breadline.span import FloatArray, Span
from breadline.verdict.through_model import Observed, equivalence, grid_of, on_grid

BINS = 20
SURE = 0.99
Update = Callable[[Before, Sequence[SeasonResult]], Learnt]
NAMES = ("mean over seasons", "spread of seasons", "next season", "pollen-equivalence")


@dataclass(frozen=True)
class Ranks:
    """Where the truths lie in what was learnt, each of shape (repeats,). [share]"""

    of: dict[str, FloatArray]


def ranks(before: Before, worth: Span, repeats: int, rng: np.random.Generator, update: Update) -> Ranks:
    """Ranks of the truth in ``repeats`` trials' beliefs."""
    found: dict[str, list[float]] = {name: [] for name in NAMES}
    curve = _Curve(worth)
    for _ in range(repeats):
        spread = abs(rng.normal(0.0, before.season_sd / stats.norm.ppf(0.75)))
        mean = float(before.mean.at(rng.standard_normal(1))[0])
        effects = spread * rng.standard_t(4, int(rng.integers(1, 5)) + 1)
        results = [_trial(str(n), mean + effect, rng) for n, effect in enumerate(effects[:-1])]
        after = update(before, results)
        found[NAMES[0]].append(after.mean_below(mean))
        found[NAMES[1]].append(after.spread_below(spread))
        found[NAMES[2]].append(float(after.next_below(np.array([mean + effects[-1]]))[0]))
        found[NAMES[3]].append(curve.rank(rng))
    return Ranks({name: np.array(values) for name, values in found.items()})


def _trial(name: str, truth: float, rng: np.random.Generator) -> SeasonResult:
    se = float(np.exp(rng.uniform(np.log(0.04), np.log(0.4))))
    return SeasonResult(name, truth + se * rng.standard_normal(), se)


class _Curve:
    """The reduced model: a feed's log ratio rises with its equivalence and levels off."""

    def __init__(self, worth: Span) -> None:
        self.worth = worth
        self.grid = grid_of(6.0, 600)
        self.shown = self._of(self.grid)
        scores = stats.norm.ppf((np.arange(40_000) + 0.5) / 40_000)
        self.before = on_grid(worth.at(scores), self.grid)

    @staticmethod
    def _of(worth: FloatArray) -> FloatArray:
        return np.asarray(0.9 * -np.expm1(-1.5 * worth))

    def rank(self, rng: np.random.Generator) -> float:
        truth = self.worth.at(rng.standard_normal(1))
        seen = Observed(0.0, float(rng.uniform(0.05, 0.3)), 0.15)
        log_ratio = float(self._of(truth)[0] + seen.spread * rng.standard_normal())
        after = equivalence(self.grid, self.before, self.shown, Observed(log_ratio, seen.se, 0.15))
        half = np.concatenate([[0.0], (self.grid[1:] + self.grid[:-1]) / 2.0])
        return float(np.interp(truth[0], half, np.concatenate([[0.0], np.cumsum(after.after)[:-1]])))


def band(repeats: int, seed: int) -> tuple[FloatArray, FloatArray]:
    """Low and high of the ECDF at the ends of the bins, which 99 of 100 right updates keep within. [share]

    Pointwise binomial limits, drawn in until 99 in 100 of simulated right ones lie wholly within.
    """
    edges = np.arange(1, BINS) / BINS
    drawn = np.random.default_rng(seed).multinomial(repeats, np.full(BINS, 1 / BINS), size=20_000)
    below = np.cumsum(drawn, axis=1)[:, :-1]
    tail = np.minimum(stats.binom.cdf(below, repeats, edges), stats.binom.sf(below - 1, repeats, edges)).min(
        1
    )
    alpha = float(np.quantile(tail, 1.0 - SURE))
    low, high = stats.binom.ppf(alpha, repeats, edges), stats.binom.isf(alpha, repeats, edges)
    return low / repeats, high / repeats


def outside(rank: FloatArray, limits: tuple[FloatArray, FloatArray]) -> FloatArray:
    """How far the ECDF lies outside its band at the end of each bin; 0 where it is within. [share]"""
    edges = np.arange(1, BINS) / BINS
    seen = (rank[:, None] <= edges).mean(0)
    return np.asarray(np.maximum(limits[0] - seen, 0.0) + np.maximum(seen - limits[1], 0.0))


def plain_update(before: Before, results: Sequence[SeasonResult]) -> Learnt:
    """The broken update that calibration has to catch: a season's own effect is forgotten.

    Every result is taken as that of μ itself, as a plain normal update would.
    """
    mean = before.mean.at(np.linspace(-6.5, 6.5, 301))
    whole = learnt(before, [])
    log_weight = -0.5 * np.linspace(-6.5, 6.5, 301) ** 2
    for one in results:
        log_weight = log_weight - 0.5 * ((one.log_ratio - mean) / one.se) ** 2
    weight = np.exp(log_weight - log_weight.max())
    return Learnt(mean, whole.spread, (weight / weight.sum())[:, None] * whole.weight.sum(0)[None, :])
