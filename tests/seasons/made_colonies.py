"""Made-up colonies of a comparison: groups whose mean and spread are exactly what a scenario says."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import Any

import numpy as np
from scipy import stats

from breadline.jobs.check_group_trial import Trial
from breadline.trial.classes import Lines
from breadline.trial.colonies import Started
from breadline.trial.design import Allocation, CheckArm, Design, Outcome, Unit


def sheet_of(groups: list[dict[str, Any]]) -> bytes:
    """A spreadsheet: of each group so many colonies, their mean and standard deviation as given."""
    rows = ["hive,yard,group,frames after"]
    for group in groups:
        count = group["colonies"]
        z = stats.norm.ppf((np.arange(count) + 0.5) / count)
        ends = group["mean"] + group.get("sd", 2.0) * z / np.std(z, ddof=1)
        name = group["arm"]
        rows += [f"{name} {k},{group['yard']},{name},{end:.6f}" for k, end in enumerate(ends)]
    return "\n".join(rows).encode()


def drawn_trial(grading: date) -> Trial:
    """A trial of twenty colonies whose day of grading is settled."""
    started = tuple(Started(f"Birch {20 + k}", "Two creeks", f"{k // 2}", k % 2, 8.0) for k in range(20))
    design = Design(
        Outcome.FRAMES, CheckArm.SAME_CARE, Unit.COLONY, Allocation.DRAWN, ("check", "fed"), 1,
        Lines(0.9, 0.5),
        grading, started, seed=7,
    )  # fmt: skip
    drawn_at = datetime(grading.year - 1, 8, 1, tzinfo=UTC)
    return Trial("Winter feed", design, tuple(one.tag for one in started), frozenset(), 2.0, drawn_at)
