"""Ends that cannot be known: what the estimate could be at worst and at best, and when it is too many."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from breadline.errors import TrialError
from breadline.language import say
from breadline.span import FloatArray
from breadline.verdict.ancova import contrast, fit
from breadline.verdict.contrast import Contrast
from breadline.verdict.ends import Ends

MOST_MISSING = 10  # per cent of an arm's colonies; more is no fair comparison
MOST_APART = 10  # points between the shares missing of two arms; so much is no fair comparison


@dataclass(frozen=True)
class Bounds:
    """The contrast with every unknown end at the value worst, and best, for the fed arm."""

    worst: Contrast
    best: Contrast

    def interval(self, level: float) -> tuple[float, float]:
        """From the worst case's low to the best case's high at ``level`` [share], [unit of the outcome]."""
        return self.worst.interval(level)[0], self.best.interval(level)[1]


def bounds(
    ends: Ends, missing: NDArray[np.bool_], arm_weights: FloatArray, least: float, most: float
) -> Bounds:
    """The contrast with the unknown ends anywhere between ``least`` and ``most``.

    Whether a high value helps or harms is asked of each colony's weight in the estimate, so
    that no other filling gives a lower, or a higher, estimate.

    Parameters
    ----------
    ends
        One row a colony started; what stands for a missing end does not matter, as long as it
        is a number.
    missing
        Whether a colony's end is not known, shape (colonies,).
    arm_weights
        The contrast, one number an arm, sum 0, shape (arms,). [-]
    least, most
        What a colony could have come to. [unit of the outcome]

    Errors
    ------
    TrialError
        If ``least`` is not below ``most``, or the contrast cannot be estimated.
    """
    if not (np.isfinite(least) and np.isfinite(most) and least < most):
        raise TrialError(
            "bounds",
            say("{least} to {most}", least=least, most=most),
            say("the least and the most that a colony could come to"),
        )
    helps = fit(ends).weights(arm_weights) > 0
    best = np.where(missing, np.where(helps, most, least), ends.outcome)
    worst = np.where(missing, np.where(helps, least, most), ends.outcome)
    found = [contrast(fit(replace(ends, outcome=filled)), arm_weights) for filled in (worst, best)]
    return Bounds(*found)


def unfair_missing(arm: NDArray[np.int64], missing: NDArray[np.bool_]) -> bool:
    """Whether too many ends are unknown for a fair comparison.

    True where more than 10 % of an arm are missing, or the shares of two arms lie 10 points
    or more apart; counted in whole colonies, so that no rounding decides.
    """
    started = np.bincount(arm).tolist()
    gone = np.bincount(arm, weights=missing, minlength=len(started)).astype(int).tolist()
    if min(started) == 0:
        raise TrialError("arms", say("an arm has no colony"), say("colonies in every arm"))
    too_many = any(100 * g > MOST_MISSING * n for g, n in zip(gone, started, strict=True))
    apart = any(
        100 * (gone[i] * started[j] - gone[j] * started[i]) >= MOST_APART * started[i] * started[j]
        for i in range(len(started))
        for j in range(len(started))
        if i != j
    )
    return too_many or apart
