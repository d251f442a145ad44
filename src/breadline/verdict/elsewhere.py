"""The second line: what to expect in another yard like these."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from breadline.errors import FitError
from breadline.language import say
from breadline.trial.classes import LEVEL
from breadline.trial.colonies import CHECK
from breadline.trial.design import Design, Unit
from breadline.verdict.contrast import Contrast
from breadline.verdict.ends_of import Came
from breadline.verdict.model_contrast import model_contrast
from breadline.verdict.reml import reml

LEAST_YARDS = 5  # holding both arms; fewer say nothing of how yards differ


@dataclass(frozen=True)
class Elsewhere:
    """The difference in another yard.

    Parameters
    ----------
    yards
        How many held both arms.
    contrast
        Kenward and Roger's; None where the model could not be fitted.
    alike
        Whether the effect was not seen to differ between yards (a variance estimated as 0).
    why_not
        Why there is none; "" where there is one.
    """

    yards: int
    contrast: Contrast | None
    alike: bool
    why_not: str = ""

    @property
    def interval(self) -> tuple[float, float] | None:
        """Nine times in ten. [unit of the outcome]"""
        return None if self.contrast is None else self.contrast.interval(LEVEL)


def elsewhere(design: Design, came: Came) -> Elsewhere | None:
    """By a mixed model with yards and yards' own effects; None with fewer than five yards."""
    known = ~came.missing
    arm, yard = came.ends.arm[known], came.yard[known]
    both = set(yard[arm == CHECK].tolist()) & set(yard[arm == design.primary].tolist())
    if design.unit is Unit.YARD or len(both) < LEAST_YARDS:
        return None
    fed = [(arm == k).astype(np.float64) for k in range(1, came.ends.arms)]
    fixed = np.column_stack([np.ones(len(arm)), *fed, came.ends.baseline[known]])
    groups = {"yard": yard, "yard:arm": yard * came.ends.arms + arm}
    try:
        found = reml(came.ends.outcome[known], fixed, groups)
    except FitError as refused:
        return Elsewhere(len(both), None, False, refused.what)
    told = model_contrast(found, design.primary)
    why_not = "" if told is not None else say("too few colonies in each yard")
    return Elsewhere(len(both), told, "yard:arm" in found.at_boundary, why_not)
