"""Colonies lost in both groups: a thing to watch, never a promise."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from breadline.errors import TrialError
from breadline.span import FloatArray
from breadline.trial.colonies import CHECK
from breadline.trial.design import Design
from breadline.verdict.ends import Ends, IntArray
from breadline.verdict.ends_of import BoolArray, Came
from breadline.verdict.permutation import FEWER_DRAWS, PermutationP, permutation_tests
from breadline.verdict.survival import Lives, log_rank, log_rank_scores
from breadline.verdict.within_rows import YardRule, rules_of

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
    """Log-rank within yards, by its lots; None where none was lost, or a yard's groups cannot be compared.

    Merged colonies count as followed until they were merged, weak ones as living, as in the curves.
    A handful of deaths is far from a chi-square, so chance is counted: all ways the lots could have fallen,
    or so many ``draws``, 9,999 at most, for nothing is decided by it. Where no days are known and a yard
    is one block it is Fisher's exact test.
    """
    known = ~came.missing & ((came.ends.arm == CHECK) | (came.ends.arm == design.primary))
    lost = came.died[known]
    arm = (came.ends.arm[known] == design.primary).astype(np.int64)
    if not lost.any():
        return None
    days, by_day = _days(came, np.flatnonzero(known), lost)
    lives = Lives(days, lost, arm, came.yard[known])
    try:
        log_rank(lives)
    except TrialError:
        return None
    counts = [(int(lost[arm == a].sum()), int((arm == a).sum())) for a in (1, 0)]
    lots = _by_lots(lives, by_day, came.ends.block[known], rules_of(design, came), (rng, draws))
    p = 1.0 if lots is None else min(1.0, 2.0 * min(lots.p_above, lots.p_below))
    return Losses(counts[0], counts[1], p, by_day, lots)


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
