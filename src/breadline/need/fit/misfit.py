"""Whether counts can be explained at all, and what is shown where they cannot."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from scipy.special import chdtrc

from breadline.need.fit import before
from breadline.need.fit.before import would_count
from breadline.need.fit.ready import Case
from breadline.need.season import Course
from breadline.span import FloatArray

UNLIKELY = 0.01  # chance of such counts, were the model right, below which it does not fit
Z90 = 1.2815515655446004  # the normal quantile of 0.9
WIDER = 1.5  # scores of an ensemble that does not fit, against those before the fit


def chance_of_misfit(case: Case, values: Mapping[str, FloatArray], course: Course) -> float:
    """Chance of counts as far off as these, were the model right; the first count among them. [share]

    ``values``, each in its own unit, are draws after the fit. The sum of squares of all
    counts over their errors is held against the chi-squared law.
    """
    square = np.zeros(course.adults.shape[1])
    many = 0
    for one in case.seen:
        square += one.off(would_count(one, course, values)) ** 2
        many += 1
    for name in ("adults", "brood"):
        drawn = case.all_of.ordered[case.all_of.names.index(name)]
        if drawn[0] < drawn[-1]:
            logs = np.log(drawn)
            square += ((np.log(values[name]) - logs.mean()) / logs.std()) ** 2
            many += 1
    return float(chdtrc(many, square).mean())


def widened(
    case: Case, drawn: Mapping[str, FloatArray], rng: np.random.Generator
) -> tuple[dict[str, FloatArray], FloatArray]:
    """The ensemble before the fit, wider: never a sharp answer from a model that does not fit.

    Scores are stretched within the published ranges, and the colony so far that 1 draw in
    10 lies beyond the worst count.
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
