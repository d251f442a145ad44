"""The compiled day. Imported only where numba is; read ``season_day.py`` first, it is the same day.

Every loop over ``i`` runs over the members of one block and is worked by the vector
unit; nothing in such a loop depends on its neighbour. State ``s`` has shape
(rows, LANES), parameters ``p`` (parameters, LANES), scratch ``w`` (12, LANES).
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
from numba import njit

from breadline.need.parameters import NAMES
from breadline.need.season import FLIGHTS
from breadline.need.season_rows import (
    EGG,
    FIELD,
    HIVE,
    LARVA,
    LEAN,
    PATTY,
    RESERVE,
    ROWS,
    SEALED,
    SIGNAL,
    SIGNAL_UNFED,
    STORE,
    WANTED,
    YOUNG,
)

LANES = 64
FLAGS: dict[str, Any] = {"cache": True, "error_model": "numpy"}

(LMAX, V, C0, D50, KD, WD, SMIN, LS, WB, ALPHA, PHIMAX, DEM0, HR, MU0, MUF, TPH, SITE, PMIN, PMAX, RD, SR,
 CL, CA, CO, JC, TS, KT, TX, UMAX, UMIN, RHO) = range(len(NAMES))  # fmt: skip
# Scratch rows.
EMERGED, LEFT, IN_HIVE, ADULT_NEED, NEED, REACH, INCOME, ACTIVITY, POTENTIAL, BREAD, EATEN, WISH = range(12)
SEASON, FLOWN, POOL, GIVEN, BACK, ATE, UNUSED, HAD, OFFERED = range(12, 21)
SCRATCH = 21
# Numbers that all members share.
KEEP_EGG, KEEP_LARVA, KEEP_SEALED, LOAD_G, PHI, FULL_LOAD, LEAN_DAYS, RECRUIT_HOURS = range(8)


@njit(**FLAGS)
def _age(s, w, n):  # type: ignore[no-untyped-def]
    for i in range(LANES):
        w[EMERGED, i] = s[SEALED + 11, i] * n[KEEP_SEALED]
    for k in range(SEALED + 11, SEALED, -1):
        for i in range(LANES):
            s[k, i] = s[k - 1, i] * n[KEEP_SEALED]
    for i in range(LANES):
        s[SEALED, i] = s[LARVA + 5, i] * n[KEEP_LARVA]
    for k in range(LARVA + 5, LARVA, -1):
        for i in range(LANES):
            s[k, i] = s[k - 1, i] * n[KEEP_LARVA]
    for i in range(LANES):
        s[LARVA, i] = s[EGG + 2, i] * n[KEEP_EGG]
    for k in range(EGG + 2, EGG, -1):
        for i in range(LANES):
            s[k, i] = s[k - 1, i] * n[KEEP_EGG]
    for k in range(WANTED + 8, WANTED + 3, -1):
        for i in range(LANES):
            s[k, i] = s[k - 1, i] * n[KEEP_LARVA]
    for k in range(WANTED + 3, WANTED, -1):
        for i in range(LANES):
            s[k, i] = s[k - 1, i] * n[KEEP_EGG]


@njit(**FLAGS)
def _hive_deaths(s, p, w):  # type: ignore[no-untyped-def]
    for i in range(LANES):
        s[HIVE, i] = (s[HIVE, i] + s[YOUNG + 9, i]) * (1 - p[MU0, i])
    for k in range(YOUNG + 9, YOUNG, -1):
        for i in range(LANES):
            s[k, i] = s[k - 1, i] * (1 - p[MU0, i])
    for i in range(LANES):
        s[YOUNG, i] = w[EMERGED, i]
        w[LEFT, i] = s[RESERVE, i] * p[MU0, i]
        s[RESERVE, i] = s[RESERVE, i] * (1 - p[MU0, i])


@njit(**FLAGS)
def _sum(s, first, last, into):  # type: ignore[no-untyped-def]
    for i in range(LANES):
        into[i] = s[first, i]
    for k in range(first + 1, last):
        for i in range(LANES):
            into[i] += s[k, i]


@njit(**FLAGS)
def _need(s, p, w, n, wk):  # type: ignore[no-untyped-def]
    """The needs of today, and the pollen share, left in INCOME until the flight is known."""
    _sum(s, YOUNG, YOUNG + 10, w[POOL])
    _sum(s, LARVA, LARVA + 6, w[BACK])
    for i in range(LANES):
        w[GIVEN, i] = wk[0, 0] * s[LARVA, i]
    for k in range(1, 6):
        for i in range(LANES):
            w[GIVEN, i] += wk[0, k] * s[LARVA + k, i]
    for i in range(LANES):
        w[IN_HIVE, i] = s[HIVE, i] + w[POOL, i]
        load = min(1.0, w[BACK, i] / (n[FULL_LOAD] * max(w[IN_HIVE, i], 1.0)))
        w[ADULT_NEED, i] = (p[CA, i] * w[POOL, i] + p[CO, i] * s[HIVE, i] * load) / 1000.0
        w[NEED, i] = p[CL, i] * w[GIVEN, i] / 1000.0 + w[ADULT_NEED, i]
        hunger = 1 - s[STORE, i] / max(p[RD, i] * w[NEED, i], p[SR, i])
        w[INCOME, i] = p[PMIN, i] + (p[PMAX, i] - p[PMIN, i]) * min(1.0, max(0.0, hunger))


@njit(**FLAGS)
def _fly(s, p, w, n, sky):  # type: ignore[no-untyped-def]
    flight_h, pollen, quality, nectar = sky[0], sky[1], sky[2], sky[3]
    for i in range(LANES):
        brought = w[INCOME, i] * min(1.0, p[SITE, i] * pollen[i]) + (1 - w[INCOME, i]) * nectar[i]
        w[ACTIVITY, i] = p[DEM0, i] + (1 - p[DEM0, i]) * (1 + p[HR, i]) * brought / (brought + p[HR, i])
        w[FLOWN, i] = flight_h[i] * n[PHI] * w[ACTIVITY, i]
        left = max(0.0, 1 - p[MUF, i] * w[FLOWN, i] / FLIGHTS)
        left = left * left
        left = left * left
        left = left * left
        left = left * left
        s[FIELD, i] = s[FIELD, i] * (1 - p[MU0, i]) * left
        w[REACH, i] = s[FIELD, i] * w[FLOWN, i] * p[TPH, i] * p[SITE, i] * n[LOAD_G] * pollen[i] * quality[i]
        w[INCOME, i] = w[REACH, i] * w[INCOME, i]


@njit(**FLAGS)
def _recruit(s, p, w, n, sky):  # type: ignore[no-untyped-def]
    for i in range(LANES):
        everyone = w[IN_HIVE, i] + s[FIELD, i]
        brake = p[ALPHA, i] / (p[PHIMAX, i] * w[ACTIVITY, i])
        rate = max(0.0, p[ALPHA, i] - brake * (s[FIELD, i] / max(everyone, 1e-9)))
        going = s[HIVE, i] * rate * min(1.0, sky[0][i] / n[RECRUIT_HOURS])
        left = s[RESERVE, i] * going / max(w[IN_HIVE, i], 1e-9)
        s[HIVE, i] -= going
        s[FIELD, i] += going
        s[RESERVE, i] -= left
        w[LEFT, i] += left
        w[IN_HIVE, i] = s[HIVE, i] + w[POOL, i]


@njit(**FLAGS)
def _laying_potential(p, w, laying):  # type: ignore[no-untyped-def]
    for i in range(LANES):
        squared = w[IN_HIVE, i] * w[IN_HIVE, i]
        nursed = squared / (squared + p[V, i] * w[IN_HIVE, i] + p[C0, i] * p[C0, i])
        w[POTENTIAL, i] = laying[i] * p[LMAX, i] * nursed


@njit(**FLAGS)
def _from_bread(s, p, w, trend):  # type: ignore[no-untyped-def]
    for i in range(LANES):
        asked = w[POTENTIAL, i] * ((p[CL, i] + 10.0 * p[CA, i]) / 1000.0)
        covered = s[LEAN, i] / max(s[LEAN, i] + asked, 1e-9)
        thrift = p[KT, i] * (1 - covered) * (1 - trend) / 2.0
        w[BREAD, i] = s[STORE, i] / (p[TS, i] * (1 + thrift))


@njit(**FLAGS)
def _held_back(potential, supply):  # type: ignore[no-untyped-def]
    ratio = min(potential / max(supply, 1e-9), 1e3)
    squared = ratio * ratio
    return 1.0 / math.sqrt(math.sqrt(1.0 + squared * squared))


@njit(**FLAGS)
def _eat(s, p, w, eps, put_on):  # type: ignore[no-untyped-def]
    for i in range(LANES):
        s[PATTY, i] += put_on
        most = p[UMAX, i] * w[IN_HIVE, i] / 1000.0
        w[OFFERED, i] = min(s[PATTY, i], most)
        supply = (s[SIGNAL_UNFED, i] + w[BREAD, i]) / ((p[CL, i] + 10.0 * p[CA, i]) / 1000.0)
        sated = _held_back(w[POTENTIAL, i], supply)
        w[WISH, i] = max(0.0, w[NEED, i] + p[JC, i] * w[IN_HIVE, i] / 1000.0 - s[RESERVE, i])
        limit = w[WISH, i] / eps[i] if eps[i] > 0 else np.inf
        appetite = max(most * p[UMIN, i], min(most * (1 - sated), limit))
        w[EATEN, i] = min(s[PATTY, i], appetite)


@njit(**FLAGS)
def _share_out(s, p, w, eps, wk):  # type: ignore[no-untyped-def]
    for i in range(LANES):
        useful = eps[i] * w[EATEN, i]
        w[UNUSED, i] = max(0.0, useful - w[WISH, i])
        from_comb = min(s[STORE, i], max(0.0, w[WISH, i] - useful))
        pool = s[RESERVE, i] + (useful - w[UNUSED, i]) + from_comb
        w[ATE, i] = min(pool, w[ADULT_NEED, i])
        w[POOL, i] = pool - w[ATE, i]
        s[STORE, i] = s[STORE, i] - from_comb
        w[GIVEN, i] = 0.0
        w[BACK, i] = 0.0
    for k in range(5, -1, -1):
        for i in range(LANES):
            asked = p[CL, i] * wk[0, k] * s[LARVA + k, i] / 1000.0
            given = min(w[POOL, i], asked)
            fed = given / asked if asked > 0 else 1.0
            back = p[RHO, i] * s[LARVA + k, i] * (1 - fed) * p[CL, i] * wk[1, k] / 1000.0
            w[POOL, i] = w[POOL, i] - given + back
            w[GIVEN, i] += given
            w[BACK, i] += back
            s[LARVA + k, i] = s[LARVA + k, i] * fed
    for i in range(LANES):
        s[RESERVE, i] = min(w[POOL, i], p[JC, i] * w[IN_HIVE, i] / 1000.0)
        s[STORE, i] = s[STORE, i] + w[INCOME, i]


@njit(**FLAGS)
def _lay(s, p, w, n, eps, trend):  # type: ignore[no-untyped-def]
    for i in range(LANES):
        could = w[REACH, i] * p[PMAX, i]
        s[SIGNAL, i] += (could + eps[i] * w[OFFERED, i] - s[SIGNAL, i]) / p[TX, i]
        s[SIGNAL_UNFED, i] += (could - s[SIGNAL_UNFED, i]) / p[TX, i]
        s[LEAN, i] += (could - s[LEAN, i]) / n[LEAN_DAYS]
    _from_bread(s, p, w, trend)
    for i in range(LANES):
        supply = (s[SIGNAL, i] + w[BREAD, i]) / ((p[CL, i] + 10.0 * p[CA, i]) / 1000.0)
        s[EGG, i] = w[POTENTIAL, i] * _held_back(w[POTENTIAL, i], supply)
        s[WANTED, i] = w[POTENTIAL, i]
        s[PATTY, i] -= w[EATEN, i]


@njit(**FLAGS)
def _write(s, p, w, wk, out, t, first, last):  # type: ignore[no-untyped-def]
    """The fields of ``Course``, in its order."""
    _sum(s, YOUNG, YOUNG + 10, w[SEASON])
    _sum(s, SEALED, SEALED + 12, w[FLOWN])
    _sum(s, EGG, EGG + 9, w[ACTIVITY])
    for i in range(LANES):
        w[WISH, i] = wk[0, 0] * s[WANTED + 3, i]
    for k in range(1, 6):
        for i in range(LANES):
            w[WISH, i] += wk[0, k] * s[WANTED + 3 + k, i]
    for i in range(last - first):
        m = first + i
        out[0, t, m] = s[HIVE, i] + w[SEASON, i] + s[FIELD, i]
        out[1, t, m] = w[ACTIVITY, i] + w[FLOWN, i]
        out[2, t, m] = w[FLOWN, i]
        out[3, t, m] = w[EMERGED, i]
        out[4, t, m] = w[REACH, i]
        out[5, t, m] = p[CL, i] * w[WISH, i] / 1000.0 + w[ADULT_NEED, i]
        out[6, t, m] = w[EATEN, i]
        out[7, t, m] = s[STORE, i]
        out[8, t, m] = w[INCOME, i]


@njit(**FLAGS)
def _balance(s, p, w, eps, had, kept, t, first, last):  # type: ignore[no-untyped-def]
    """The fields of ``Flows``, and the worst that the day's ledger is out by."""
    worst = 0.0
    for i in range(last - first):
        useful = eps[i] * w[EATEN, i]
        spilled = w[POOL, i] - s[RESERVE, i]
        came = had[i] + w[INCOME, i] + useful + w[BACK, i]
        after = s[STORE, i] + s[RESERVE, i]
        went = w[ATE, i] + w[GIVEN, i] + w[UNUSED, i] + spilled + w[LEFT, i] + after
        worst = max(worst, abs(came - went) / max(1.0, had[i] + w[INCOME, i] + useful + w[BACK, i]))
        had[i] = after
        if kept.shape[1] > 0:
            m = first + i
            kept[0, t, m] = s[STORE, i]
            kept[1, t, m] = s[RESERVE, i]
            kept[2, t, m] = w[INCOME, i]
            kept[3, t, m] = useful
            kept[4, t, m] = w[BACK, i]
            kept[5, t, m] = w[ATE, i]
            kept[6, t, m] = w[GIVEN, i]
            kept[7, t, m] = w[UNUSED, i]
            kept[8, t, m] = spilled
            kept[9, t, m] = w[LEFT, i]
    return worst


