"""The compiled day. Imported only where numba is; read ``season_day.py`` first, it is the same day.

Every function is a part of the day of one member, column ``i`` of a block ``b`` (rows
as in ``season_rows.py``); ``n`` is a ``Daily``. All are pasted into one loop over the
columns, which the compiler works several at a time: nothing in it depends on its
neighbour, and all numbers lie in one array of known shape, or it could not tell.
One definition for one set of flags: the cache cannot tell two of one name apart.
"""

from __future__ import annotations

import math
from functools import reduce
from typing import Any

import numpy as np
from numba import njit

from breadline.need import season_rows as at
from breadline.need.season_signal import SERIES
from breadline.need.season_traits import Daily

LANES = 32
PASTED: dict[str, Any] = {
    "error_model": "numpy",
    "forceinline": True,
    "no_cpython_wrapper": True,
    "no_cfunc_wrapper": True,
}
E8, E7, E6, E5, E4, E3, E2, E1, E0 = SERIES


@njit(**PASTED)
def _age(b, i, n):  # type: ignore[no-untyped-def]
    b[at.EMERGED, i] = b[at.SEALED + 11, i] * n.keep_sealed
    for k in range(11):
        b[at.SEALED + 11 - k, i] = b[at.SEALED + 10 - k, i] * n.keep_sealed
    b[at.SEALED, i] = b[at.LARVA + 5, i] * n.keep_larva
    for k in range(5):
        b[at.LARVA + 5 - k, i] = b[at.LARVA + 4 - k, i] * n.keep_larva
    b[at.LARVA, i] = b[at.EGG + 2, i] * n.keep_egg
    for k in range(2):
        b[at.EGG + 2 - k, i] = b[at.EGG + 1 - k, i] * n.keep_egg
    for k in range(5):
        b[at.WANTED + 8 - k, i] = b[at.WANTED + 7 - k, i] * n.keep_larva
    for k in range(3):
        b[at.WANTED + 3 - k, i] = b[at.WANTED + 2 - k, i] * n.keep_egg


@njit(**PASTED)
def _hive_deaths(b, i):  # type: ignore[no-untyped-def]
    alive = b[at.ALIVE, i]
    b[at.HIVE, i] = (b[at.HIVE, i] + b[at.YOUNG + 9, i]) * alive
    for k in range(9):
        b[at.YOUNG + 9 - k, i] = b[at.YOUNG + 8 - k, i] * alive
    b[at.YOUNG, i] = b[at.EMERGED, i]
    b[at.LEFT, i] = b[at.RESERVE, i] * b[at.MU0, i]
    b[at.RESERVE, i] = b[at.RESERVE, i] * alive


@njit(**PASTED)
def _sum(b, i, first, classes):  # type: ignore[no-untyped-def]
    all_of_them = b[first, i]
    for k in range(1, classes):
        all_of_them += b[first + k, i]
    return all_of_them


@njit(**PASTED)
def _asked(b, i, first, n):  # type: ignore[no-untyped-def]
    """Six classes by their share of a larva's need."""
    return (
        n.wk[0] * b[first, i]
        + n.wk[1] * b[first + 1, i]
        + n.wk[2] * b[first + 2, i]
        + n.wk[3] * b[first + 3, i]
        + n.wk[4] * b[first + 4, i]
        + n.wk[5] * b[first + 5, i]
    )


@njit(**PASTED)
def _for_pollen(b, i, need):  # type: ignore[no-untyped-def]
    hunger = 1 - b[at.STORE, i] / max(b[at.RD, i] * need, b[at.SR, i])
    return b[at.PMIN, i] + (b[at.PMAX, i] - b[at.PMIN, i]) * min(1.0, max(0.0, hunger))


@njit(**PASTED)
def _fly(b, i, n, for_pollen):  # type: ignore[no-untyped-def]
    pollen = b[at.POLLEN, i]
    brought = for_pollen * min(1.0, b[at.SITE, i] * pollen) + (1 - for_pollen) * b[at.NECTAR, i]
    tempted = brought * brought
    activity = b[at.DEM0, i] + b[at.REWARDED, i] * tempted / (tempted + b[at.HALF_RETURN, i])
    flown = b[at.FLIGHT_H, i] * n.phi * activity
    left = max(0.0, 1 - b[at.RISK, i] * flown)
    left = left * left
    left = left * left
    left = left * left
    left = left * left
    field = b[at.FIELD, i] * b[at.ALIVE, i] * left
    b[at.FIELD, i] = field
    return field * flown * b[at.TRIP, i] * pollen * b[at.QUALITY, i], activity


