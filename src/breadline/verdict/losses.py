"""Colonies lost in both groups: a thing to watch, never a promise."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from breadline.errors import TrialError
from breadline.span import FloatArray
from breadline.trial.colonies import CHECK
from breadline.trial.design import Design
from breadline.verdict.ends import IntArray
from breadline.verdict.ends_of import BoolArray, Came
from breadline.verdict.survival import Lives, log_rank


@dataclass(frozen=True)
class Losses:
    """Losses of the primary comparison.

    Parameters
    ----------
    fed, check
        Lost and known colonies of each group.
    p
        Of the log-rank test within yards, chance alone. [share]
    by_day
        Whether the days of the losses are known; else only who was lost counts.
    """

    fed: tuple[int, int]
    check: tuple[int, int]
    p: float
    by_day: bool


def losses(design: Design, came: Came) -> Losses | None:
    """Log-rank within yards; None where none was lost, or all of a group's yards.

    Merged colonies count as followed until they were merged, weak ones as living, as in the curves.
    """
    known = ~came.missing & ((came.ends.arm == CHECK) | (came.ends.arm == design.primary))
    lost = came.died[known]
    arm = (came.ends.arm[known] == design.primary).astype(np.int64)
    if not lost.any():
        return None
    days, by_day = _days(came, np.flatnonzero(known), lost)
    try:
        found = log_rank(Lives(days, lost, arm, came.yard[known]))
    except TrialError:
        return None
    counts = [(int(lost[arm == a].sum()), int((arm == a).sum())) for a in (1, 0)]
    return Losses(counts[0], counts[1], found.p, by_day)


def _days(came: Came, rows: IntArray, lost: BoolArray) -> tuple[FloatArray, bool]:
    """Days to the loss or the last look, where every one is known; else the lost ones before the others."""
    seen = [came.ended[row].graded_on for row in rows.tolist()]
    known = [on for on in seen if on is not None]
    if len(known) < len(seen):
        return np.where(lost, 1.0, 2.0), False
    first = min(known)
    return np.array([float((on - first).days) for on in known]), True
