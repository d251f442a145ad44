"""Several gradings of each colony: what they say together at the last one, beside the answer."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from breadline.errors import FitError
from breadline.trial.classes import LEVEL
from breadline.trial.design import Design
from breadline.verdict.contrast import Contrast
from breadline.verdict.ends_of import Came
from breadline.verdict.model_contrast import model_contrast
from breadline.verdict.reml import reml

Occasion = tuple[float, date]


@dataclass(frozen=True)
class Visit:
    """One reading of one colony: its tag, when, and what was graded; None where nothing was.

    ``outcome`` is 0 for a lost colony. [unit of the outcome]
    """

    tag: str
    when: Occasion
    outcome: float | None


@dataclass(frozen=True)
class OverVisits:
    """Fed less check at the last visit, from all visits together.

    Parameters
    ----------
    visits
        How many occasions there were.
    contrast
        Kenward and Roger's; None where the model could not be fitted. [unit of the outcome]
    """

    visits: int
    contrast: Contrast | None

    @property
    def interval(self) -> tuple[float, float] | None:
        """Nine times in ten. [unit of the outcome]"""
        return None if self.contrast is None else self.contrast.interval(LEVEL)


def over_visits(design: Design, came: Came, visits: tuple[Visit, ...]) -> OverVisits | None:
    """Arm by visit and baseline by visit, with yards and colonies; None with one visit only.

    The contrast is that of the last occasion. Colonies whose end is not known are left out.
    """
    row_of = {one.tag: place for place, one in enumerate(came.started)}
    kept = [v for v in visits if v.outcome is not None and not came.missing[row_of[v.tag]]]
    occasions = sorted({v.when for v in kept})
    if len(occasions) < 2:
        return None
    row = np.array([row_of[v.tag] for v in kept])
    at = np.array([occasions.index(v.when) for v in kept])
    arm = came.ends.arm[row]
    columns = []
    for place in range(len(occasions)):
        here = (at == place).astype(np.float64)
        fed = [here * (arm == k) for k in range(1, came.ends.arms)]
        columns += [here, *fed, *(here * measure for measure in came.ends.baseline[row].T)]
    fixed = np.column_stack(columns)
    wide = fixed.shape[1] // len(occasions)
    outcome = np.array([v.outcome for v in kept], dtype=np.float64)
    groups = {"colony": row.astype(np.int64)} | ({"yard": came.yard[row]} if len(came.yards) > 1 else {})
    try:
        found = reml(outcome, fixed, groups)
    except FitError:
        return OverVisits(len(occasions), None)
    return OverVisits(len(occasions), model_contrast(found, wide * (len(occasions) - 1) + design.primary))
