"""What an operation's own seasons teach of feeding: a season's result is the mean μ and a season effect.

Season effects are heavy-tailed, Student's t with 4 degrees of freedom and scale τ, so that one odd
season is put down to itself and moves the mean little; τ is not known either. Both are worked out on
a grid of μ and τ; the season effect and the error of the result are folded into each other by
integrating over the precision that makes a normal a t. Nothing is drawn, so the same results give
the same belief to the last digit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from scipy.special import ndtri

from breadline.belief.season_called import which_season
from breadline.belief.survival_learnt import Deaths
from breadline.errors import TrialError
from breadline.language import say
from breadline.span import FloatArray, Span

DF = 4  # degrees of freedom of season effects
MIDDLE_OF_HALF_NORMAL = float(ndtri(0.75))  # median of a half-normal over its scale [-]
SCORES = np.linspace(-6.5, 6.5, 301)  # of the grid of μ, under the belief before [sd]
SPREADS, WIDEST = 40, 5.5  # nodes of τ, up to so many scales of its half-normal
LOG_PRECISIONS = np.linspace(-16.0, 3.0, 49)  # of the normal that a t is mixed from [-]
BEYOND, STEPS = 8.0, 801  # how far next season's grid reaches, in spreads, and its points


@dataclass(frozen=True)
class Before:
    """What is believed before any season of one's own.

    Parameters
    ----------
    mean
        Of μ, the mean over seasons. [log ratio]
    season_sd
        Median of τ, the scale of season effects; half-normal. [log ratio]
    """

    mean: Span
    season_sd: float

    def __post_init__(self) -> None:
        if not (np.isfinite(self.season_sd) and self.season_sd > 0):
            raise TrialError("spread between seasons", f"{self.season_sd:g}", say("a spread above 0"))


@dataclass(frozen=True)
class SeasonResult:
    """What a fair trial came to.

    Parameters
    ----------
    season
        Which one; results of one season share its effect.
    log_ratio, se
        Bees of fed over bees of unfed colonies, and its standard error; of those that lived where
        ``deaths`` stand beside it. [log ratio]
    deaths
        Colonies that were lost, yard by yard; None where they stand in the log ratio as 0.
    """

    season: str
    log_ratio: float
    se: float
    deaths: tuple[Deaths, ...] | None = None

    @property
    def of_living(self) -> bool:
        """Whether colonies were lost and the log ratio is of those that lived."""
        return any(of.fed_lost + of.check_lost > 0 for of in self.deaths or ())

    def __post_init__(self) -> None:
        if not (np.isfinite(self.log_ratio) and np.isfinite(self.se) and self.se > 0):
            raise TrialError(
                f"result of {self.season}",
                say("{log_ratio:g} with an error of {se:g}", log_ratio=self.log_ratio, se=self.se),
                say("a log ratio with a standard error above 0"),
            )


@dataclass(frozen=True, eq=False)
class Learnt:
    """The belief about μ and τ on a grid.

    Parameters
    ----------
    mean
        Grid of μ, rising, shape (means,). [log ratio]
    spread
        Nodes of τ, rising, shape (spreads,). [log ratio]
    weight
        Of each pair, sum 1, shape (means, spreads). [share]
    """

    mean: FloatArray
    spread: FloatArray
    weight: FloatArray

    def mean_at(self, share: FloatArray) -> FloatArray:
        """Quantiles of μ at each ``share`` [share]; the shape of ``share`` [log ratio]."""
        return _quantile(self.mean, self.weight.sum(1), share)

    def spread_at(self, share: FloatArray) -> FloatArray:
        """Quantiles of τ at each ``share`` [share]; the shape of ``share`` [log ratio]."""
        return _quantile(self.spread, self.weight.sum(0), share)

    def mean_below(self, value: float) -> float:
        """Chance that μ lies below ``value`` [log ratio]. [share]"""
        return _below(self.mean, self.weight.sum(1), value)

    def spread_below(self, value: float) -> float:
        """Chance that τ lies below ``value`` [log ratio]. [share]"""
        return _below(self.spread, self.weight.sum(0), value)

    @property
    def expected(self) -> float:
        """Mean of μ, and so of next season's result. [log ratio]"""
        return float(self.weight.sum(1) @ self.mean)

    def next_below(self, value: FloatArray) -> FloatArray:
        """Chance that next season's own result lies below each ``value`` [log ratio], its shape. [share]

        That of μ and a new season effect, without any error of measuring.
        """
        flat = np.ravel(value)
        chance = np.zeros(flat.size)
        for k, spread in enumerate(self.spread):
            chance += _t_below((flat[:, None] - self.mean[None, :]) / spread) @ self.weight[:, k]
        return chance.reshape(np.shape(value))

    def next_at(self, share: FloatArray) -> FloatArray:
        """Quantiles of next season's own result at each ``share`` [share]; its shape [log ratio]."""
        reach = BEYOND * (float(np.ptp(self.mean_at(np.array([0.05, 0.95])))) + float(self.spread[-1]))
        values = self.expected + reach * np.sinh(np.linspace(-4.0, 4.0, STEPS)) / np.sinh(4.0)
        return np.asarray(np.interp(share, self.next_below(values), values))


