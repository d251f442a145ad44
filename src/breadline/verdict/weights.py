"""The weights of arms in a comparison with the check group."""

from __future__ import annotations

import numpy as np

from breadline.span import FloatArray
from breadline.trial.colonies import CHECK


def contrast_of(fed: int, arms: int) -> FloatArray:
    """One fed arm less the check group, as weights of the arms, shape (arms,) [-]."""
    weights = np.zeros(arms)
    weights[CHECK], weights[fed] = -1.0, 1.0
    return weights
