"""Whether counts can be explained at all, and what is shown where they cannot."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
from scipy.special import chdtrc, log_ndtr, logsumexp, ndtri_exp

from breadline.need.few_years import Z90
from breadline.need.fit import before
from breadline.need.fit.before import would_count
from breadline.need.fit.evidence import Seen
from breadline.need.fit.ready import Case
from breadline.span import FloatArray

UNLIKELY = 0.01  # chance of such counts, were the model right, below which it does not fit
WIDER = 1.5  # scores of an ensemble that does not fit, against those before the fit


def surprises(looks: Sequence[Seen], would: Sequence[FloatArray]) -> list[float]:
    """How many standard deviations each count of a day lies off what was foretold for it. [-]

    ``would`` is what equally likely draws before the day would show, shape (draws,) each, in
    the unit of the count's ``value``. A count is foretold from those of its day before it
    too, since what is wrong with one is wrong with the next; so each surprise is new.
    """
    found: list[float] = []
    weight = np.zeros(len(would[0])) if would else np.zeros(0)
    for one, shown in zip(looks, would, strict=True):
        found.append(_surprise(one, shown, weight - logsumexp(weight)))
        weight = weight + one.log_likelihood(shown)
    return found


def _surprise(one: Seen, would: FloatArray, log_weight: FloatArray) -> float:
    """The normal score of the chance of a count no larger, over all draws by weight. [-]

    No law of the draws is taken for granted: ensembles that may starve are far from normal. Of a
    count of none, which is any count below the least, the middle of that chance is taken.
    """
    off = one.off(would)
    below, above = (float(logsumexp(log_weight + log_ndtr(side))) for side in (off, -off))
    if one.value <= 0:
        below -= float(np.log(2.0))
        above = float(np.log1p(-np.exp(below)))
    return float(ndtri_exp(below)) if below < above else -float(ndtri_exp(above))


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