@njit(**PASTED)
def _recruit(b, i, n, in_hive, a_bee, activity):  # type: ignore[no-untyped-def]
    flying = activity * max(in_hive + b[at.FIELD, i], 1e-9)
    rate = max(0.0, b[at.ALPHA, i] - b[at.BRAKE, i] * (b[at.FIELD, i] / flying))
    going = b[at.HIVE, i] * rate * min(1.0, b[at.FLIGHT_H, i] * n.full_day)
    left = b[at.RESERVE, i] * going * a_bee
    b[at.HIVE, i] -= going
    b[at.FIELD, i] += going
    b[at.RESERVE, i] -= left
    b[at.LEFT, i] += left


@njit(**PASTED)
def _laying(b, i, rho, trend, turn):  # type: ignore[no-untyped-def]
    floor = min(1.0, b[at.WINTER, i] + b[at.LITTLE, i] * (1.0 + trend))
    signal = (rho + b[at.KD, i] * turn - b[at.D50, i]) * b[at.STEEP, i]
    part = -min(60.0, max(-60.0, signal)) * 0.0078125
    power = E8 * part + E7
    power = power * part + E6
    power = power * part + E5
    power = power * part + E4
    power = power * part + E3
    power = power * part + E2
    power = power * part + E1
    power = power * part + E0
    power = power * power
    power = power * power
    power = power * power
    power = power * power
    power = power * power
    power = power * power
    power = power * power
    return floor + (1.0 - floor) / (1.0 + power)


@njit(**PASTED)
def _potential(b, i, laying, in_hive):  # type: ignore[no-untyped-def]
    squared = in_hive * in_hive
    nursed = squared / (squared + b[at.V, i] * in_hive + b[at.C0, i] * b[at.C0, i])
    return laying * b[at.LMAX, i] * nursed


@njit(**PASTED)
def _held_back(b, i, trend, potential, signal):  # type: ignore[no-untyped-def]
    both = max(b[at.LEAN, i] + potential * b[at.EGG_G, i], 1e-9)
    thrift = b[at.THRIFT, i] * (1 - trend) * (both - b[at.LEAN, i])
    bread = b[at.STORE, i] * b[at.SPEND, i] * both / (both + thrift)
    supply = (signal + bread) * b[at.EGGS_A_G, i]
    carried = max(supply, max(potential * 1e-3, 1e-9))
    wanted_2, carried_2 = potential * potential, carried * carried
    return carried / math.sqrt(math.sqrt(wanted_2 * wanted_2 + carried_2 * carried_2))


@njit(**PASTED)
def _eat(b, i, trend):  # type: ignore[no-untyped-def]
    freely = 1 - _held_back(b, i, trend, b[at.POTENTIAL, i], b[at.SIGNAL_UNFED, i])
    limit = b[at.WISH, i] * b[at.FEED_A_G, i] if b[at.EQUIVALENCE, i] > 0 else np.inf
    most = b[at.MOST_G, i] * b[at.IN_HIVE, i]
    appetite = max(b[at.LEAST_G, i] * b[at.IN_HIVE, i], min(most * freely, limit))
    b[at.EATEN_G, i] = min(b[at.PATTY, i], appetite)


@njit(**PASTED)
def _serve(b, i, n, k, pool):  # type: ignore[no-untyped-def]
    asked = b[at.LARVA_G, i] * n.wk[k] * b[at.LARVA + k, i]
    given = min(pool, asked)
    missing = asked - given
    back = b[at.RHO, i] * missing * n.invested[k]
    b[at.GIVEN, i] += given
    b[at.BACK, i] += back
    lost = missing * b[at.LARVAE_A_G, i] * n.a_share[k]
    b[at.LARVA + k, i] = max(0.0, b[at.LARVA + k, i] - lost)
    return pool - given + back


@njit(**PASTED)
def _share_out(b, i, n):  # type: ignore[no-untyped-def]
    wish = b[at.WISH, i]
    useful = b[at.EQUIVALENCE, i] * b[at.EATEN_G, i]
    unused = max(0.0, useful - wish)
    from_comb = min(b[at.STORE, i], max(0.0, wish - useful))
    pool = b[at.RESERVE, i] + (useful - unused) + from_comb
    ate = min(pool, b[at.ADULT_NEED, i])
    b[at.GIVEN, i], b[at.BACK, i] = 0.0, 0.0
    pool = _serve(b, i, n, 5, pool - ate)
    pool = _serve(b, i, n, 4, pool)
    pool = _serve(b, i, n, 3, pool)
    pool = _serve(b, i, n, 2, pool)
    pool = _serve(b, i, n, 1, pool)
    pool = _serve(b, i, n, 0, pool)
    reserve = min(pool, b[at.HOLDS_G, i] * b[at.IN_HIVE, i])
    b[at.RESERVE, i] = reserve
    b[at.STORE, i] = b[at.STORE, i] - from_comb + b[at.INCOME_G, i]
    b[at.USEFUL, i], b[at.UNUSED, i], b[at.ATE, i] = useful, unused, ate
    b[at.SPILLED, i] = pool - reserve


