"""The analysis of many trials of one design, compiled. Imported only where numba is.

Trials go side by side, so that one instruction works on several of them: the innermost loop is over
trials. All that is kept lies in a few long arrays in stretches of ``WIDE`` numbers, one a trial, and the
colonies of one arm are gone through three at a time, so that sums are read and written once for three.
With u the arm and v the baseline made independent of each other and of the blocks, both of length 1, a
colony's leverage is 1/n + u² + v² and its part in the variance w = u² / (1 − leverage). Both are straight
in the baseline within a group, so the sums that the degrees of freedom need all follow from those of w,
w z and w z². Everything that is compiled lies in this file, so the cache on disk cannot bring back what
has changed.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit

WIDE = 32  # trials side by side; with more, those of large trials no longer fit the nearer caches
STEP = WIDE + 8  # from one stretch to the next: a power of two would have them share places in the cache
TOGETHER = 3  # colonies of one arm gone through at once
ROUNDING = {"reassoc", "contract", "arcp", "nsz"}  # sums may be taken in any order; a missing end stays one
# Stretches of a colony's cells, counted from some colony of its block: baseline, 0 where its end is
# missing, and outcome, not a number there.
BASELINE, OUTCOME, CELLS = 0, STEP, 2 * STEP
# Stretches of a block: share fed, means of baseline and outcome, 1 over its size.
A_B, Z_B, Y_B, SIZE, BLOCK = (n * STEP for n in range(5))
# Stretches of the sums. Where blocks are counted from; of the block at hand, whole and fed: colonies,
# baseline, outcome.
FROM_Z, FROM_Y, N, N_FED, Z, Z_FED, Y, Y_FED = (n * STEP for n in range(8))
# Over blocks: colonies, blocks with any, products of columns less their means.
KNOWN, FULL, AA, AZ, ZZ, AY, ZY = (n * STEP for n in range(8, 15))
# Once columns are known: squared length of the arm, coefficients, 1 over lengths, what u and 1 − leverage
# take of the baseline.
LENGTH, BETA, SLOPE, PER_U, PER_V, Q, BENT = (n * STEP for n in range(15, 22))
# Of the block at hand: u, v, residual and 1 − leverage of an unfed colony at 0; sums of w and its products.
P, T, C, FREE, W, W_FED, WZ, WZ_FED, WZZ = (n * STEP for n in range(22, 31))
# Over blocks: variance, residuals, w², least 1 − leverage, what degrees of freedom are made of.
SQUARES, LEFT, WW, LEAST, UU, UV, VV, BLOCKS = (n * STEP for n in range(31, 39))
SUMS = 39 * STEP

inner = njit(error_model="numpy", fastmath=ROUNDING)


@inner
def _counted_from(outcome, baseline, s):  # type: ignore[no-untyped-def]
    """Count from the first colony of a block, so that nothing cancels; as before where its end is missing."""
    for k in range(WIDE):
        y = outcome[k]
        s[FROM_Z + k] = baseline[k] if y == y else s[FROM_Z + k]
        s[FROM_Y + k] = y if y == y else s[FROM_Y + k]


@inner
def _read(cells, outcome, baseline, s):  # type: ignore[no-untyped-def]
    """A colony's cells, counted from what stands in ``s``."""
    for k in range(WIDE):
        y = outcome[k]
        z = baseline[k] - s[FROM_Z + k]
        cells[BASELINE + k] = z if y == y else 0.0
        cells[OUTCOME + k] = y - s[FROM_Y + k]


def _adding(many: int) -> Any:
    @inner
    def add(cells, fed, s):  # type: ignore[no-untyped-def]
        """So many colonies of one arm into the sums of their block."""
        for k in range(WIDE):
            n = ones = ys = zz = zy = 0.0
            for j in range(many):
                y, z = cells[j * CELLS + OUTCOME + k], cells[j * CELLS + BASELINE + k]
                n += 1.0 if y == y else 0.0
                y = y if y == y else 0.0
                ones += z
                ys += y
                zz += z * z
                zy += z * y
            s[N + k] += n
            s[N_FED + k] += fed * n
            s[Z + k] += ones
            s[Z_FED + k] += fed * ones
            s[Y + k] += ys
            s[Y_FED + k] += fed * ys
            s[ZZ + k] += zz
            s[ZY + k] += zy

    return add


