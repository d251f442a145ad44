"""In how many ways a draw could have fallen, and so how small a chance it can show."""

from __future__ import annotations

from math import comb

import numpy as np
from numpy.typing import NDArray

from breadline.errors import TrialError
from breadline.language import say

BLUNT = 0.05  # a smallest one-sided p above this can never reach the level of an answer [share]

FEWEST_SETS = 6  # with which a comparison in the field is run at all


def arrangements(sizes: NDArray[np.int64], fed: NDArray[np.int64]) -> int:
    """Ways to draw so many ``fed`` out of each block of ``sizes``, both of shape (blocks,)."""
    ways = 1
    for size, drawn in zip(sizes.tolist(), fed.tolist(), strict=True):
        ways *= comb(size, drawn)
    return ways


def smallest_one_sided_p(sizes: NDArray[np.int64], fed: NDArray[np.int64]) -> float:
    """The smallest one-sided p value that a permutation of such a draw can show [share]."""
    return 1 / arrangements(sizes, fed)


def smallest_two_sided_p(sizes: NDArray[np.int64], fed: NDArray[np.int64]) -> float:
    """The smallest two-sided p value of such a draw [share].

    Twice the one-sided one where every arrangement has its mirror image, that is where
    half of every block is fed.
    """
    ways = arrangements(sizes, fed)
    return min(1.0, (2 if np.array_equal(2 * fed, sizes) else 1) / ways)


def refuse_blunt(sizes: NDArray[np.int64], fed: NDArray[np.int64], units: str) -> None:
    """Nothing, where a permutation of the draw can reach the level of the answer.

    Parameters
    ----------
    sizes, fed
        Units in each block and those of them fed, shape (blocks,).
    units
        What is drawn, in words: "colonies" or "yards".

    Errors
    ------
    TrialError
        If the smallest one-sided p value is above 5 in 100; says the way out.
    """
    least = smallest_one_sided_p(sizes, fed)
    if least <= BLUNT:
        return
    ways = arrangements(sizes, fed)
    told = {"unfed": int((sizes - fed).sum()), "fed": int(fed.sum()), "ways": ways}
    what = (
        say(
            "{unfed} unfed and {fed} fed yards can be drawn in {ways} ways, so chance alone gives the best "
            "result in 1 of {ways}",
            **told,
        )
        if units == "yards"
        else say(
            "{unfed} unfed and {fed} fed colonies can be drawn in {ways} ways, so chance alone gives the "
            "best result in 1 of {ways}",
            **told,
        )
    )
    inside = say("; or draw colonies inside each yard") if units == "yards" else ""
    raise TrialError(
        "draw",
        what,
        say("a draw that falls so by chance in at most 5 of 100"),
        f"{_way_out(sizes)}{inside}",
    )


def _way_out(sizes: NDArray[np.int64]) -> str:
    """The smallest draw of this kind that would do."""
    if len(sizes) > 1 and int(sizes.max()) == 2:
        return say("At least {n} pairs", n=next(n for n in range(1, 99) if 1 / 2**n <= BLUNT))
    if len(sizes) > 1:
        return say("More sets, or more colonies in each")
    total = int(sizes[0])
    while comb(total, total // 2) < 1 / BLUNT:
        total += 1
    unfed = next(n for n in range(1, total) if comb(total, n) >= 1 / BLUNT)
    return say("At least {unfed} unfed and {fed} fed of them", unfed=unfed, fed=total - unfed)
