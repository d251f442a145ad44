"""The analysis of many trials of one design, compiled. Imported only where numba is.

Trials go side by side, so that one instruction works on several of them: the innermost loop is
over trials. All that is kept lies in a few long arrays in stretches of ``WIDE`` numbers, one a trial:
the compiler can then see that no stretch runs into another.
Everything that is compiled lies in this file, so the cache on disk cannot bring back what has changed.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numba import njit

WIDE = 64  # trials side by side
ROUNDING = {"reassoc", "contract", "arcp", "nsz"}  # sums may be taken in any order; a missing end stays one
# Stretches of a colony's cells: arm, baseline and outcome less their means, 0 where its end is missing.
ARM, BASELINE, OUTCOME, CELLS = 0, WIDE, 2 * WIDE, 3 * WIDE
# Stretches of the sums. Of all colonies: products of columns, colonies, blocks with any.
AZ, ZZ, AY, ZY, KNOWN, FULL = (n * WIDE for n in range(1, 7))  # that of arm by arm begins at 0
# Of the block at hand: colonies, arm, baseline, outcome.
N_B, A_B, Z_B, Y_B = (n * WIDE for n in range(7, 11))
# Once columns are known: slope of arm on baseline, squared length, both coefficients, 1 over lengths.
ALONG, LENGTH, BETA, SLOPE, PER_U, PER_V = (n * WIDE for n in range(7, 13))
# What variances and degrees of freedom are made of: of all colonies, of the block at hand, residuals.
SQUARES, BOTTOM, UU, UV, VV, LEAST, W_B, WU_B, WV_B, LEFT = (n * WIDE for n in range(13, 23))
SUMS = 23 * WIDE


def _compiled(keep: bool) -> Any:
    @njit(error_model="numpy", cache=keep, fastmath=ROUNDING)
    def some(arm, starts, outcome, baseline, told, tiny, first, cells, sizes, s, found):  # type: ignore[no-untyped-def]
        """Write estimates, both errors and their degrees of freedom of ``WIDE`` trials from ``first`` on.

        Shapes: ``arm`` (colonies,), ``starts`` (blocks + 1,), ``outcome`` and ``baseline`` (colonies,
        trials), ``found`` (5, trials); room to work in: ``cells`` (colonies, CELLS), ``sizes`` (blocks,
        WIDE), ``s`` (SUMS,). ``told`` is 1 where there is a baseline. Where nothing can be judged the
        degrees of freedom are 0 and the others not a number.
        """
        blocks = starts.shape[0] - 1
        s[:] = 0.0
        for b in range(blocks):
            s[N_B : Y_B + WIDE] = 0.0
            for i in range(starts[b], starts[b + 1]):
                row, before = outcome[i, first : first + WIDE], baseline[i, first : first + WIDE]
                fed = arm[i]
                for k in range(WIDE):
                    value = row[k]
                    known = value == value
                    here = 1.0 if known else 0.0
                    y = value if known else 0.0
                    z = before[k] if known else 0.0
                    s[N_B + k] += here
                    s[A_B + k] += here * fed
                    s[Z_B + k] += z
                    s[Y_B + k] += y
            size = sizes[b]  # 1 over it
            for k in range(WIDE):
                n = s[N_B + k]
                s[KNOWN + k] += n
                s[FULL + k] += 1.0 if n > 0.0 else 0.0
                one = 1.0 / max(n, 1.0)
                size[k] = one
                s[A_B + k] *= one
                s[Z_B + k] *= one
                s[Y_B + k] *= one
            for i in range(starts[b], starts[b + 1]):
                row, before = outcome[i, first : first + WIDE], baseline[i, first : first + WIDE]
                fed, cell = arm[i], cells[i]
                for k in range(WIDE):
                    value = row[k]
                    known = value == value
                    a = fed - s[A_B + k] if known else 0.0
                    z = before[k] - s[Z_B + k] if known else 0.0
                    y = value - s[Y_B + k] if known else 0.0
                    cell[ARM + k] = a
                    cell[BASELINE + k] = z
                    cell[OUTCOME + k] = y
                    s[k] += a * a
                    s[AZ + k] += a * z
                    s[ZZ + k] += z * z
                    s[AY + k] += a * y
                    s[ZY + k] += z * y
        for k in range(WIDE):
            az, square = s[AZ + k], max(s[ZZ + k], tiny)
            along = told * az / square
            length = max(s[k] - along * az, tiny)
            beta = (s[AY + k] - along * s[ZY + k]) / length
            s[ALONG + k], s[LENGTH + k], s[BETA + k] = along, length, beta
            s[SLOPE + k] = told * (s[ZY + k] - beta * az) / square
            s[PER_U + k], s[PER_V + k] = 1.0 / np.sqrt(length), told / np.sqrt(square)
            s[LEAST + k] = 1.0
        for b in range(blocks):
            s[W_B : WV_B + WIDE] = 0.0
            size = sizes[b]
            for i in range(starts[b], starts[b + 1]):
                cell = cells[i]
                for k in range(WIDE):
                    a, z = cell[ARM + k], cell[BASELINE + k]
                    u = (a - s[ALONG + k] * z) * s[PER_U + k]
                    v = z * s[PER_V + k]
                    u2 = u * u
                    leverage = size[k] + u2 + v * v
                    free = 1.0 - leverage
                    alone = free if u2 > tiny else 1.0
                    s[LEAST + k] = min(s[LEAST + k], alone)
                    w = u2 / max(free, tiny)
                    e = cell[OUTCOME + k] - s[BETA + k] * a - s[SLOPE + k] * z
                    wu, wv = w * u, w * v
                    s[LEFT + k] += e * e
                    s[SQUARES + k] += w * e * e
                    s[BOTTOM + k] += w * w * (1.0 - 2.0 * leverage)
                    s[W_B + k] += w
                    s[WU_B + k] += wu
                    s[WV_B + k] += wv
                    s[UU + k] += wu * u
                    s[UV + k] += wu * v
                    s[VV + k] += wv * v
            for k in range(WIDE):
                at, wu, wv = s[W_B + k] * size[k], s[WU_B + k], s[WV_B + k]
                s[BOTTOM + k] += at * at + 2.0 * size[k] * (wu * wu + wv * wv)
        for k in range(WIDE):
            length, uu, uv, vv = s[LENGTH + k], s[UU + k], s[UV + k], s[VV + k]
            left = s[KNOWN + k] - s[FULL + k] - 1.0 - told
            judged = length > tiny and left >= 1.0 and s[LEAST + k] >= tiny
            whole = s[BOTTOM + k] + uu * uu + 2.0 * uv * uv + vv * vv
            found[0, first + k] = s[BETA + k] if judged else np.nan
            found[1, first + k] = np.sqrt(s[SQUARES + k] / length) if judged else np.nan
            found[2, first + k] = 1.0 / whole if judged else 0.0
            found[3, first + k] = np.sqrt(s[LEFT + k] / max(left, 1.0) / length) if judged else np.nan
            found[4, first + k] = left if judged else 0.0

    return some


try:
    SOME = _compiled(keep=True)
except RuntimeError:  # no folder to keep the cache in: it is compiled again in every process
    SOME = _compiled(keep=False)
