"""Until when the colonies of a trial lived, group by group: a thing to watch, never a promise."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from breadline.span import FloatArray
from breadline.trial.colonies import CHECK
from breadline.trial.design import Design, Unit
from breadline.verdict.ends_of import BoolArray, Came
from breadline.verdict.survival import Curve, kaplan_meier


@dataclass(frozen=True, eq=False)
class GroupLived:
    """One group: how many were followed and lost, and its curve, days counted from ``Lived.since``."""

    name: str
    started: int
    lost: int
    curve: Curve

    @property
    def last(self) -> tuple[float, float, float]:
        """Share alive on the last day: low, middle, high; the ends no numbers where none was lost [share]."""
        if not self.lost:
            return np.nan, 1.0, np.nan
        c = self.curve
        return float(c.low[-1]), float(c.alive[-1]), float(c.high[-1])


@dataclass(frozen=True, eq=False)
class Lived:
    """Both groups of the comparison.

    Parameters
    ----------
    since, until
        First and last day.
    check, fed
        The groups.
    alone
        Whether colonies stand for themselves; where whole yards were drawn those of a yard share their
        fate, and the ranges are left out.
    """

    since: date
    until: date
    check: GroupLived
    fed: GroupLived
    alone: bool


def lived(design: Design, came: Came, since: date | None) -> Lived | None:
    """Kaplan–Meier curves of the losses; None where none was lost, or a loss has no day.

    A colony that was sold, moved, stolen or not found counts as followed until then, where the day is
    known. A loss has the day on which it was found.

    Parameters
    ----------
    design, came
        The trial, a fair one.
    since
        The day of the draw; None takes the first day that is known.
    """
    two = (came.ends.arm == CHECK) | (came.ends.arm == design.primary)
    on = [row.graded_on for row in came.ended]
    lost = came.nothing & two
    known = [day for day in on if day is not None]
    if not lost.any() or any(on[row] is None for row in np.flatnonzero(lost).tolist()):
        return None
    until = max(known) if design.grading == date.min else max(*known, design.grading)
    followed = two & ~np.array([m and day is None for m, day in zip(came.missing.tolist(), on, strict=True)])
    first = min(known) if since is None else min(since, *known)
    days = np.array([float(((day or until) - first).days) for day in on])
    check, fed = (
        _group(design.arms[arm], days, lost, followed & (came.ends.arm == arm))
        for arm in (CHECK, design.primary)
    )
    return Lived(first, until, check, fed, design.unit is Unit.COLONY)


def _group(name: str, days: FloatArray, lost: BoolArray, here: BoolArray) -> GroupLived:
    return GroupLived(name, int(here.sum()), int((here & lost).sum()), kaplan_meier(days[here], lost[here]))
