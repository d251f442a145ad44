"""What the answer of a comparison is worth in the seasons to come, and what it costs to get."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

import numpy as np
from scipy import stats
from scipy.special import ndtri

from breadline.errors import TrialError
from breadline.language import say
from breadline.span import FloatArray
from breadline.trial.value_path import ValuePath

DRAWS = 20_000  # of results, where a frame is not always worth the same
GRID, REACH = 161, 6.0  # results at which the mean worth is worked out, so many standard deviations out
NODES = 32  # of Gauss and Hermite, over what a season may bring
NEAR = 0.05  # below the best that still counts as as good [share]


@dataclass(frozen=True)
class Belief:
    """What is believed of the benefit before the trial.

    Parameters
    ----------
    mean, sd
        Of the benefit over all seasons of this situation. [unit of the outcome]
    between
        How far the benefit of one season lies from it. [unit of the outcome]
    """

    mean: float
    sd: float
    between: float

    def __post_init__(self) -> None:
        if not (np.isfinite(self.mean) and self.sd > 0 and self.between >= 0):
            raise TrialError(
                "belief",
                say(
                    "{mean:g} ± {sd:g}, between seasons {between:g}",
                    mean=self.mean,
                    sd=self.sd,
                    between=self.between,
                ),
                say("a spread above 0 and one between seasons of 0 or more"),
            )

    def halved(self) -> Belief:
        """The same for half the feed."""
        return Belief(self.mean / 2.0, self.sd / 2.0, self.between / 2.0)


@dataclass(frozen=True)
class Ahead:
    """In how many seasons of the same situation the answer is used.

    Parameters
    ----------
    colonies
        That a season's decision is about. [colonies]
    seasons
        After the trial's own. [seasons]
    discount
        What money a season later is worth less. [share]
    """

    colonies: float
    seasons: int
    discount: float

    def __post_init__(self) -> None:
        if self.colonies < 0 or self.seasons < 0 or not 0.0 <= self.discount < 1.0:
            raise TrialError(
                "seasons ahead",
                say(
                    "{colonies:g} colonies, {seasons} seasons, discount {discount:g}",
                    colonies=self.colonies,
                    seasons=self.seasons,
                    discount=self.discount,
                ),
                say("0 or more, and a discount from 0 to below 1"),
            )

    @property
    def weight(self) -> float:
        """Colonies times seasons, later ones counting less: Σ N·d^t. [colonies]"""
        left = 1.0 - self.discount
        return self.colonies * sum(left**t for t in range(1, self.seasons + 1))


@dataclass(frozen=True)
class Grading:
    """What grading costs.

    Parameters
    ----------
    minutes
        A colony and time. [min]
    times
        How often those of the comparison are graded. [-]
    wage
        Of the grader. [money/h]
    """

    minutes: float
    times: int
    wage: float

    @property
    def a_colony(self) -> float:
        """All its gradings. [money/colony]"""
        return self.once * self.times

    @property
    def once(self) -> float:
        """One grading. [money/colony]"""
        return self.minutes / 60.0 * self.wage


@dataclass(frozen=True)
class TrialCost:
    """What a comparison costs; below 0 it saves. [money]"""

    grading: float
    unfed: float  # what unfed colonies are expected to lose, less the feed that they do not get
    fed: float  # what feeding is expected to lose on colonies fed for the comparison only

    @property
    def total(self) -> float:
        """All of it. [money]"""
        return self.grading + self.unfed + self.fed


def unit_normal_loss(u: float) -> float:
    """Mean of what a standard normal variable has above ``u`` [-].

    Sources
    -------
    [raiffa_schlaifer1961]: φ(u) − u(1 − Φ(u)).
    """
    return float(stats.norm.pdf(u) - u * stats.norm.sf(u))


def spread_of_result(belief: Belief, se: float) -> float:
    """How far the result will move the mean of the belief [unit of the outcome].

    ``se`` is the trial's standard error [unit of the outcome]; what it estimates is the
    benefit of its own season.
    """
    return belief.sd**2 / sqrt(belief.sd**2 + se**2 + belief.between**2)


def expected_money(belief: Belief, path: ValuePath, cost: float) -> float:
    """What feeding is expected to bring, less its ``cost`` [money/colony]."""
    if path.linear:
        return path.money(belief.mean) - cost
    sd = sqrt(belief.sd**2 + belief.between**2)
    return float(_mean_money(np.array([belief.mean]), sd, path)[0]) - cost


def answer_linear(belief: Belief, path: ValuePath, cost: float, se: float) -> float:
    """What an answer is worth, a colony and season, where every unit is worth the same [money/colony].

    ``se`` is the trial's standard error [unit of the outcome], ``cost`` that of feeding [money/colony].
    """
    a_unit = path.money(1.0)
    moves = spread_of_result(belief, se)
    return a_unit * moves * unit_normal_loss(abs(belief.mean - path.break_even(cost)) / moves)


def answer_drawn(belief: Belief, path: ValuePath, cost: float, se: float) -> float:
    """The same by draws of the result, for any path from the outcome to money [money/colony].

    ``se`` is in the unit of the outcome [unit of the outcome], ``cost`` that of feeding [money/colony].
    """
    moves = spread_of_result(belief, se)
    left = sqrt(belief.sd**2 - moves**2 + belief.between**2)
    at = belief.mean + moves * np.linspace(-REACH, REACH, GRID)
    worth = _mean_money(at, left, path) - cost
    result = belief.mean + moves * _scores()
    decided = float(np.mean(np.maximum(0.0, np.interp(result, at, worth))))
    return max(0.0, decided - max(0.0, expected_money(belief, path, cost)))


def answer_worth(belief: Belief, path: ValuePath, cost: float, se: float) -> float:
    """What an answer is worth, a colony and season [money/colony].

    ``se`` is the trial's standard error [unit of the outcome], ``cost`` that of feeding [money/colony].
    """
    found = answer_linear if path.linear else answer_drawn
    return found(belief, path, cost, se)


def _mean_money(means: FloatArray, sd: float, path: ValuePath) -> FloatArray:
    """Mean money of a normal effect of each mean and one spread, shape (means,) [money/colony]."""
    at, weight = np.polynomial.hermite_e.hermegauss(NODES)
    money = path.moneys(means[:, None] + sd * at)
    return np.asarray(money @ (weight / weight.sum()))


def _scores() -> FloatArray:
    """Normal scores, one from the middle of each n-th of the chance, shape (DRAWS,) [sd]."""
    return np.asarray(ndtri((np.arange(DRAWS) + 0.5) / DRAWS))


def trial_cost(
    units: tuple[int, int], grading: Grading, expected: float, feeds: bool, before: int = 0
) -> TrialCost:
    """What it costs to leave so many colonies unfed, and to grade them.

    Parameters
    ----------
    units
        Unfed and fed colonies of the comparison.
    grading
        What grading costs.
    expected
        What feeding is expected to bring, its cost taken off. [money/colony]
    feeds
        Whether colonies are fed where there is no comparison.
    before
        Colonies that are graded for the draw, in the comparison or not. [colonies]
    """
    graded = grading.a_colony * sum(units) + grading.once * before
    if feeds:
        return TrialCost(graded, units[0] * expected, 0.0)
    return TrialCost(graded, 0.0, -units[1] * expected)


def best_of(net: Sequence[float]) -> tuple[int, tuple[int, ...]]:
    """Which of several sizes is worth most, and which are as good within 5 in 100.

    ``net`` is worth less cost of each [money].
    """
    best = int(np.argmax(net))
    least = net[best] - NEAR * abs(net[best])
    return best, tuple(i for i, one in enumerate(net) if one >= least)
