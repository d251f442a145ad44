"""The season model compiled: members side by side in the vector unit.

The same day as in ``season_day.py``, written for numba: the innermost loop always
runs over the members of one block, so that the compiler can work four or eight of
them in one instruction, and the state of a block stays in the nearest cache.
Without numba this file is never used; results are those of the reference to the last digit.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import Any

import numpy as np

from breadline.need.season import COURSE, FLOWS, Block, Colony, Constants, Course, Flows, Worked
from breadline.need.season_rows import AGED, FIXED, SINGLE, STATE_ROWS
from breadline.need.season_signal import laying
from breadline.need.season_traits import Daily, daily, traits
from breadline.span import FloatArray

AT_ONCE = 128  # members whose course of a season still fits the second cache


def available() -> bool:
    """Whether numba is installed, and gets on with the NumPy that is."""
    try:
        _kernel()
    except ImportError:
        return False
    return True


def make_ready() -> bool:
    """Compile the season, or bring it in from disk, ahead of the first one; false without numba."""
    if not available():
        return False
    sky, year, path = np.zeros((1, 1, 4)), np.zeros((1, 4)), np.zeros(1, dtype=np.int64)
    own = np.ones((STATE_ROWS, 1)), np.ones((len(FIXED), 1))
    out, kept = np.empty((len(COURSE), 1, 1)), np.empty((len(FLOWS), 0, 0))
    any_place = daily(Constants(1.0, 1.0, 1.0, 1.0, 1.0, (1.0,) * 6, 1.0, 1.0, 1.0))
    # A day of nonsense: only the kinds of its numbers count.
    _kernel()(*own, path, sky, year, any_place, out, kept)
    return True


def work(block: Block, flows: bool) -> Iterator[Worked]:
    """The course of a block of members, part by part; see ``Worked``."""
    kernel = _kernel()
    start, fixed = member_rows(block)
    sky, year, path, numbers = place_rows(block)
    days = sky.shape[0]
    # Used again for the next part: fresh memory costs as much as the work. Each call has its own,
    # since two seasons may be worked at once.
    room = np.empty((len(COURSE), days, min(AT_ONCE, path.shape[0])))
    for first in range(0, path.shape[0], AT_ONCE):
        part = slice(first, min(first + AT_ONCE, path.shape[0]))
        if part.stop - first != room.shape[2]:
            room = np.empty((len(COURSE), days, part.stop - first))
        kept = np.empty((len(FLOWS), days, part.stop - first) if flows else (len(FLOWS), 0, 0))
        # Always laid out the same way, or it would be compiled once for each way.
        own = np.ascontiguousarray(start[:, part]), np.ascontiguousarray(fixed[:, part])
        out_by = kernel(*own, path[part], sky, year, numbers, room, kept)
        yield part, _course(room, kept if flows else None), float(out_by)


def member_rows(block: Block) -> tuple[FloatArray, FloatArray]:
    """State and what does not change, shape (rows, members) each, in the unit of ``season_rows.py``."""
    return _state(block.start), _fixed(block)


def place_rows(block: Block) -> tuple[FloatArray, FloatArray, np.ndarray, Daily]:
    """Sky (days, paths, 4), year (days, 4), path (members,), constants; in the unit of ``Drivers``."""
    drivers = block.drivers
    sky = np.stack([drivers.flight_h, drivers.pollen, drivers.quality, drivers.nectar], axis=-1)
    year = np.stack([drivers.rho, drivers.trend, drivers.turn, drivers.put_on_g], axis=-1)
    return sky, year, np.array(drivers.path, dtype=np.int64), daily(block.const)


def _course(out: FloatArray, kept: FloatArray | None) -> Course:
    flows = None if kept is None else Flows(**dict(zip(FLOWS, kept, strict=True)))
    return Course(**dict(zip(COURSE, out, strict=True)), flows=flows)


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
    """The compiled function, brought in only where it is used: numba is slow to import.

    Python brings a module in once, however many threads ask at the same time; so there is one of it.
    """
    from breadline.need.season_kernel import SEASON

    return SEASON