def _spreading(many: int) -> Any:
    @inner
    def spread(cells, fed, tiny, s):  # type: ignore[no-untyped-def]
        """What so many colonies of one arm add to variance and degrees of freedom."""
        for k in range(WIDE):
            p, q, r, t = s[P + k] + fed * s[PER_U + k], s[Q + k], s[PER_V + k], s[T + k]
            c, slope, bent = s[C + k] + fed * s[BETA + k], s[SLOPE + k], s[BENT + k]
            at0, straight = s[FREE + k] - p * p - t * t, 2.0 * (p * q + r * t)
            squares = left = ww = w0 = w1 = w2 = 0.0
            for j in range(many):
                y, z = cells[j * CELLS + OUTCOME + k], cells[j * CELLS + BASELINE + k]
                u = p - q * z if y == y else 0.0
                e = y - c - slope * z if y == y else 0.0
                u *= u
                e *= e
                free = at0 + z * (straight - bent * z)
                w = u / max(free, tiny)
                squares += w * e
                left += e
                ww += w * w
                w0 += w
                w *= z
                w1 += w
                w2 += w * z
            s[SQUARES + k] += squares
            s[LEFT + k] += left
            s[WW + k] += ww
            s[W + k] += w0
            s[W_FED + k] += fed * w0
            s[WZ + k] += w1
            s[WZ_FED + k] += fed * w1
            s[WZZ + k] += w2

    return spread


add_some, spread_some = _adding(TOGETHER), _spreading(TOGETHER)
add_many, spread_many = _adding(2 * TOGETHER), _spreading(2 * TOGETHER)
add_one, spread_one = _adding(1), _spreading(1)


@inner
def _least(cells, fed, tiny, s):  # type: ignore[no-untyped-def]
    """How much a colony that has a part in the difference leaves to others, at least; 1 less leverage."""
    for k in range(WIDE):
        y, z = cells[OUTCOME + k], cells[BASELINE + k]
        u = s[P + k] + fed * s[PER_U + k] - s[Q + k] * z if y == y else 0.0
        v = s[PER_V + k] * z - s[T + k]
        free = s[FREE + k] - u * u - v * v
        s[LEAST + k] = min(s[LEAST + k], free if u * u > tiny else 1.0)


@inner
def _any_decides(s):  # type: ignore[no-untyped-def]
    """Whether any colony may decide its own value: its w would be above 1."""
    most = 0.0
    for k in range(WIDE):
        most = max(most, s[WW + k])
        s[LEAST + k] = 1.0
    return most > 1.0


@inner
def _centred(block, s):  # type: ignore[no-untyped-def]
    """A block's means, and its part in the products of columns."""
    for k in range(WIDE):
        n, fed, z, y = s[N + k], s[N_FED + k], s[Z + k], s[Y + k]
        size = 1.0 / max(n, 1.0)
        a = fed * size
        s[KNOWN + k] += n
        s[FULL + k] += 1.0 if n > 0.0 else 0.0
        block[A_B + k] = a
        block[Z_B + k] = z * size
        block[Y_B + k] = y * size
        block[SIZE + k] = size
        s[AA + k] += fed - fed * a
        s[AZ + k] += s[Z_FED + k] - a * z
        s[AY + k] += s[Y_FED + k] - a * y
        s[ZZ + k] -= z * z * size
        s[ZY + k] -= z * y * size


@inner
def _columns(told, tiny, s):  # type: ignore[no-untyped-def]
    """Coefficients and lengths from the products of columns."""
    for k in range(WIDE):
        az, square = s[AZ + k], max(s[ZZ + k], tiny)
        along = told * az / square
        length = max(s[AA + k] - along * az, tiny)
        beta = (s[AY + k] - along * s[ZY + k]) / length
        per_u = 1.0 / np.sqrt(length)
        q = per_u * along
        s[LENGTH + k], s[BETA + k], s[Q + k] = length, beta, q
        s[SLOPE + k] = told * (s[ZY + k] - beta * az) / square
        s[PER_U + k], s[PER_V + k] = per_u, told / np.sqrt(square)
        s[BENT + k] = q * q + told / square


@inner
def _begun(block, s):  # type: ignore[no-untyped-def]
    """What is the same for all colonies of a block."""
    s[W : WZZ + WIDE] = 0.0
    for k in range(WIDE):
        a, z, size = block[A_B + k], block[Z_B + k], block[SIZE + k]
        s[P + k] = s[Q + k] * z - s[PER_U + k] * a
        s[T + k] = s[PER_V + k] * z
        s[C + k] = block[Y_B + k] - s[BETA + k] * a - s[SLOPE + k] * z
        s[FREE + k] = 1.0 - size if size < 1.0 else 1.0  # one colony alone decides all and u is 0: no matter


@inner
def _ended(block, s):  # type: ignore[no-untyped-def]
    """A block's part in the degrees of freedom: u is p + fed/length − q z, v is r z − t."""
    for k in range(WIDE):
        p, q, r, t, per_u = s[P + k], s[Q + k], s[PER_V + k], s[T + k], s[PER_U + k]
        w0, fed, w1, fed1, w2 = s[W + k], s[W_FED + k], s[WZ + k], s[WZ_FED + k], s[WZZ + k]
        wu, wv, size = p * w0 + per_u * fed - q * w1, r * w1 - t * w0, block[SIZE + k]
        wu_fed = p * fed + per_u * fed - q * fed1
        wuz = p * w1 + per_u * fed1 - q * w2
        s[UU + k] += p * wu + per_u * wu_fed - q * wuz
        s[UV + k] += r * wuz - t * wu
        s[VV + k] += r * (r * w2 - t * w1) - t * wv
        at = w0 * size
        s[BLOCKS + k] += at * at + 2.0 * size * (wu * wu + wv * wv)


