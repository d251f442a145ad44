"""Whole yards drawn: the yard is the unit, whatever the number of its colonies."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from breadline.errors import TrialError
from breadline.language import say
from breadline.span import FloatArray
from breadline.verdict.ancova import classical_contrast, fit, within_blocks
from breadline.verdict.contrast import Contrast
from breadline.verdict.ends import Ends, IntArray
from breadline.verdict.permutation import PermutationP, permutation_test

NOTHING = 1e-9  # of a measure's own size: what rounding leaves where it does not differ [share]


@dataclass(frozen=True)
class YardAnswer:
    """Fed less unfed yards.

    Parameters
    ----------
    contrast
        Difference of the means of yards, by t on yards.
    permutation
        The exact test, yards drawn again as they were drawn.
    yards
        Yards drawn, check yards first.
    """

    contrast: Contrast
    permutation: PermutationP
    yards: tuple[int, int]


def yard_answer(colonies: Ends, yard: IntArray, rng: np.random.Generator) -> YardAnswer:
    """Compare yards that were drawn whole.

    Every yard counts once: the spread between yards, not the number of their colonies,
    decides how well a mean is known. One spread is taken for yards of both arms.

    Parameters
    ----------
    colonies
        One row a colony started, two arms; ``block`` is the pair or set that its yard was
        drawn in, one for all where yards were not matched.
    yard
        Yard of each colony, any whole number, shape (colonies,).
    rng
        For draws of yards too many to list.

    Errors
    ------
    TrialError
        If a yard holds both arms or lies in two blocks, or too few yards are left.
    """
    yards = means_of_yards(colonies, yard)
    fed = int(np.sum(yards.arm))
    if yards.arms != 2:
        raise TrialError("arms", say("{arms} arms", arms=yards.arms), say("two arms at a time"))
    found = classical_contrast(fit(yards), np.array([-1.0, 1.0]))
    return YardAnswer(found, permutation_test(yards, 0.0, rng), (len(yards.arm) - fed, fed))


def means_of_yards(colonies: Ends, yard: IntArray) -> Ends:
    """One row a yard: the mean of its colonies, freed of their baselines.

    The baseline's slope is that of colonies within their yard, so the arm, which is one
    for a whole yard, has no part in it.
    """
    _, place, sizes = np.unique(yard, return_inverse=True, return_counts=True)
    place = place.astype(np.int64)
    arm, block = (_one_a_yard(values, place, len(sizes)) for values in (colonies.arm, colonies.block))
    freed = colonies.outcome - _told_by_baseline(colonies, place, sizes)
    means = np.bincount(place, weights=freed) / sizes
    return Ends(means, arm, block, np.empty((len(sizes), 0)))


def _one_a_yard(values: IntArray, place: IntArray, yards: int) -> IntArray:
    """What all colonies of a yard share; refused where they do not."""
    shared = np.zeros(yards, dtype=np.int64)
    shared[place] = values
    if not np.array_equal(shared[place], values):
        raise TrialError(
            "yards",
            say("colonies of one yard were drawn apart"),
            say("one arm and one set for a whole yard"),
            say("If colonies were drawn within yards, compare colonies"),
        )
    return shared


def _told_by_baseline(colonies: Ends, place: IntArray, sizes: IntArray) -> FloatArray:
    """What colonies' baselines say of their outcomes, 0 on average, shape (colonies,)."""
    columns = within_blocks(colonies.baseline, place, sizes.astype(np.int64))
    size = np.maximum(np.linalg.norm(colonies.baseline, axis=0), 1e-300)
    says = np.linalg.norm(columns, axis=0) > NOTHING * size
    left = len(place) - len(sizes) - int(says.sum())
    if not says.any() or left < 1:  # one colony a yard: no slope within yards
        return np.zeros(len(place))
    slope = np.linalg.lstsq(columns[:, says], colonies.outcome, rcond=None)[0]
    known = colonies.baseline[:, says]
    told: FloatArray = (known - known.mean(axis=0)) @ slope
    return told
