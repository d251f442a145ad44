"""One effect of a mixed model as a contrast; none where the adjusted error is no error."""

from __future__ import annotations

import numpy as np

from breadline.verdict.contrast import Contrast
from breadline.verdict.reml import MixedFit


def model_contrast(found: MixedFit, column: int) -> Contrast | None:
    """The effect of a column with Kenward and Roger's error and at least one degree of freedom.

    None where their adjustment leaves no variance, as it may with hardly any colonies.
    """
    with np.errstate(invalid="ignore", divide="ignore"):
        told = found.effect(column)
    if not (np.isfinite(told.se) and told.se > 0 and np.isfinite(told.df)):
        return None
    return Contrast(told.estimate, told.se, max(told.df, 1.0))
