"""Invented trials that travel as files."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np

from breadline.jobs.trial_file import Telling, TrialFile, trial_from_text, trial_text
from breadline.trial.classes import Lines
from breadline.trial.colonies import Became, Ended, Started
from breadline.trial.design import Allocation, CheckArm, Design, Outcome, Unit
from breadline.verdict.answer import Finished
from breadline.verdict.fairness import Conduct

GRADED = date(2026, 11, 12)
DESIGN = Design(Outcome.FRAMES, CheckArm.SAME_CARE, Unit.COLONY, Allocation.DRAWN, ("check", "fed"), 1,
                Lines(0.9, 0.9), GRADED, (), seed=7, staggered=True)  # fmt: skip


def finished(seed: int, times: float = 1.2, yards: int = 3, sets: int = 6) -> Finished:
    """Sets of four colonies, one of them unfed; fed ones have so many ``times`` the frames, a few die."""
    rng = np.random.default_rng(seed)
    started, ended = [], []
    for yard in range(yards):
        for k in range(sets):
            unfed = rng.integers(4)
            for n in range(4):
                tag, fed = f"{yard}-{k}-{n}", int(n != unfed)
                before = float(np.round(2 * (5 + k + rng.normal(0, 0.5))) / 2)
                after = max(1.0, (before + rng.normal(1.0, 1.5)) * (times if fed else 1.0))
                started.append(
                    Started(
                        tag,
                        f"Sorrel Bend {yard}",
                        f"set {k}",
                        fed,
                        before,
                        queen_line="Alder",
                        hive=f"old {tag}",
                    )
                )
                dead = rng.random() < 0.04
                ended.append(
                    Ended(tag, Became.DEAD if dead else Became.GRADED, None if dead else round(2 * after) / 2,
                          GRADED, "Wren", guessed=fed if n == 0 else None)
                )  # fmt: skip
    return Finished(replace(DESIGN, started=tuple(started)), tuple(ended), Conduct())


def text(of: Finished | None = None, **told) -> str:
    return trial_text(of or finished(1), Telling(**({"season": "autumn 2026", "situation": "dearth"} | told)))


def file(seed: int, times: float = 1.2, source: str = "", **told) -> TrialFile:
    made = finished(seed, times)
    return trial_from_text(text(made, **told), source or f"trial-{seed}.json")
