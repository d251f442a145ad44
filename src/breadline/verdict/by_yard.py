"""The difference in each yard alone, for the picture; nothing is decided by it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from breadline.errors import BreadlineError
from breadline.trial.classes import LEVEL
from breadline.trial.colonies import CHECK
from breadline.trial.design import Design, Unit
from breadline.verdict.ancova import contrast, fit
from breadline.verdict.contrast import Contrast
from breadline.verdict.ends import Ends, IntArray
from breadline.verdict.ends_of import Came
from breadline.verdict.weights import contrast_of


@dataclass(frozen=True)
class InYard:
    """Fed less check in one yard.

    Parameters
    ----------
    yard
        Its name.
    contrast
        None where the yard holds one group only, or one colony of it. [unit of the outcome]
    """

    yard: str
    contrast: Contrast | None

    @property
    def interval(self) -> tuple[float, float] | None:
        """Nine times in ten. [unit of the outcome]"""
        return None if self.contrast is None else self.contrast.interval(LEVEL)


def by_yard(design: Design, came: Came) -> tuple[InYard, ...]:
    """Every yard, in the order of ``came.yards``; none differ where yards were drawn whole."""
    found = []
    for place, name in enumerate(came.yards):
        chosen = (came.yard == place) & ~came.missing
        both = chosen & ((came.ends.arm == CHECK) | (came.ends.arm == design.primary))
        found.append(InYard(name, _alone(both.nonzero()[0], came, design)))
    return tuple(found)


def _alone(rows: IntArray, came: Came, design: Design) -> Contrast | None:
    """The yard's own covariance; without its baseline where few colonies carry none."""
    if design.unit is Unit.YARD or not len(rows):
        return None
    e = came.ends
    arm: IntArray = (e.arm[rows] == design.primary).astype(e.arm.dtype)
    if arm.min() == arm.max():
        return None
    ends = Ends(e.outcome[rows], arm, e.block[rows], e.baseline[rows])
    for tried in (ends, replace(ends, baseline=ends.baseline[:, :0])):
        try:
            return contrast(fit(tried), contrast_of(1, 2))
        except BreadlineError:
            continue
    return None