def learnt(before: Before, results: Sequence[SeasonResult]) -> Learnt:
    """The belief after the results of one's own seasons; before any where there are none.

    Results of one season are first taken together by their precision, because they share the
    season's effect: three trials in one odd year are one odd year.

    Errors
    ------
    TrialError
        If a result is no number.
    """
    spread, spread_weight = _spreads(before.season_sd)
    mean = before.mean.at(SCORES)
    log_weight = -0.5 * SCORES[:, None] ** 2 + np.log(spread_weight)[None, :]
    for one in by_season(results):
        log_weight = log_weight + np.log(likelihood(one, mean, spread))
    weight = np.exp(log_weight - log_weight.max())
    return Learnt(mean, spread, weight / weight.sum())


def by_season(results: Sequence[SeasonResult]) -> tuple[SeasonResult, ...]:
    """One result a season, those of the same season weighed by their precision."""
    seasons: dict[str, list[SeasonResult]] = {}
    for one in results:
        seasons.setdefault(which_season(one.season), []).append(one)
    return tuple(_together(each) for each in seasons.values())


def likelihood(result: SeasonResult, mean: FloatArray, spread: FloatArray) -> FloatArray:
    """Density of a result at each μ and τ, shape (means, spreads) [per log ratio].

    The normal error folded with the t of the season: a t is a normal whose precision is drawn from a
    gamma, so the two normals add up to one, and what is left is one smooth integral.

    Parameters
    ----------
    result
        The season's.
    mean, spread
        μ and τ, shapes (means,) and (spreads,). [log ratio]
    """
    precision, share = _precisions()
    variance = result.se**2 + spread[:, None] ** 2 / precision[None, :]
    off = (result.log_ratio - mean)[:, None, None] ** 2
    density = np.exp(-0.5 * off / variance) * (share / np.sqrt(2.0 * np.pi * variance))
    return np.asarray(np.maximum(density.sum(2), np.finfo(float).tiny))


def _together(results: Sequence[SeasonResult]) -> SeasonResult:
    weight = np.array([one.se**-2.0 for one in results])
    middle = float(weight @ [one.log_ratio for one in results] / weight.sum())
    apart = [one.deaths for one in results if one.deaths is not None]
    deaths = tuple(of for each in apart for of in each) if len(apart) == len(results) else None
    return SeasonResult(results[0].season, middle, float(weight.sum() ** -0.5), deaths)


def _spreads(middle: float) -> tuple[FloatArray, FloatArray]:
    """Nodes of τ with the weight of each under its half-normal, closer together near 0."""
    scale = middle / MIDDLE_OF_HALF_NORMAL
    node, weight = np.polynomial.legendre.leggauss(SPREADS)
    along = (node + 1.0) / 2.0
    spread = WIDEST * scale * along**2
    share = weight * along * np.exp(-0.5 * (spread / scale) ** 2)
    return spread, share / share.sum()


@lru_cache(maxsize=1)
def _precisions() -> tuple[FloatArray, FloatArray]:
    """Precisions of the normals that a t with 4 degrees of freedom is mixed from, and their shares."""
    precision = np.exp(LOG_PRECISIONS)
    share = precision**2 * np.exp(-DF / 2.0 * precision)  # gamma of shape 2, on the log scale
    return precision, share / share.sum()


def _t_below(score: FloatArray) -> FloatArray:
    """Student's t with 4 degrees of freedom, in closed form. [share]"""
    square = 1.0 + score**2 / 4.0
    return np.asarray(0.5 + 0.375 * score / np.sqrt(square) * (1.0 - score**2 / (12.0 * square)))


def _quantile(grid: FloatArray, weight: FloatArray, share: FloatArray) -> FloatArray:
    edge, below = _steps(grid, weight)
    return np.asarray(np.interp(share, below, edge))


def _below(grid: FloatArray, weight: FloatArray, value: float) -> float:
    edge, below = _steps(grid, weight)
    return float(np.interp(value, edge, below))


def _steps(grid: FloatArray, weight: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Each node's weight spread out evenly to half way to its neighbours; edges and what lies below them."""
    half = (grid[1:] + grid[:-1]) / 2.0
    edge = np.concatenate([[grid[0]], half, [grid[-1]]])
    return edge, np.concatenate([[0.0], np.cumsum(weight)])