@njit(**FLAGS)
def season(start, par, equivalence, sky, path, laying, year, n, wk, out, kept):  # type: ignore[no-untyped-def]
    """Every block of members through every day; returns the worst that a ledger is out by [share].

    Shapes: ``start`` (rows, members), ``par`` (parameters, members), ``sky`` (4, days, paths),
    ``laying`` (days, members), ``year`` (2, days), ``out`` (fields of ``Course``, days, members), ``kept`` the same for ``Flows``
    or with no days. Units as in the classes they come from.
    """
    members, days = path.shape[0], sky.shape[1]
    s, p, w = np.empty((ROWS, LANES)), np.empty((par.shape[0], LANES)), np.empty((SCRATCH, LANES))
    eps, had, here = np.empty(LANES), np.empty(LANES), np.empty((5, LANES))
    worst = 0.0
    for first in range(0, members, LANES):
        last = min(first + LANES, members)
        for i in range(LANES):
            m = min(first + i, members - 1)  # the last block is filled up with its last member
            for k in range(ROWS):
                s[k, i] = start[k, m]
            for k in range(par.shape[0]):
                p[k, i] = par[k, m]
            eps[i] = equivalence[m]
            had[i] = s[STORE, i] + s[RESERVE, i]
        for t in range(days):
            for i in range(LANES):
                where = path[min(first + i, members - 1)]
                for k in range(4):
                    here[k, i] = sky[k, t, where]
                here[4, i] = laying[t, min(first + i, members - 1)]
            trend, put_on = year[0, t], year[1, t]
            _age(s, w, n)
            _hive_deaths(s, p, w)
            _need(s, p, w, n, wk)
            _fly(s, p, w, n, here)
            _recruit(s, p, w, n, here)
            _laying_potential(p, w, here[4])
            _from_bread(s, p, w, trend)
            _eat(s, p, w, eps, put_on)
            _share_out(s, p, w, eps, wk)
            _lay(s, p, w, n, eps, trend)
            worst = max(worst, _balance(s, p, w, eps, had, kept, t, first, last))
            _write(s, p, w, wk, out, t, first, last)
    return worst
