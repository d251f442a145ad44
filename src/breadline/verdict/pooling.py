"""Several trials together: a mean effect, how far effects differ, and what the next one may show.

For the user's own and cooperators' trials, each with its own standard error; which of
them are fair is decided before.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from scipy import optimize, stats

from breadline.errors import TrialError
from breadline.language import say
from breadline.span import FloatArray

Method = Literal["dersimonian_laird", "paule_mandel", "reml"]
STEPS, ENOUGH = 1000, 1e-12  # of the search for the most likely spread: its most, and when it stops [share]


@dataclass(frozen=True, eq=False)
class Results:
    """Effects of several trials.

    Parameters
    ----------
    effect, se
        Of each trial, shape (trials,). [unit of the outcome]

    Errors
    ------
    TrialError
        If there are fewer than two, or a standard error is not above 0.
    """

    effect: FloatArray
    se: FloatArray

    def __post_init__(self) -> None:
        if len(self.effect) != len(self.se) or len(self.effect) < 2:
            raise TrialError(
                "trials", f"{len(self.effect)}", say("two trials or more, each with its standard error")
            )
        if not (np.all(np.isfinite(self.effect)) and np.all(np.isfinite(self.se) & (self.se > 0))):
            raise TrialError(
                "trials", say("an effect or its standard error is none"), say("standard errors above 0")
            )


@dataclass(frozen=True)
class Pooled:
    """The mean effect of several trials.

    Parameters
    ----------
    mean, se
        Mean effect, and its standard error by the inverse variances. [unit of the outcome]
    hartung_knapp_se
        Standard error by how far the trials lie from the mean. [unit of the outcome]
    between_sd
        Standard deviation of true effects between trials. [unit of the outcome]
    q
        Cochran's Q: how far the trials lie apart, chi-square were all effects alike. [-]
    trials
        How many.
    """

    mean: float
    se: float
    hartung_knapp_se: float
    between_sd: float
    q: float
    trials: int

    def interval(self, level: float) -> tuple[float, float]:
        """Hartung–Knapp interval of the mean at ``level`` [share], [unit of the outcome].

        Never narrower than by the inverse variances: two trials that happen to agree are
        no proof of a sharp mean.
        """
        reach = _t(level, self.trials - 1) * max(self.hartung_knapp_se, self.se)
        return self.mean - reach, self.mean + reach

    def next_trial(self, level: float) -> tuple[float, float] | None:
        """Where the true effect of a further trial lies at ``level`` [share], [unit of the outcome].

        None with two trials: they leave no degree of freedom for it.

        Sources
        -------
        [higgins2009].
        """
        if self.trials < 3:
            return None
        reach = _t(level, self.trials - 2) * float(np.hypot(self.between_sd, self.se))
        return self.mean - reach, self.mean + reach


def pool(results: Results, method: Method) -> Pooled:
    """Mean effect with effects differing between trials.

    Sources
    -------
    [dersimonian_laird1986], [paule_mandel1982], [hartung_knapp2001].
    """
    between = {"dersimonian_laird": _by_moments, "paule_mandel": _by_q, "reml": _by_likelihood}[method](
        results
    )
    mean, weight = _mean(results, between)
    spread = float(np.sum(weight * (results.effect - mean) ** 2))
    trials = len(results.effect)
    return Pooled(
        mean,
        float(1.0 / np.sqrt(weight.sum())),
        float(np.sqrt(spread / (trials - 1) / weight.sum())),
        float(np.sqrt(between)),
        _q(results, 0.0),
        trials,
    )


def pool_alike(results: Results) -> Pooled:
    """Mean effect were all true effects alike (the fixed-effect mean)."""
    mean, weight = _mean(results, 0.0)
    trials, q = len(results.effect), _q(results, 0.0)
    own = float(np.sqrt(q / (trials - 1) / weight.sum()))
    return Pooled(mean, float(1.0 / np.sqrt(weight.sum())), own, 0.0, q, trials)


def _t(level: float, df: int) -> float:
    return float(stats.t.ppf((1.0 + level) / 2.0, df))


def _mean(results: Results, between: float) -> tuple[float, FloatArray]:
    weight = 1.0 / (results.se**2 + between)
    return float(weight @ results.effect / weight.sum()), weight


def _q(results: Results, between: float) -> float:
    mean, weight = _mean(results, between)
    return float(np.sum(weight * (results.effect - mean) ** 2))


def _by_moments(results: Results) -> float:
    """Variance between trials by DerSimonian and Laird."""
    weight = results.se**-2
    scale = float(weight.sum() - np.sum(weight**2) / weight.sum())
    return max(0.0, (_q(results, 0.0) - (len(weight) - 1)) / scale)


def _by_q(results: Results) -> float:
    """Variance between trials at which Q is what it should be on average (Paule and Mandel)."""
    wanted = len(results.effect) - 1
    if _q(results, 0.0) <= wanted:
        return 0.0
    high = float(np.ptp(results.effect) ** 2)
    while _q(results, high) > wanted:
        high *= 2.0
    return float(optimize.brentq(lambda between: _q(results, between) - wanted, 0.0, high, xtol=1e-14))


def _by_likelihood(results: Results) -> float:
    """Variance between trials by restricted maximum likelihood (Fisher scoring, kept at 0 or above)."""
    between = float(_by_moments(results))
    for _ in range(STEPS):
        mean, weight = _mean(results, between)
        whole = float(weight.sum())
        score = float(np.sum(weight**2 * (results.effect - mean) ** 2) - whole + np.sum(weight**2) / whole)
        squares = float(np.sum(weight**2))
        curve = squares - 2.0 * float(np.sum(weight**3)) / whole + (squares / whole) ** 2
        step = max(score / curve, -between)
        between += step
        if abs(step) <= ENOUGH * (between + float(np.min(results.se**2))):
            return float(between)
    # Scoring can swing about the top for ever; then it is looked for between nought and a wide end.
    high = 4.0 * float(np.ptp(results.effect) ** 2)
    top = optimize.minimize_scalar(
        lambda at: -_restricted(results, at), bounds=(0.0, high), method="bounded", options={"xatol": 1e-13}
    )
    return float(max(0.0, top.x, key=lambda at: _restricted(results, at)))


def _restricted(results: Results, between: float) -> float:
    mean, weight = _mean(results, between)
    squares = np.sum(weight * (results.effect - mean) ** 2)
    return float(np.sum(np.log(weight)) - np.log(weight.sum()) - squares) / 2.0
