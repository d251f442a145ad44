"""The values of an ensemble at given ranks: counted out where numba is, sorted where not."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import cast

import numpy as np

from breadline.span import FloatArray

AtRanks = Callable[[FloatArray, np.ndarray, FloatArray], None]


def at_ranks(row: FloatArray, wanted: np.ndarray) -> FloatArray:
    """The values at the ranks ``wanted`` from the lowest, 0, on.

    Parameters
    ----------
    row
        One value a member, every one a number, shape (members,). [whatever the unit]
    wanted
        Ranks, shape (ranks,).

    Returns
    -------
    FloatArray
        Members of ``row``, rounded to single precision, shape (ranks,), in the unit of ``row``.
    """
    found = np.empty(len(wanted))
    # Always laid out the same way, or it would be compiled once for each way.
    quickest()(np.require(row, np.float64, ("C", "W")), wanted, found)
    return found


@cache
def quickest() -> AtRanks:
    """The compiled way where numba is; it is brought in only here, since it is slow to import."""
    try:
        from breadline.need.ranks_kernel import AT_RANKS
    except ImportError:
        return by_sorting
    return cast(AtRanks, AT_RANKS)


def by_sorting(row: FloatArray, wanted: np.ndarray, out: FloatArray) -> None:
    """The reference; arguments as in ``at_ranks``, ``out`` takes the values in the unit of ``row``."""
    out[:] = np.sort(row.astype(np.float32))[wanted]
