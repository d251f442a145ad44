"""In how many ways a draw could have fallen, and so how small a chance it can show."""

from __future__ import annotations

from math import comb

import numpy as np
from numpy.typing import NDArray


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
