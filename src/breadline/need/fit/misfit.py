"""Whether counts can be explained at all, and what is shown where they cannot."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from scipy.special import chdtrc

from breadline.need.fit import before
from breadline.need.fit.before import would_count
from breadline.need.fit.evidence import Seen
from breadline.need.fit.ready import Case
from breadline.span import FloatArray

UNLIKELY = 0.01  # chance of such counts, were the model right, below which it does not fit
Z90 = 1.2815515655446004  # the normal quantile of 0.9
WIDER = 1.5  # scores of an ensemble that does not fit, against those before the fit


def surprise(one: Seen, would: FloatArray) -> float:
    """How many standard deviations a count lies off what was foretold for it. [-]

    ``would`` is what equally likely draws before it would show, in the unit of ``one.value``.
    """
    off = one.off(would)  # in standard deviations of the count about a draw
    return float(off.mean() / np.sqrt(1.0 + off.var()))


def chance_of_misfit(surprises: Sequence[float]) -> float:
    """Chance of counts that surprise [-] so much, were the model right. [share]

    Two questions are asked, each for half of the chance: whether all counts together lie
    too far off (sum of squares, chi-squared law), and whether the worst of them does (normal
    law, times the number of counts).
    """
    square = np.asarray(surprises) ** 2
    together = float(chdtrc(len(square), square.sum()))
    worst = len(square) * float(chdtrc(1, square.max()))
    return min(1.0, 2.0 * min(together, worst))


def widened(
    case: Case, drawn: Mapping[str, FloatArray], rng: np.random.Generator
) -> tuple[dict[str, FloatArray], FloatArray]:
    """The ensemble before the fit made wider: no sharp answer from a model that does not fit.

    Values each in its own unit, as ``drawn``, and by what the colony is stretched [-]. Scores
    are stretched within the published ranges, and the colony so far that 1 draw in 10 lies
    beyond the worst count.
    """
    values = case.all_of.values(WIDER * case.all_of.drawn)
    course = before.lived(drawn, case.at)
    worst = 0.0
    for one in case.seen:
        middle = float(np.median(would_count(one, course, drawn)))
        counted = max(one.value, one.least if one.value <= 0 else one.value)
        worst = max(worst, abs(np.log(counted / max(middle, 1e-3 * one.least))))
    n = case.all_of.drawn.shape[1]
    return values, np.asarray(np.exp(rng.normal(0.0, min(worst, 2.0) / Z90, n)))