@njit(**PASTED)
def _lay(b, i, n, trend):  # type: ignore[no-untyped-def]
    potential = b[at.POTENTIAL, i]
    could = b[at.REACH_G, i] * b[at.PMAX, i]
    signal = (
        b[at.SIGNAL, i]
        + (could + b[at.EQUIVALENCE, i] * b[at.OFFERED, i] - b[at.SIGNAL, i]) * b[at.FOLLOW, i]
    )
    b[at.SIGNAL, i] = signal
    b[at.SIGNAL_UNFED, i] += (could - b[at.SIGNAL_UNFED, i]) * b[at.FOLLOW, i]
    b[at.LEAN, i] += (could - b[at.LEAN, i]) * n.leaning
    b[at.EGG, i] = potential * _held_back(b, i, trend, potential, signal)
    b[at.WANTED, i] = potential


@njit(**PASTED)
def _balance(b, i):  # type: ignore[no-untyped-def]
    came = b[at.HAD, i] + (b[at.INCOME_G, i] + b[at.USEFUL, i] + b[at.BACK, i])
    after = b[at.STORE, i] + b[at.RESERVE, i]
    went = b[at.ATE, i] + b[at.GIVEN, i] + b[at.UNUSED, i] + b[at.SPILLED, i] + b[at.LEFT, i]
    b[at.WORST, i] = max(b[at.WORST, i], abs(came - went - after) / max(1.0, came))
    b[at.HAD, i] = after


@njit(**PASTED)
def _morning(b, i, n):  # type: ignore[no-untyped-def]
    """All that runs over the age classes, while they are at hand."""
    _age(b, i, n)
    _hive_deaths(b, i)
    b[at.YOUNG_ALL, i] = _sum(b, i, at.YOUNG, 10)
    b[at.LARVAE, i] = _sum(b, i, at.LARVA, 6)
    b[at.SEALED_ALL, i] = _sum(b, i, at.SEALED, 12)
    b[at.NEED, i] = b[at.LARVA_G, i] * _asked(b, i, at.LARVA, n)
    b[at.NEED_G, i] = b[at.LARVA_G, i] * _asked(b, i, at.WANTED + 3, n)


@njit(**PASTED)
def _needs(b, i, n):  # type: ignore[no-untyped-def]
    young = b[at.YOUNG_ALL, i]
    in_hive = b[at.HIVE, i] + young
    a_bee = 1.0 / max(in_hive, 1e-9)
    load = min(1.0, b[at.LARVAE, i] * a_bee * n.full_load)
    adult_need = b[at.YOUNG_G, i] * young + b[at.OLDER_G, i] * b[at.HIVE, i] * load
    need = b[at.NEED, i] + adult_need
    b[at.IN_HIVE, i], b[at.A_BEE, i], b[at.ADULT_NEED, i], b[at.NEED, i] = in_hive, a_bee, adult_need, need
    b[at.NEED_G, i] += adult_need
    b[at.FOR_POLLEN, i] = _for_pollen(b, i, need)


@njit(**PASTED)
def _out(b, i, n):  # type: ignore[no-untyped-def]
    """Flight and recruits."""
    reach, activity = _fly(b, i, n, b[at.FOR_POLLEN, i])
    b[at.REACH_G, i], b[at.INCOME_G, i] = reach, reach * b[at.FOR_POLLEN, i]
    _recruit(b, i, n, b[at.IN_HIVE, i], b[at.A_BEE, i], activity)
    b[at.IN_HIVE, i] = b[at.HIVE, i] + b[at.YOUNG_ALL, i]


@njit(**PASTED)
def _plans(b, i, rho, trend, turn, put_on):  # type: ignore[no-untyped-def]
    """What the queen could lay and the colony could eat."""
    in_hive = b[at.IN_HIVE, i]
    b[at.POTENTIAL, i] = _potential(b, i, _laying(b, i, rho, trend, turn), in_hive)
    b[at.PATTY, i] += put_on
    b[at.OFFERED, i] = min(b[at.PATTY, i], b[at.MOST_G, i] * in_hive)
    b[at.WISH, i] = max(0.0, b[at.NEED, i] + b[at.HOLDS_G, i] * in_hive - b[at.RESERVE, i])


@njit(**PASTED)
def _evening(b, i, n, trend):  # type: ignore[no-untyped-def]
    _lay(b, i, n, trend)
    b[at.PATTY, i] -= b[at.EATEN_G, i]
    _balance(b, i)
    b[at.ADULTS, i] = b[at.IN_HIVE, i] + b[at.FIELD, i]
    b[at.BROOD, i] = _sum(b, i, at.EGG, 3) + _sum(b, i, at.LARVA, 6) + b[at.SEALED_ALL, i]
    b[at.STORE_G, i] = b[at.STORE, i]


