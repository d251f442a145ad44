"""The compiled day. Imported only where numba is; read ``season_day.py`` first, it is the same day.

Every function is the day of one member, column ``i`` of a block ``b`` (rows as in
``season_rows.py``). They are pasted into one loop over the columns, which the compiler
works four or eight at a time; nothing in that loop depends on its neighbour. All
numbers of a block lie in one array of known shape, or the compiler could not tell that.
One definition for one set of flags: the cache cannot tell two of one name apart.
"""
# mypy: disable-error-code="no-untyped-def"

from __future__ import annotations

from typing import Any

from numba import njit

from breadline.need.season_rows import *  # noqa: F403

LANES = 32
PASTED: dict[str, Any] = {"error_model": "numpy", "forceinline": True}
FLAGS: dict[str, Any] = {"error_model": "numpy", "cache": True}


@njit(**PASTED)
def _age(b, i, n):
    b[EMERGED, i] = b[SEALED + 11, i] * n.keep_sealed
    for k in range(11):
        b[SEALED + 11 - k, i] = b[SEALED + 10 - k, i] * n.keep_sealed
    b[SEALED, i] = b[LARVA + 5, i] * n.keep_larva
    for k in range(5):
        b[LARVA + 5 - k, i] = b[LARVA + 4 - k, i] * n.keep_larva
    b[LARVA, i] = b[EGG + 2, i] * n.keep_egg
    for k in range(2):
        b[EGG + 2 - k, i] = b[EGG + 1 - k, i] * n.keep_egg
    for k in range(5):
        b[WANTED + 8 - k, i] = b[WANTED + 7 - k, i] * n.keep_larva
    for k in range(3):
        b[WANTED + 3 - k, i] = b[WANTED + 2 - k, i] * n.keep_egg