@inner
def _told(told, tiny, found, first, s):  # type: ignore[no-untyped-def]
    """Write what was found; w² (1 − 2 leverage) is 2 w u² − w²."""
    for k in range(WIDE):
        length, uu, uv, vv = s[LENGTH + k], s[UU + k], s[UV + k], s[VV + k]
        left = s[KNOWN + k] - s[FULL + k] - 1.0 - told
        judged = length > tiny and left >= 1.0 and s[LEAST + k] >= tiny
        whole = s[BLOCKS + k] + 2.0 * uu - s[WW + k] + uu * uu + 2.0 * uv * uv + vv * vv
        found[0, first + k] = s[BETA + k] if judged else np.nan
        found[1, first + k] = np.sqrt(s[SQUARES + k] / length) if judged else np.nan
        found[2, first + k] = 1.0 / whole if judged else 0.0
        found[3, first + k] = np.sqrt(s[LEFT + k] / max(left, 1.0) / length) if judged else np.nan
        found[4, first + k] = left if judged else 0.0


@inner
def _some(arm, starts, outcome, baseline, told, tiny, first, cells, sizes, s, found):  # type: ignore[no-untyped-def]
    """Write estimates, both errors and their degrees of freedom of ``WIDE`` trials from ``first`` on.

    Shapes: ``arm`` (colonies,), sorted within each block; ``starts`` (blocks + 1,), ``outcome`` and
    ``baseline`` (colonies, trials), ``found`` (5, trials); room to work in: ``cells`` (colonies *
    CELLS,), ``sizes`` (blocks, BLOCK), ``s`` (SUMS,). ``told`` is 1 where there is a baseline. Where
    nothing can be judged the degrees of freedom are 0 and the others not a number.
    """
    blocks, last = starts.shape[0] - 1, first + WIDE
    s[:] = 0.0
    for b in range(blocks):
        _counted_from(outcome[starts[b], first:last], baseline[starts[b], first:last], s)
        for i in range(starts[b], starts[b + 1]):
            _read(cells[i * CELLS : (i + 1) * CELLS], outcome[i, first:last], baseline[i, first:last], s)
        s[N : Y_FED + WIDE] = 0.0
        i = starts[b]
        while i < starts[b + 1]:
            if i + 2 * TOGETHER <= starts[b + 1] and arm[i] == arm[i + 2 * TOGETHER - 1]:
                add_many(cells[i * CELLS : (i + 2 * TOGETHER) * CELLS], arm[i], s)
                i += 2 * TOGETHER
            elif i + TOGETHER <= starts[b + 1] and arm[i] == arm[i + TOGETHER - 1]:
                add_some(cells[i * CELLS : (i + TOGETHER) * CELLS], arm[i], s)
                i += TOGETHER
            else:
                add_one(cells[i * CELLS : (i + 1) * CELLS], arm[i], s)
                i += 1
        _centred(sizes[b], s)
    _columns(told, tiny, s)
    for b in range(blocks):
        _begun(sizes[b], s)
        i = starts[b]
        while i < starts[b + 1]:
            if i + 2 * TOGETHER <= starts[b + 1] and arm[i] == arm[i + 2 * TOGETHER - 1]:
                spread_many(cells[i * CELLS : (i + 2 * TOGETHER) * CELLS], arm[i], tiny, s)
                i += 2 * TOGETHER
            elif i + TOGETHER <= starts[b + 1] and arm[i] == arm[i + TOGETHER - 1]:
                spread_some(cells[i * CELLS : (i + TOGETHER) * CELLS], arm[i], tiny, s)
                i += TOGETHER
            else:
                spread_one(cells[i * CELLS : (i + 1) * CELLS], arm[i], tiny, s)
                i += 1
        _ended(sizes[b], s)
    if _any_decides(s):
        for b in range(blocks):
            _begun(sizes[b], s)
            for i in range(starts[b], starts[b + 1]):
                _least(cells[i * CELLS : (i + 1) * CELLS], arm[i], tiny, s)
    _told(told, tiny, found, first, s)


def _compiled(keep: bool) -> Any:
    @njit(error_model="numpy", cache=keep, fastmath=ROUNDING)
    def every(arm, starts, outcome, baseline, told, tiny, cells, sizes, s, found):  # type: ignore[no-untyped-def]
        """All trials; the last ones once more where fewer than ``WIDE`` are left."""
        trials = outcome.shape[1]
        for number in range((trials + WIDE - 1) // WIDE):
            first = min(number * WIDE, trials - WIDE)
            _some(arm, starts, outcome, baseline, told, tiny, first, cells, sizes, s, found)

    return every


try:
    EVERY = _compiled(keep=True)
except RuntimeError:  # no folder to keep the cache in: it is compiled again in every process
    EVERY = _compiled(keep=False)
