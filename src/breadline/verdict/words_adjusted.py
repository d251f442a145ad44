"""What a difference is freed of beside the groups, in words: only what was really adjusted for."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from breadline.errors import BreadlineError
from breadline.language import noted, say
from breadline.trial.colonies import CHECK
from breadline.trial.design import Design, Unit
from breadline.verdict.ancova import fit
from breadline.verdict.answer import Answer
from breadline.verdict.ends_of import BoolArray, Came
from breadline.verdict.yard_means import means_of_yards

ONCE = noted("Each yard counts once, however many colonies it has.")


def adjusted_for(answer: Answer, design: Design) -> str:
    """What the difference of an answer is adjusted for; "" where it is that of plain averages."""
    of = _of_yards(answer.came, design.primary) if design.unit is Unit.YARD else _of_colonies(answer.came)
    if len(of) < 2:
        return "".join(of)
    return f"{', '.join(of[:-1])}{say(' and ')}{of[-1]}"


def yards_count_once(answer: Answer, design: Design) -> bool:
    """Whether whole yards of different sizes were compared: a colony counts for more in a small one."""
    if design.unit is not Unit.YARD:
        return False
    yards = answer.came.yard[_of_two(answer.came, design.primary)]
    return len(set(np.unique(yards, return_counts=True)[1].tolist())) > 1


def difference_head(answer: Answer, design: Design) -> str:
    """How the difference is headed in a table, under the averages that it may not be the difference of."""
    what, once = adjusted_for(answer, design), yards_count_once(answer, design)
    if what:
        return (
            say("Difference, adjusted for {what}, each yard counted once", what=what)
            if once
            else say("Difference, adjusted for {what}", what=what)
        )
    return say("Difference, each yard counted once") if once else say("Difference")


def _of_colonies(came: Came) -> list[str]:
    """Strength before, and the blocks: sets, or yards where each is one block."""
    known = came.known
    blocks, yards = len(np.unique(known.block)), len(np.unique(came.yard[~came.missing]))
    said = []
    try:
        strength = known.baseline.shape[1] > len(fit(known).left_out)
    except BreadlineError:
        strength = False
    if strength:
        said.append(say("strength before"))
    if blocks > 1:
        said.append(say("the sets drawn") if blocks > yards else say("the yards"))
    return said


def _of_yards(came: Came, primary: int) -> list[str]:
    """Strength before, and pairs or sets of yards."""
    chosen = _of_two(came, primary)
    two, yard = came.some(chosen), came.yard[chosen]
    bare = replace(two, baseline=np.empty((len(two.outcome), 0)))
    said = []
    if not np.allclose(means_of_yards(two, yard).outcome, means_of_yards(bare, yard).outcome):
        said.append(say("strength before"))
    if len(np.unique(two.block)) > 1:
        said.append(say("the pairs or sets of yards"))
    return said


def _of_two(came: Came, primary: int) -> BoolArray:
    """The colonies of the two groups that are compared, as far as their end is known, shape (colonies,)."""
    return np.asarray(~came.missing & ((came.ends.arm == CHECK) | (came.ends.arm == primary)))
