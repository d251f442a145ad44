"""The least and the most that a quotient of two contents of a mix can be, where both may move together."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from breadline.ration.targets import Side

FloatArray = NDArray[np.float64]
Way = tuple[FloatArray, FloatArray]  # above and below the line by ingredient, shape (ingredients,)
NOUGHT = 1e-9  # less than this of a mix is none of it
_TURNS = 50


def over(top: float, bottom: float) -> float:
    """A quotient of two of the same unit; infinite over nought, and no number for nought over nought. [1]"""
    if bottom > NOUGHT:
        return top / bottom
    return math.inf if top > NOUGHT else math.nan


def worst_of(ways: Sequence[Way], side: Side, bound: float) -> Way:
    """For each ingredient the way that does least for its side of a bound. [unit of the target]"""
    if len(ways) == 1:
        return ways[0]
    (above, below), *others = ways
    for more, per in others:
        toward = (more - above) - bound * (per - below)
        other = toward < 0.0 if side == "least" else toward > 0.0
        above, below = np.where(other, more, above), np.where(other, per, below)
    return above, below


def worst(ways: Sequence[Way], side: Side, amounts: FloatArray) -> float:
    """The least a mix may come to (or the most), each ingredient in its worst way. [unit of the target]

    By turns: what the last choice came to is the bound that the next one is worst
    for, until none is worse (Dinkelbach). Exact, since a choice that does less for
    that bound has the lower quotient.

    Parameters
    ----------
    amounts
        How much of each ingredient there is, shape (ingredients,). [share, or g]
    """
    ends = [over(float(above @ amounts), float(below @ amounts)) for above, below in ways]
    if len(ends) == 1:
        return ends[0]
    known = [end for end in ends if not math.isnan(end)]
    if not known:
        return math.nan
    bound = min(known) if side == "least" else max(known)
    for _ in range(_TURNS):
        if math.isinf(bound):
            break
        above, below = worst_of(ways, side, bound)
        there = over(float(above @ amounts), float(below @ amounts))
        if not (there < bound if side == "least" else there > bound):
            break
        bound = there
    return bound


@dataclass(frozen=True)
class Quotient:
    """Above and below the line of a target, over the ingredients on offer.

    Parameters
    ----------
    least, most
        The ways in which an ingredient may do least and most for it. [unit of the target × per, per]
    known
        Whether both were reported, shape (ingredients,).
    """

    least: tuple[Way, ...]
    most: tuple[Way, ...]
    known: NDArray[np.bool_]

    def span(self, shares: FloatArray) -> tuple[float, float]:
        """Least and most that a mix of these shares [share] may come to. [unit of the target]"""
        return worst(self.least, "least", shares), worst(self.most, "most", shares)
