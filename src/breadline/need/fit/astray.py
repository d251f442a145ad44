"""How far the average colony of a yard lies off the season model, after the last look."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np

from breadline.need.fit.before import LASTING, would_count
from breadline.need.fit.ready import Case
from breadline.need.fit.told import What
from breadline.need.season import Course
from breadline.span import FloatArray

GROWS = 21  # days; a worker's rearing, in which an error of the model comes to show


def astray(
    case: Case, course: Course, values: Mapping[str, FloatArray], rng: np.random.Generator
) -> dict[What, FloatArray]:
    """Factors between each draw and the yard's average colony, shape (draws,) each. [-]

    A fit holds a count to be the draw, times the model's error, times reader and colonies. The
    first two are the average colony, which the bands are of. Where the kind was counted at
    the last look, its count tells how large the error is there; else it is any by its law.

    Parameters
    ----------
    case
        With the model's error of each kind.
    course, values
        Of the draws after the fit; ``values`` each in its own unit.
    rng
        The only source of chance.
    """
    draws = len(values["site"])
    return {
        what: np.exp(_error(what, sd, case, course, values, rng.standard_normal(draws)))
        for what, sd in case.spread.model.items()
    }


def grown(days: int) -> FloatArray:
    """How much of it shows so many mornings from the count on, shape (days, 1). [share]"""
    return np.asarray(np.minimum(1.0, np.arange(days) / GROWS))[:, None]


def _error(
    what: What, model_sd: float, case: Case, course: Course, values: Mapping[str, FloatArray], by: FloatArray
) -> FloatArray:
    """Log of the factor from standard scores ``by``, both of shape (draws,). [-]"""
    last = max(case.days)
    looks = [one for one in case.seen if one.day == last and one.what == what and one.value > 0]
    if last == 0 or not looks:
        return model_sd * by
    plain = {**values, LASTING[what]: np.zeros(len(by))}
    off = np.mean(
        [np.log(one.value / np.maximum(would_count(one, course, plain), 1e-3 * one.least)) for one in looks],
        axis=0,
    )
    count = np.mean([one.count_sd**2 for one in looks]) / len(looks)
    told = model_sd**2 / (model_sd**2 + count)  # the share of what the count is off by that is the model's
    return np.asarray(told * off + model_sd * np.sqrt(1 - told) * by)
