"""The compiled walk over legs. Imported only where numba is; read ``season_tree_day.py`` first.

A block of members takes the whole tree before the next block starts, so that the states that are kept
for branching stay in the nearest cache. The day is that of ``season_kernel.py``.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit

from breadline.need import season_rows as at
from breadline.need.season_kernel import LANES, PASTED, day, stamp, take_in
from breadline.need.season_traits import NOTHING
from breadline.need.season_tree import KINDS, NEVER

# Bee days, cell days, eaten in each kind of time, drawn at most, bare on, crowded on, field bees in the
# flow; and how far stores are down today, which is not told.
EATEN, DRAWN = 2, 2 + KINDS
BARE, CROWDED, FLOW, DOWN = DRAWN + 1, DRAWN + 2, DRAWN + 3, DRAWN + 4
SUMS = DOWN + 1


@njit(**PASTED)
def _look(b, s, w, sugar, t, kind):  # type: ignore[no-untyped-def]
    if t < w[0]:
        return
    for i in range(LANES):
        adults, brood, eaten = b[at.ADULTS, i], b[at.BROOD, i], b[at.EATEN_G, i]
        s[0, i] += adults
        s[1, i] += brood
        s[EATEN + kind[i], i] += eaten
        used = max(0.0, sugar[0, i] * adults + sugar[1, i] * brood - w[1] * eaten)
        if b[at.NECTAR, i] < w[3]:
            s[DOWN, i] += used
        else:
            flown = min(1.0, b[at.FLIGHT_H, i] * w[7])
            brought = sugar[2, i] * b[at.FIELD, i] * b[at.NECTAR, i] * flown
            s[DOWN, i] = max(0.0, s[DOWN, i] + (1.0 - flown) * used - max(0.0, brought - flown * used))
        s[DRAWN, i] = max(s[DRAWN, i], s[DOWN, i])
        if s[DRAWN, i] > w[2] and s[BARE, i] == NEVER:
            s[BARE, i] = t
        if adults >= w[4] and s[CROWDED, i] == NEVER:
            s[CROWDED, i] = t
        if w[5] <= t <= w[6]:
            s[FLOW, i] += b[at.FIELD, i]


@njit(**PASTED)
def _today(b, where, sky, times, worth, kind, t):  # type: ignore[no-untyped-def]
    for i in range(LANES):
        for k in range(4):
            b[at.SKY + k, i] = sky[t, where[i], k]
        kind[i] = times[t, where[i]]
        b[at.EQUIVALENCE, i] = worth[kind[i], i]
        b[at.FEED_A_G, i] = worth[KINDS + kind[i], i]


@njit(**PASTED)
def _worth_in(worth, worths, first):  # type: ignore[no-untyped-def]
    for i in range(LANES):
        m = min(first + i, worths.shape[1] - 1)
        for k in range(KINDS):
            worth[k, i] = worths[k, m]
            worth[KINDS + k, i] = 1.0 / max(worths[k, m], NOTHING)


@njit(**PASTED)
def _sugar_in(sugar, sugars, first):  # type: ignore[no-untyped-def]
    for i in range(LANES):
        m = min(first + i, sugars.shape[1] - 1)
        for k in range(3):
            sugar[k, i] = sugars[k, m]


@njit(**PASTED)
def _fresh(s):  # type: ignore[no-untyped-def]
    for k in range(SUMS):
        for i in range(LANES):
            s[k, i] = NEVER if BARE <= k <= CROWDED else 0.0


@njit(**PASTED)
def _keep(b, s, kept, slot):  # type: ignore[no-untyped-def]
    for k in range(at.STATE_ROWS):
        for i in range(LANES):
            kept[slot, k, i] = b[k, i]
    for k in range(SUMS):
        for i in range(LANES):
            kept[slot, at.STATE_ROWS + k, i] = s[k, i]


@njit(**PASTED)
def _back_to(b, s, kept, slot):  # type: ignore[no-untyped-def]
    fed = False
    for k in range(at.STATE_ROWS):
        for i in range(LANES):
            b[k, i] = kept[slot, k, i]
    for k in range(SUMS):
        for i in range(LANES):
            s[k, i] = kept[slot, at.STATE_ROWS + k, i]
    for i in range(LANES):
        b[at.HAD, i] = b[at.STORE, i] + b[at.RESERVE, i]
        b[at.EATEN_G, i] = 0.0
        fed = fed or b[at.PATTY, i] > 0
    return fed


@njit(**PASTED)
def _end(b, s, out, way, first, last):  # type: ignore[no-untyped-def]
    for i in range(last - first):
        out[0, way, first + i] = b[at.ADULTS, i]
        out[1, way, first + i] = b[at.BROOD, i]
        out[2, way, first + i] = b[at.YOUNG_ALL, i]
        out[3, way, first + i] = b[at.FIELD, i]
        for k in range(DOWN):
            out[4 + k, way, first + i] = s[k, i]


def _compiled(stamped: int, keep: bool) -> Any:
    @njit(error_model="numpy", cache=keep, nogil=True)
    def walk(start, fixed, path, sky, year, n, go, times, worths, turns, grams, w, sugars, slots, out):  # type: ignore[no-untyped-def]
        """Every member along every leg; returns the worst that a ledger is out by [share].

        Shapes: ``start`` (state rows, members), ``fixed`` (rows, members), ``path`` (members,), ``sky``
        (days, paths, 4), ``year`` (days, 4), ``go`` and ``times`` (days, paths), ``worths`` (kinds,
        members), ``turns`` (legs, 6) of whole numbers of a ``Leg``, ``grams`` (legs,), ``w`` of
        ``watch_row``, ``sugars`` of ``sugar_rows``, ``out`` (fields of ``Ends``, ways, members).
        """
        b, s = np.zeros((at.ROWS, LANES)), np.zeros((SUMS, LANES))
        kept = np.zeros((slots, at.STATE_ROWS + SUMS, LANES))
        where, kind = np.zeros(LANES, dtype=np.int64), np.zeros(LANES, dtype=np.int64)
        worth, sugar = np.zeros((2 * KINDS, LANES)), np.zeros((3, LANES))
        worst = 0.0 * stamped  # which is thereby part of what the cache looks at
        for first in range(0, path.shape[0], LANES):
            last = min(first + LANES, path.shape[0])
            fed = take_in(b, where, start, fixed, path, first)
            _worth_in(worth, worths, first)
            _sugar_in(sugar, sugars, first)
            _fresh(s)
            for leg in range(turns.shape[0]):
                if turns[leg, 2] >= 0:
                    fed = _back_to(b, s, kept, turns[leg, 2])
                begins = turns[leg, 0]
                if grams[leg] > 0.0:
                    for i in range(LANES):
                        on = go[begins, where[i]] if turns[leg, 4] else 1.0
                        b[at.PATTY, i] += grams[leg] * on
                    fed = True
                for t in range(begins, turns[leg, 1]):
                    _today(b, where, sky, times, worth, kind, t)
                    fed = fed or year[t, 3] > 0
                    day(b, n, year[t, 0], year[t, 1], year[t, 2], year[t, 3], fed)
                    _look(b, s, w, sugar, t, kind)
                if turns[leg, 3] >= 0:
                    _keep(b, s, kept, turns[leg, 3])
                if turns[leg, 5] >= 0:
                    _end(b, s, out, turns[leg, 5], first, last)
            for i in range(LANES):
                worst = max(worst, b[at.WORST, i])
        return worst

    return walk


def compiled() -> Any:
    """The walk, compiled and kept on disk where there is a place to write."""
    try:
        return _compiled(stamp(), keep=True)
    except RuntimeError:  # numba found no place to write: it is compiled again in every process
        return _compiled(stamp(), keep=False)


WALK = compiled()
