"""A trial's difference on the scale of the belief: the log ratio of fed to check colonies, with its error."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy import stats

from breadline.errors import TrialError
from breadline.language import say
from breadline.span import Z95, FloatArray
from breadline.verdict.ancova import FULL_LEVERAGE, contrast, fit
from breadline.verdict.ends import Ends

CLEAR_OF_NOTHING = 2.0  # standard errors that the check mean has to lie above 0


@dataclass(frozen=True)
class LogRatio:
    """Fed over check.

    Parameters
    ----------
    estimate
        Log of the adjusted mean of the fed arm over that of the check group. [log ratio]
    se
        Its error, widened so that a normal has the nine in ten of its t. [log ratio]
    fed, check
        The adjusted means. [unit of the outcome]
    """

    estimate: float
    se: float
    fed: float
    check: float


def log_ratio(ends: Ends, fed_arm: int) -> LogRatio:
    """The log ratio of one fed arm to the check group, colonies started, dead ones as 0.

    Means are those that each arm would have with the blocks and the mean baseline of all, so their
    difference is the contrast of the primary analysis. The error is the delta method's on HC2 residuals:
    both means come from the same colonies, and how they hang together is in it.

    Parameters
    ----------
    ends
        One row a unit: colonies, or yards where yards were drawn.
    fed_arm
        Which one, 1 and up.

    Errors
    ------
    TrialError
        If a mean is not clear of 0, or the arms cannot be compared.
    """
    fitted = fit(ends)
    apart = [fitted.weights(_against_check(arm, fitted.arms)) for arm in range(1, fitted.arms)]
    share = np.bincount(ends.arm, minlength=fitted.arms) / len(ends.arm)
    check = 1.0 / len(ends.arm) - sum(s * w for s, w in zip(share[1:], apart, strict=True))
    fed = check + apart[fed_arm - 1]
    means = float(fed @ ends.outcome), float(check @ ends.outcome)
    free = 1.0 - fitted.leverage
    # a colony alone in its block has no residual; where the contrast hangs on one, it refuses below
    residual = fitted.residuals / np.sqrt(np.where(free < FULL_LEVERAGE, np.inf, free))
    _refuse_nothing(means, (_error(fed, residual), _error(check, residual)))
    se = _error(fed / means[0] - check / means[1], residual)
    df = contrast(fitted, _against_check(fed_arm, fitted.arms)).df
    wider = float(stats.t.ppf(0.95, df)) / Z95
    return LogRatio(float(np.log(means[0] / means[1])), se * wider, *means)


def _against_check(arm: int, arms: int) -> FloatArray:
    weights = np.zeros(arms)
    weights[0], weights[arm] = -1.0, 1.0
    return weights


def _error(weights: FloatArray, residual: FloatArray) -> float:
    return float(np.sqrt(np.sum((weights * residual) ** 2)))


def _refuse_nothing(means: tuple[float, float], errors: tuple[float, float]) -> None:
    for name, mean, se in zip(("fed", "check"), means, errors, strict=True):
        if mean <= CLEAR_OF_NOTHING * se:
            raise TrialError(
                say("fed colonies") if name == "fed" else say("check colonies"),
                say("their mean of {mean:.1f} is not clear of nothing", mean=mean), say("a mean above 0"),
                say("Of such a trial nothing can be said in per cent; the verdict stands"),
            )  # fmt: skip