@njit(**PASTED)
def day(b, n, rho, trend, turn, put_on, fed):  # type: ignore[no-untyped-def]
    """In several loops: the processor looks ahead over a few hundred steps, a whole day is longer."""
    for i in range(LANES):
        _morning(b, i, n)
    for i in range(LANES):
        _needs(b, i, n)
    for i in range(LANES):
        _out(b, i, n)
    for i in range(LANES):
        _plans(b, i, rho, trend, turn, put_on)
    if fed:  # else nothing is eaten, and how much would be need not be known
        for i in range(LANES):
            _eat(b, i, trend)
    for i in range(LANES):
        _share_out(b, i, n)
    for i in range(LANES):
        _evening(b, i, n, trend)


@njit(**PASTED)
def take_in(b, where, start, fixed, path, first):  # type: ignore[no-untyped-def]
    """Fill the block from member ``first`` on, its end with the last member; whether there is feed on."""
    fed = False
    for i in range(LANES):
        m = min(first + i, path.shape[0] - 1)
        where[i] = path[m]
        for k in range(start.shape[0]):
            b[k, i] = start[k, m]
        for k in range(fixed.shape[0]):
            b[at.STATE_ROWS + k, i] = fixed[k, m]
        b[at.HAD, i] = b[at.STORE, i] + b[at.RESERVE, i]
        b[at.WORST, i] = 0.0
        b[at.EATEN_G, i] = 0.0
        fed = fed or b[at.PATTY, i] > 0
    return fed


@njit(**PASTED)
def _write_out(b, out, kept, t, first, last):  # type: ignore[no-untyped-def]
    for k in range(out.shape[0]):
        for i in range(last - first):
            out[k, t, first + i] = b[at.OUT + k, i]
    if kept.shape[1] > 0:
        for i in range(LANES):
            b[at.BREAD, i], b[at.HELD, i] = b[at.STORE, i], b[at.RESERVE, i]
            b[at.INCOME, i] = b[at.INCOME_G, i]
        for k in range(kept.shape[0]):
            for i in range(last - first):
                kept[k, t, first + i] = b[at.KEPT + k, i]


def stamp() -> int:
    """A number that changes with anything that is compiled here.

    The cache on disk looks at the time and size of this file only, and would bring
    back yesterday's rows or steps where those of another file have changed.
    """
    steps = [f.py_func.__code__ for f in globals().values() if hasattr(f, "py_func")]
    told = [(c.co_name, c.co_code, c.co_consts, c.co_names) for c in steps]
    rows = sorted((k, v) for k, v in vars(at).items() if isinstance(v, int))
    text = repr((told, rows, SERIES, LANES, Daily._fields)).encode()
    return reduce(lambda mixed, byte: (mixed ^ byte) * 16777619 & 0xFFFFFFFF, text, 2166136261)


def _compiled(stamp: int, keep: bool) -> Any:
    @njit(error_model="numpy", cache=keep, nogil=True)
    def season(start, fixed, path, sky, year, n, out, kept):  # type: ignore[no-untyped-def]
        """Every member through every day; returns the worst that a ledger is out by [share].

        Shapes: ``start`` (state rows, members), ``fixed`` (rows of what does not change, members),
        ``path`` (members,), ``sky`` (days, paths, 4), ``year`` (days, 4), ``out`` (fields of ``Course``,
        days, members), ``kept`` the same for ``Flows``, or with no days. Units as where they come from.
        """
        b = np.zeros((at.ROWS, LANES))
        where = np.zeros(LANES, dtype=np.int64)
        worst = 0.0 * stamp  # which is thereby part of what the cache looks at
        for first in range(0, path.shape[0], LANES):
            last = min(first + LANES, path.shape[0])
            fed = take_in(b, where, start, fixed, path, first)
            for t in range(sky.shape[0]):
                for i in range(LANES):
                    for k in range(4):
                        b[at.SKY + k, i] = sky[t, where[i], k]
                rho, trend, turn, put_on = year[t, 0], year[t, 1], year[t, 2], year[t, 3]
                fed = fed or put_on > 0
                day(b, n, rho, trend, turn, put_on, fed)
                _write_out(b, out, kept, t, first, last)
            for i in range(LANES):
                worst = max(worst, b[at.WORST, i])
        return worst

    return season


def compiled() -> Any:
    """The season, compiled and kept on disk: beside this file, or in the cache of the user."""
    try:
        return _compiled(stamp(), keep=True)
    except RuntimeError:  # numba found no place to write: it is compiled again in every process
        return _compiled(stamp(), keep=False)


SEASON = compiled()
