"""Until when the colonies of a trial lived, group by group: a thing to watch, never a promise."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from breadline.span import FloatArray
from breadline.trial.colonies import CHECK, Became
from breadline.trial.design import Design, Unit
from breadline.verdict.ends_of import BoolArray, Came
from breadline.verdict.survival import Curve, all_alike, kaplan_meier


@dataclass(frozen=True, eq=False)
class GroupLived:
    """One group: its curve, days counted from ``Lived.since``, and what it rests on.

    Parameters
    ----------
    name, started, lost
        How it is called, and how many were followed and lost.
    curve
        Of the losses.
    to_end
        Colonies that were seen alive when the grading began or later.
    merged, weak
        Colonies merged into another, followed until then; and below one frame, living.
    """

    name: str
    started: int
    lost: int
    curve: Curve
    to_end: int
    merged: int = 0
    weak: int = 0

    @property
    def last(self) -> tuple[float, float, float]:
        """Share alive on the last day: low, middle, high [share].

        Where none was lost the range is the exact one of the colonies followed to the end; where all
        were lost, of all; no numbers where none is left and some were not followed so long.
        """
        if not self.lost:
            return 1.0 - all_alike(self.to_end), 1.0, 1.0
        if self.lost == self.started:
            return 0.0, 0.0, all_alike(self.started)
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

    Lost is what died or went off, on the day on which that was found. A colony that was sold, moved,
    stolen, not found or merged into another counts as followed until then, where the day is known; one
    below one frame lives, though its outcome counts as 0.

    Parameters
    ----------
    design, came
        The trial, a fair one.
    since
        The day of the draw; None takes the first day that is known.
    """
    two = (came.ends.arm == CHECK) | (came.ends.arm == design.primary)
    on = [row.graded_on for row in came.ended]
    lost = came.died & two
    known = [day for day in on if day is not None]
    if not lost.any() or any(on[row] is None for row in np.flatnonzero(lost).tolist()):
        return None
    until = max(known) if design.grading == date.min else max(*known, design.grading)
    merged = np.array([row.became is Became.MERGED for row in came.ended])
    out = (came.missing | merged).tolist()
    followed = two & ~np.array([gone and day is None for gone, day in zip(out, on, strict=True)])
    first = min(known) if since is None else min(since, *known)
    days = np.array([float(((day or until) - first).days) for day in on])
    weak = came.nothing & ~came.died & ~merged
    ends = [
        day for row, day in zip(came.ended, on, strict=True) if row.outcome is not None and day is not None
    ]
    began = float((min(ends, default=until) - first).days)
    to_end = ~came.died & ~np.array(out) & (days >= began)
    check, fed = (
        _group(design.arms[arm], days, lost, followed & (came.ends.arm == arm), (to_end, merged, weak))
        for arm in (CHECK, design.primary)
    )
    return Lived(first, until, check, fed, design.unit is Unit.COLONY)


def _group(
    name: str,
    days: FloatArray,
    lost: BoolArray,
    here: BoolArray,
    others: tuple[BoolArray, BoolArray, BoolArray],
) -> GroupLived:
    to_end, merged, weak = (int((here & one).sum()) for one in others)
    curve = kaplan_meier(days[here], lost[here])
    return GroupLived(name, int(here.sum()), int((here & lost).sum()), curve, to_end, merged, weak)
