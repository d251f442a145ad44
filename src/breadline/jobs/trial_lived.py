"""A trial's result in two parts that do not overlap: bees of the colonies that lived, and how many lived."""

from __future__ import annotations

import numpy as np

from breadline.belief.survival_learnt import Deaths, in_all
from breadline.errors import FitError, TrialError
from breadline.jobs.belief_book import Lived
from breadline.jobs.trial_checked import Checked, ratio_among
from breadline.trial.colonies import CHECK
from breadline.trial.design import Design, Unit
from breadline.verdict.ends_of import Came
from breadline.verdict.log_ratio import LogRatio


def lived_of(one: Checked) -> Lived | None:
    """The two parts of a fair trial; None where they cannot be told apart.

    So it is where those that lived cannot be compared, and where whole yards were drawn and lost some:
    colonies of a yard share their luck, so their deaths are fewer witnesses than they are many, and
    the living alone would leave out yards that died whole. Every colony that the verdict counts as 0 is
    lost: dead, absconded, under one frame, merged.
    """
    design, came = one.file.finished.design, one.answer.came
    deaths = deaths_of(design, came)
    lost = in_all(deaths)
    if design.unit is Unit.YARD and lost.fed_lost + lost.check_lost:
        return None
    ratio = living_ratio(design, came)
    return None if ratio is None else Lived(ratio.estimate, ratio.se, deaths)


def living_ratio(design: Design, came: Came) -> LogRatio | None:
    """Fed over check of the colonies that lived; None where too few did."""
    try:
        return ratio_among(design, came, ~came.missing & ~came.nothing)
    except (TrialError, FitError):
        return None


def deaths_of(design: Design, came: Came) -> tuple[Deaths, ...]:
    """How many were lost in the locked comparison, yard by yard.

    A yard is held against itself: one that is deadly and has more check colonies than others, or fewer,
    would else make feeding seem to kill or to save.
    """

    def of(arm: int, yard: int) -> tuple[int, int]:
        there = ~came.missing & (came.ends.arm == arm) & (came.yard == yard)
        return int(there.sum()), int(np.sum(there & came.nothing))

    return tuple(Deaths(*of(design.primary, yard), *of(CHECK, yard)) for yard in range(len(came.yards)))
