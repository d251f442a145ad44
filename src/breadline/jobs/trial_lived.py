"""A trial's result in two parts that do not overlap: bees of the colonies that lived, and how many lived."""

from __future__ import annotations

import numpy as np

from breadline.belief.survival_learnt import Deaths
from breadline.errors import FitError, TrialError
from breadline.jobs.belief_book import Lived
from breadline.jobs.trial_checked import Checked, ratio_among
from breadline.trial.colonies import CHECK
from breadline.trial.design import Design, Unit
from breadline.verdict.ends_of import Came

NO_DEATHS = Deaths(0, 0, 0, 0)


def lived_of(one: Checked) -> Lived | None:
    """The two parts of a fair trial; None where those that lived cannot be compared.

    Every colony that the verdict counts as 0 is lost: dead, absconded, under one frame, merged.
    """
    design, came = one.file.finished.design, one.answer.came
    try:
        ratio = ratio_among(design, came, ~came.missing & ~came.nothing)
    except (TrialError, FitError):
        return None
    return Lived(ratio.estimate, ratio.se, deaths_of(design, came))


def deaths_of(design: Design, came: Came) -> Deaths:
    """How many were lost in the locked comparison; none told where whole yards were drawn.

    Colonies of a yard share their luck, so that their deaths are fewer witnesses than they are many.
    """
    if design.unit is Unit.YARD:
        return NO_DEATHS

    def of(arm: int) -> tuple[int, int]:
        there = ~came.missing & (came.ends.arm == arm)
        return int(there.sum()), int(np.sum(there & came.nothing))

    return Deaths(*of(design.primary), *of(CHECK))
