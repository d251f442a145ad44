"""Few colonies in a group and some lost: the interval that does not trust the few to show the losses."""

from __future__ import annotations

import numpy as np

from breadline.span import FloatArray
from breadline.trial.classes import LEVEL
from breadline.verdict.ancova import Fit, classical_contrast
from breadline.verdict.contrast import Contrast
from breadline.verdict.ends_of import Came

FEW = 20  # colonies in the smaller group below which the few may happen to hold no lost one


def careful(fitted: Fit, weights: FloatArray, plain: Contrast, came: Came) -> Contrast:
    """The wider of two intervals where a small group shows fewer losses than all; else ``plain``.

    Six colonies of which one in five dies hold no dead one in a quarter of trials; then their own
    spread is far too small. The spread of all colonies together knows of the lost ones.

    Parameters
    ----------
    fitted
        The fit that ``plain`` comes from.
    weights
        The contrast, one number an arm, shape (arms,). [-]
    plain
        With its own HC2 standard error.
    came
        The colonies.
    """
    known = ~came.missing
    arms, lost = came.ends.arm[known], came.nothing[known]
    groups = sorted((lost[arms == arm] for arm in np.flatnonzero(weights)), key=len)
    if len(groups[0]) >= FEW or groups[0].mean() >= lost[np.isin(arms, np.flatnonzero(weights))].mean():
        return plain
    together = classical_contrast(fitted, weights)
    return max(plain, together, key=lambda one: one.interval(LEVEL)[1])
