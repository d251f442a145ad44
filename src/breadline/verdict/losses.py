"""Colonies lost in both groups: a thing to watch, never a promise."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from breadline.errors import TrialError
from breadline.span import FloatArray
from breadline.trial.colonies import CHECK
from breadline.trial.design import Design, Unit
from breadline.verdict.ends import Ends, IntArray
from breadline.verdict.ends_of import BoolArray, Came
from breadline.verdict.permutation import FEWER_DRAWS, PermutationP, permutation_tests
from breadline.verdict.survival import Lives, log_rank, log_rank_scores
from breadline.verdict.within_rows import YardRule, rules_of
from breadline.verdict.yard_means import means_of_yards

SAME = 1e-12  # scores nearer than this are one [colonies]


@dataclass(frozen=True)
class Losses:
    """Losses of the primary comparison.

    Parameters
    ----------
    fed, check
        Lost and known colonies of each group.
    p
        How often lots alone part the groups as far to one side, twice. [share]
    by_day
        Whether the days of the losses are known; else only who was lost counts.
    lots
        How the lots were gone through; None where they could not have fallen otherwise.
    """

    fed: tuple[int, int]
    check: tuple[int, int]
    p: float
    by_day: bool
    lots: PermutationP | None = None


def losses(design: Design, came: Came, rng: np.random.Generator, draws: int) -> Losses | None:
    """Log-rank within yards, by its lots; of whole yards their shares lost. None where none was lost.

    Merged colonies count as followed until they were merged, weak ones as living, as in the curves.
    A handful of deaths is far from a chi-square, so chance is counted: all ways the lots could have fallen,
    or so many ``draws``, 9,999 at most, for nothing is decided by it. Where no days are known and a yard
    is one block it is Fisher's exact test.

    Where whole yards were drawn each counts once, by the share it lost, and the lots of yards are gone
    through: hives of a yard share their fate. Where each yard lost all of its hives or none, nothing within
    yards tells the groups apart, so chance alone may make whatever was lost.
    """
    known = ~came.missing & ((came.ends.arm == CHECK) | (came.ends.arm == design.primary))
    lost = came.died[known]
    arm = (came.ends.arm[known] == design.primary).astype(np.int64)
    if not lost.any():
        return None
    blocks = came.ends.block[known]
    counts = [(int(lost[arm == a].sum()), int((arm == a).sum())) for a in (1, 0)]
    if design.unit is Unit.YARD:
        by_day, lots = False, _by_yards(Lives(lost + 0.0, lost, arm, came.yard[known]), blocks, (rng, draws))
    else:
        days, by_day = _days(came, np.flatnonzero(known), lost)
        lives = Lives(days, lost, arm, came.yard[known])
        lots = (
            _by_lots(lives, by_day, blocks, rules_of(design, came), (rng, draws)) if _tells(lives) else None
        )
    p = 1.0 if lots is None else min(1.0, 2.0 * min(lots.p_above, lots.p_below))
    return Losses(counts[0], counts[1], p, by_day, lots)


def _tells(lives: Lives) -> bool:
    """Whether a death within a yard tells the groups apart."""
    try:
        log_rank(lives)
    except TrialError:
        return False
    return True


def _by_yards(lives: Lives, block: IntArray, chance: tuple[np.random.Generator, int]) -> PermutationP | None:
    """How often lots alone part the shares that yards lost as far; None where they could fall in one way."""
    nothing_before = np.empty((len(lives.died), 0))
    colonies = Ends(lives.died.astype(np.float64), lives.arm, block, nothing_before)
    try:
        yards = means_of_yards(colonies, lives.stratum)
        return permutation_tests(yards, (0.0,), chance[0], min(chance[1], FEWER_DRAWS))[0]
    except TrialError:
        return None


def _by_lots(
    lives: Lives, by_day: bool, block: IntArray, rules: tuple[YardRule, ...],
    chance: tuple[np.random.Generator, int],
) -> PermutationP | None:  # fmt: skip
    """How often lots alone part deaths seen from those expected as far; None where nothing hangs on them.

    Without days the deaths of a group differ from what is added up by what the draw cannot change, so they
    are counted as they are. Blocks whose colonies all came to the same say nothing and are left out, where
    no rule ties one block to the next.
    """
    scores = log_rank_scores(lives) if by_day else lives.died.astype(np.float64)
    kept = np.ones(len(scores), dtype=bool)
    if not rules:
        for one in np.unique(block):
            kept[block == one] = np.ptp(scores[block == one]) > SAME
    try:
        ends = Ends(scores[kept], lives.arm[kept], block[kept], np.empty((int(kept.sum()), 0)))
        return permutation_tests(ends, (0.0,), chance[0], min(chance[1], FEWER_DRAWS), rules)[0]
    except TrialError:
        return None


def _days(came: Came, rows: IntArray, lost: BoolArray) -> tuple[FloatArray, bool]:
    """Days to the loss or the last look, where every one is known; else the lost ones before the others."""
    seen = [came.ended[row].graded_on for row in rows.tolist()]
    known = [on for on in seen if on is not None]
    if len(known) < len(seen):
        return np.where(lost, 1.0, 2.0), False
    first = min(known)
    return np.array([float((on - first).days) for on in known]), True
