"""Where each part of a colony lies in a block of the compiled season model.

Ages first, single numbers after; shape (ROWS, members).
"""

from __future__ import annotations

EGG, LARVA, SEALED, YOUNG, WANTED = 0, 3, 9, 21, 31
HIVE, FIELD, STORE, RESERVE, SIGNAL, SIGNAL_UNFED, LEAN, PATTY = range(40, 48)
ROWS = 48
AGED = {"egg": EGG, "larva": LARVA, "sealed": SEALED, "young": YOUNG, "wanted": WANTED}
SINGLE = {
    "hive": HIVE,
    "field": FIELD,
    "store": STORE,
    "reserve": RESERVE,
    "signal": SIGNAL,
    "signal_unfed": SIGNAL_UNFED,
    "lean": LEAN,
    "patty": PATTY,
}
