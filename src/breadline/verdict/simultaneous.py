"""Intervals of several contrasts that hold together: Dunnett and Tukey–Kramer.

At most four arms, so at most three differences from the check group and six between
arms. The locked primary contrast never needs these; the other ones do.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import optimize, stats
from scipy.special import ndtr

from breadline.errors import TrialError
from breadline.language import say
from breadline.span import FloatArray
from breadline.verdict.ancova import Fit, contrast, covariance
from breadline.verdict.contrast import Contrast

MOST_TOGETHER = 3  # differences that the exact integral is written for
SPREAD_NODES, NORMAL_NODES = 48, 48  # Gauss–Legendre nodes: twice as many change no printed digit
RARE = 1e-13  # of the spread's distribution left out at either end [share]
FAR = 8.0  # the normal distribution beyond this many standard deviations is 0 in double precision


@dataclass(frozen=True)
class Together:
    """A contrast with an interval that holds together with the others of its family.

    Parameters
    ----------
    first, second
        Arms compared, second less first; 0 is the check group.
    contrast
        The difference with its own standard error.
    low, high
        The simultaneous interval. [unit of the outcome]
    """

    first: int
    second: int
    contrast: Contrast
    low: float
    high: float

    @property
    def told_apart(self) -> bool:
        """Whether the interval leaves out 0; where not, the two arms are not ranked."""
        return self.low > 0.0 or self.high < 0.0


def against_check(fitted: Fit, level: float) -> tuple[Together, ...]:
    """Dunnett: every fed arm less the check group, all intervals right together at ``level`` [share].

    The correlation of the differences is that of their HC2 covariance; each difference
    keeps its own degrees of freedom.

    Sources
    -------
    [dunnett1955].
    """
    asked = np.array([_pair(fitted.arms, 0, arm) for arm in range(1, fitted.arms)])
    spread = covariance(fitted, asked)
    scale = np.sqrt(np.diag(spread))
    correlation = spread / np.outer(scale, scale)
    found = []
    for arm, weights in enumerate(asked, start=1):
        one = contrast(fitted, weights)
        found.append(_together(0, arm, one, dunnett_quantile(correlation, one.df, level)))
    return tuple(found)


def between_all(fitted: Fit, level: float) -> tuple[Together, ...]:
    """Tukey–Kramer: every arm less every earlier one, all intervals right together at ``level`` [share].

    With HC2 standard errors and each pair's own degrees of freedom, as Games and Howell
    have it for unequal spread.

    Sources
    -------
    [kramer1956] and [games_howell1976].
    """
    found = []
    for first in range(fitted.arms):
        for second in range(first + 1, fitted.arms):
            one = contrast(fitted, _pair(fitted.arms, first, second))
            found.append(_together(first, second, one, tukey_quantile(fitted.arms, one.df, level)))
    return tuple(found)


def tukey_quantile(arms: int, df: float, level: float) -> float:
    """How many standard errors of a difference Tukey–Kramer's interval reaches, ``level`` [share] [-]."""
    return float(stats.studentized_range.ppf(level, arms, df) / np.sqrt(2.0))


def dunnett_quantile(correlation: FloatArray, df: float, level: float) -> float:
    """How many standard errors Dunnett's two-sided interval reaches [-].

    Parameters
    ----------
    correlation
        Of the differences, shape (differences, differences), at most three. [-]
    df
        Degrees of freedom of the spread. [-]
    level
        Chance that all intervals hold. [share]
    """
    if len(correlation) > MOST_TOGETHER:
        raise TrialError(
            "arms",
            say("{correlation} arms", correlation=len(correlation) + 1),
            say("at most four arms, the check group counted"),
        )

    def short(reach: float) -> float:
        return chance_all_within(correlation, df, reach) - level

    alone = float(stats.t.ppf((1.0 + level) / 2.0, df))
    bonferroni = float(stats.t.ppf(1.0 - (1.0 - level) / 2.0 / len(correlation), df))
    if bonferroni - alone < 1e-12:
        return alone
    return float(optimize.brentq(short, alone - 1e-6, bonferroni + 1e-6, xtol=1e-10))


def chance_all_within(correlation: FloatArray, df: float, reach: float) -> float:
    """Chance that |t| stays within ``reach`` [-] for all of several correlated t values [share].

    ``correlation`` has shape (values, values) [-], at most three; ``df`` is of their shared
    spread [-]. Integrated over that spread and over all values but one.
    """
    at, weight = np.polynomial.legendre.leggauss(SPREAD_NODES)
    low, high = stats.chi.ppf(RARE, df), stats.chi.isf(RARE, df)
    spread = (low + high) / 2.0 + (high - low) / 2.0 * at
    weight = weight * (high - low) / 2.0 * stats.chi.pdf(spread, df)
    return float(np.sum(weight * _normal_within(_lower(correlation), reach * spread / np.sqrt(df))))


def _lower(correlation: FloatArray) -> FloatArray:
    """Lower triangle of a correlation, 3 by 3; values that were not asked for stand apart at 0."""
    whole = np.eye(MOST_TOGETHER)
    n = len(correlation)
    whole[:n, :n] = correlation
    values, vectors = np.linalg.eigh(whole)  # a correlation of exactly 1 has no triangle of its own
    whole = vectors @ np.diag(np.maximum(values, 1e-12)) @ vectors.T
    lower: FloatArray = np.linalg.cholesky(whole)
    if n < MOST_TOGETHER:
        lower[n:, :] = 0.0
    return lower


def _normal_within(lower: FloatArray, reaches: FloatArray) -> FloatArray:
    """Chance that all of three normal values stay within each reach, shape (reaches,)."""
    at, weight = np.polynomial.legendre.leggauss(NORMAL_NODES)
    reach = reaches[:, None, None]
    first_reach = np.minimum(reach / lower[0, 0], FAR)
    first = first_reach * at[None, :, None]
    first_weight = first_reach * weight[None, :, None] * _density(first)
    low, high = _rest(lower[1, 0] * first, lower[1, 1], reach)
    middle, half = (high + low) / 2.0, (high - low) / 2.0
    second = middle + half * at[None, None, :]
    second_weight = half * weight[None, None, :] * _density(second)
    if lower[1, 1] == 0.0:
        second, second_weight = np.zeros_like(second), np.full_like(second, 1.0 / NORMAL_NODES)
    low, high = _rest(lower[2, 0] * first + lower[2, 1] * second, lower[2, 2], reach)
    inside = ndtr(high) - ndtr(low) if lower[2, 2] > 0.0 else 1.0
    chance: FloatArray = np.sum(first_weight * second_weight * inside, axis=(1, 2))
    return chance


def _rest(known: FloatArray, scale: float, reach: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Where the next normal value may lie once the earlier ones are known."""
    if scale == 0.0:
        return np.zeros_like(known), np.zeros_like(known)
    return np.clip((-reach - known) / scale, -FAR, FAR), np.clip((reach - known) / scale, -FAR, FAR)


def _density(z: FloatArray) -> FloatArray:
    density: FloatArray = np.exp(-0.5 * z**2) / np.sqrt(2.0 * np.pi)
    return density


def _pair(arms: int, first: int, second: int) -> FloatArray:
    weights = np.zeros(arms)
    weights[second], weights[first] = 1.0, -1.0
    return weights


def _together(first: int, second: int, one: Contrast, reach: float) -> Together:
    return Together(first, second, one, one.estimate - reach * one.se, one.estimate + reach * one.se)
