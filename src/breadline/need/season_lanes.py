"""The season model compiled: 64 members at a time, side by side in the vector unit.

The same day as in ``season_day.py``, written for numba: the innermost loop always
runs over the members of one block, so that the compiler can work four or eight of
them in one instruction, and the state of a block stays in the nearest cache.
Without numba this file is never used; results agree with the reference to 1e-10.
"""

from __future__ import annotations

from functools import cache, lru_cache
from importlib.util import find_spec
from typing import Any

import numpy as np

from breadline.need.season import COURSE, FLOWS, Block, Colony, Course, Flows
from breadline.need.season_rows import AGED, FIXED, SINGLE, STATE_ROWS
from breadline.need.season_signal import laying
from breadline.need.season_traits import daily, traits
from breadline.span import FloatArray


def available() -> bool:
    """Whether numba is installed."""
    return find_spec("numba") is not None


def work(block: Block, flows: bool) -> tuple[Course, float]:
    """The course of a block of members, and the worst that a day's ledger is out by [share]."""
    drivers = block.drivers
    days, members = drivers.flight_h.shape[0], drivers.path.shape[0]
    out = _room(len(COURSE), days, members)
    kept = np.empty((len(FLOWS), days, members) if flows else (len(FLOWS), 0, 0))
    out_by = _kernel()(
        _state(block.start),
        _fixed(block),
        np.ascontiguousarray(drivers.path, dtype=np.int64),
        np.stack([drivers.flight_h, drivers.pollen, drivers.quality, drivers.nectar], axis=-1),
        np.stack([drivers.rho, drivers.trend, drivers.turn, drivers.put_on_g], axis=-1),
        daily(block.const),
        out,
        kept,
    )
    course = Course(
        **{name: out[k] for k, name in enumerate(COURSE)},
        flows=Flows(**{name: kept[k] for k, name in enumerate(FLOWS)}) if flows else None,
    )
    return course, float(out_by)


@lru_cache(maxsize=2)
def _room(fields: int, days: int, members: int) -> FloatArray:
    """Room for a block, used again for the next: fresh memory costs as much as the work."""
    return np.empty((fields, days, members))


def _state(start: Colony) -> FloatArray:
    rows = np.empty((STATE_ROWS, start.hive.shape[0]))
    for name, at in AGED.items():
        ages = getattr(start, name)
        rows[at : at + ages.shape[0]] = ages
    for name, at in SINGLE.items():
        rows[at] = getattr(start, name)
    return rows


def _fixed(block: Block) -> FloatArray:
    season = laying(block.drivers.latitude, block.par)
    own = traits(block.par, block.const, block.equivalence)
    return np.stack([getattr(season if hasattr(season, name) else own, name) for name in FIXED])


@cache
def _kernel() -> Any:
    """The compiled function, brought in only where it is used: numba is slow to import."""
    from breadline.need.season_kernel import season

    return season
