"""How long colonies lived: Kaplan–Meier curves and the log-rank test; a watch item, never a promise."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from breadline.errors import TrialError
from breadline.language import say
from breadline.span import FloatArray
from breadline.trial.classes import LEVEL
from breadline.verdict.ends import IntArray


@dataclass(frozen=True, eq=False)
class Lives:
    """How long each colony was followed, and whether it was seen to die.

    Parameters
    ----------
    days
        From the draw to death, or to the last look where alive or lost, shape (colonies,). [days]
    died
        Whether it died then, shape (colonies,).
    arm
        0 for the check group, 1 and up for the fed arms, shape (colonies,).
    stratum
        Yard or block within which arms are compared, any whole number, shape (colonies,).

    Errors
    ------
    TrialError
        If lengths differ, a time is none, or an arm has no colony.
    """

    days: FloatArray
    died: NDArray[np.bool_]
    arm: IntArray
    stratum: IntArray

    def __post_init__(self) -> None:
        if len({len(self.days), len(self.died), len(self.arm), len(self.stratum)}) != 1 or not len(self.days):
            raise TrialError(
                "colonies", say("days, deaths, arms and strata differ in length"), say("one row a colony")
            )
        if not np.all(np.isfinite(self.days) & (self.days >= 0)):
            raise TrialError(
                "days followed", say("a colony has none"), say("days from the draw to the last look")
            )
        if not np.array_equal(np.unique(self.arm), np.arange(int(self.arm.max()) + 1)):
            raise TrialError(
                "arms", say("an arm has no colony"), say("colonies in the check group (0) and every fed arm")
            )


@dataclass(frozen=True, eq=False)
class Curve:
    """A Kaplan–Meier curve at the days on which colonies died, all of shape (days,).

    Days are in [days], alive, its standard error (Greenwood) and its range (on the scale of
    log(-log), so that it stays within 0 and 1) a [share]; ``at_risk`` and ``deaths`` count colonies.
    Where none is left alive the range is not a number.
    """

    days: FloatArray
    at_risk: IntArray
    deaths: IntArray
    alive: FloatArray
    se: FloatArray
    low: FloatArray
    high: FloatArray


def kaplan_meier(days: FloatArray, died: NDArray[np.bool_], level: float = LEVEL) -> Curve:
    """Share of colonies alive after each death, for ``days`` [days] followed, shape (colonies,).

    ``level`` is that of the range after each death [share].

    A colony last seen alive on a day on which another died still counts as at risk on it.

    Sources
    -------
    [kaplan_meier1958].
    """
    when = np.unique(days[died])
    at_risk = np.sum(days[None, :] >= when[:, None], axis=1)
    deaths = np.sum((days[None, :] == when[:, None]) & died[None, :], axis=1)
    alive = np.cumprod(1.0 - deaths / at_risk)
    left = np.maximum(at_risk - deaths, 1)
    spread = np.sqrt(np.cumsum(deaths / (at_risk * left)))
    low, high = _range(alive, spread, level)
    return Curve(when, at_risk, deaths, alive, alive * spread, low, high)


def _range(alive: FloatArray, spread: FloatArray, level: float) -> tuple[FloatArray, FloatArray]:
    """From log(-log alive), whose standard error is ``spread`` over -log alive [share]."""
    some = alive > 0.0
    log = np.where(some, np.log(np.where(some, alive, 1.0)), -1.0)
    reach = float(stats.norm.ppf((1.0 + level) / 2.0)) * spread / -log
    low, high = (np.where(some, np.exp(log * np.exp(way * reach)), np.nan) for way in (1.0, -1.0))
    return low, high


def all_alike(colonies: int, level: float = LEVEL) -> float:
    """How far a share may lie from 1 where each of so many ``colonies`` lives, or from 0 where none does.

    The exact range of ``level`` [share] with half of what is left at each end, after Clopper and Pearson;
    at 95 in 100 it is somewhat more than the rule of three, 3 over the colonies.

    Sources
    -------
    [clopper_pearson1934].
    """
    return float(1.0 - ((1.0 - level) / 2.0) ** (1.0 / colonies)) if colonies else 1.0


@dataclass(frozen=True)
class LogRank:
    """Log-rank test that all arms die at the same rate.

    Parameters
    ----------
    observed, expected
        Deaths of each arm, seen and expected were arms alike. [colonies]
    chi_square
        The statistic. [-]
    df
        Arms less one.
    """

    observed: tuple[int, ...]
    expected: tuple[float, ...]
    chi_square: float
    df: int

    @property
    def p(self) -> float:
        """Chance of a chi-square at least as large were arms alike [share]."""
        return float(stats.chi2.sf(self.chi_square, self.df))


def log_rank_scores(lives: Lives) -> FloatArray:
    """What each colony adds to the deaths of its arm above those expected, shape (colonies,). [colonies]

    One for a death, less the chance of dying that it lived through among all of its stratum. The sum over an
    arm is its deaths seen less those expected in the log-rank test, whichever colonies are called that arm.

    Sources
    -------
    [mantel1966].
    """
    scores = lives.died.astype(np.float64)
    for stratum in np.unique(lives.stratum):
        inside = np.flatnonzero(lives.stratum == stratum)
        days, died = lives.days[inside], lives.died[inside]
        when = np.unique(days[died])
        at_risk = np.sum(days[None, :] >= when[:, None], axis=1)
        deaths = np.sum((days[None, :] == when[:, None]) & died[None, :], axis=1)
        lived_through = np.concatenate([[0.0], np.cumsum(deaths / at_risk)])
        scores[inside] -= lived_through[np.searchsorted(when, days, side="right")]
    return scores


def log_rank(lives: Lives) -> LogRank:
    """The log-rank test, colonies compared within their stratum.

    Errors
    ------
    TrialError
        If there is one arm only, or no death tells them apart.

    Sources
    -------
    [mantel1966].
    """
    arms = int(lives.arm.max()) + 1
    if arms < 2:
        raise TrialError("arms", say("one arm"), say("two arms or more"))
    observed, expected, spread = np.zeros(arms), np.zeros(arms), np.zeros((arms, arms))
    for stratum in np.unique(lives.stratum):
        inside = lives.stratum == stratum
        for day in np.unique(lives.days[inside & lives.died]):
            risk = inside & (lives.days >= day)
            dying = risk & (lives.days == day) & lives.died
            at_risk = np.bincount(lives.arm[risk], minlength=arms).astype(np.float64)
            whole, deaths = at_risk.sum(), float(dying.sum())
            share = at_risk / whole
            observed += np.bincount(lives.arm[dying], minlength=arms)
            expected += deaths * share
            factor = deaths * (whole - deaths) / (whole - 1.0) if whole > 1 else 0.0
            spread += factor * (np.diag(share) - np.outer(share, share))
    more = (observed - expected)[1:]
    if np.linalg.matrix_rank(spread[1:, 1:]) < arms - 1:
        raise TrialError(
            "deaths", say("no death tells the arms apart"), say("deaths while both arms were followed")
        )
    chi_square = float(more @ np.linalg.solve(spread[1:, 1:], more))
    return LogRank(tuple(int(o) for o in observed), tuple(expected.tolist()), chi_square, arms - 1)
