"""Values at ranks without sorting, compiled. Imported only where numba is.

The bits of a number, turned over where it is below nought, are in the order of the numbers
themselves: the upper ones of all are counted, then the next of those that share them.
Everything that is compiled lies in this file, so the cache on disk cannot bring back what has changed.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit


def _compiled(keep: bool) -> Any:
    @njit(error_model="numpy", cache=keep)
    def at_ranks(row, wanted, out):  # type: ignore[no-untyped-def]
        """Write the values at the ranks ``wanted`` of ``row``, rounded to single precision, to ``out``.

        Shapes: ``row`` (members,), ``wanted`` and ``out`` the same as one another, in the unit of ``row``.
        """
        members = row.shape[0]
        single = np.empty(members, dtype=np.float32)
        for i in range(members):
            single[i] = np.float32(row[i])
        bits = single.view(np.uint32)
        upper = np.zeros(4096, dtype=np.int64)
        for i in range(members):
            key = bits[i] ^ np.uint32(0xFFFFFFFF if bits[i] >> 31 else 0x80000000)
            bits[i] = key
            upper[key >> 20] += 1
        near = np.empty(members, dtype=np.uint32)
        for k in range(wanted.shape[0]):
            left = wanted[k]
            top = 0
            while left >= upper[top]:
                left -= upper[top]
                top += 1
            many = 0
            for i in range(members):
                near[many] = bits[i]
                many += 1 if bits[i] >> 20 == top else 0
            middle = np.zeros(4096, dtype=np.int64)
            for i in range(many):
                middle[(near[i] >> 8) & 0xFFF] += 1
            next_12 = 0
            while left >= middle[next_12]:
                left -= middle[next_12]
                next_12 += 1
            lower = np.zeros(256, dtype=np.int64)
            for i in range(many):
                lower[near[i] & 0xFF] += 1 if (near[i] >> 8) & 0xFFF == next_12 else 0
            last_8 = 0
            while left >= lower[last_8]:
                left -= lower[last_8]
                last_8 += 1
            key = np.uint32((top << 20) | (next_12 << 8) | last_8)
            near[0] = key ^ np.uint32(0x80000000 if key >> 31 else 0xFFFFFFFF)
            out[k] = near[:1].view(np.float32)[0]

    return at_ranks


def compiled() -> Any:
    """The function, kept on disk: beside this file, or in the cache of the user."""
    try:
        return _compiled(keep=True)
    except RuntimeError:  # numba found no place to write: it is compiled again in every process
        return _compiled(keep=False)


AT_RANKS = compiled()
