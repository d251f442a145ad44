"""Gaps in a table on its grid: the short ones filled, the others told."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from breadline.span import FloatArray
from breadline.weather.counted import counted
from breadline.weather.readings import Readings
from breadline.weather.table import Note

SHORT_GAP_H = 3  # gaps up to this many hours are interpolated
LABEL = {
    "temp_c": "temperature", "tmin_c": "lowest temperature", "tmax_c": "highest temperature",
    "tmean_c": "mean temperature", "rain_mm": "rain value", "wind_ms": "wind speed", "sun_wm2": "sun value",
}  # fmt: skip


def fill_short(values: dict[str, FloatArray], notes: list[Note]) -> None:
    """Interpolate gaps of up to three hours in each column, in place, and say so in ``notes``."""
    for name, column in values.items():
        missing = np.isnan(column)
        starts, lengths = runs(missing)
        inner = (lengths <= SHORT_GAP_H) & (starts > 0) & (starts + lengths < len(column))
        short = np.zeros(len(column), dtype=bool)
        for start, length in zip(starts[inner], lengths[inner], strict=True):
            short[start : start + length] = True
        if short.any():
            known = np.flatnonzero(~missing)
            filled = column.copy()
            filled[short] = np.interp(np.flatnonzero(short), known, column[known])
            values[name] = filled
            many = counted(int(short.sum()), LABEL[name])
            text = f"{many} in gaps of up to {SHORT_GAP_H} hours, from the hours beside."
            notes.append(Note("filled", text, int(short.sum())))


def runs(mask: NDArray[np.bool_]) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """Start and length of each run of True in ``mask``; integer arrays of shape (runs,)."""
    edges = np.diff(np.concatenate(([0], mask.astype(np.int8), [0])))
    starts, ends = np.flatnonzero(edges == 1), np.flatnonzero(edges == -1)
    return starts.astype(np.int64), (ends - starts).astype(np.int64)


def tell_gaps(warm: FloatArray, readings: Readings, notes: list[Note]) -> None:
    """Add a note on the gaps left in the temperatures ``warm`` [°C], with the longest one's dates."""
    starts, lengths = runs(np.isnan(warm))
    if not len(starts):
        return
    longest = int(np.argmax(lengths))
    first, last = starts[longest], starts[longest] + lengths[longest] - 1
    gaps, missing = counted(len(starts), "gap"), counted(int(lengths.sum()), readings.step)
    days = [f"{readings.time[at]!s:.10}" for at in (first, last)]
    period = f"from {days[0]} to {days[1]}" if days[0] != days[1] else f"on {days[0]}"
    most = counted(int(lengths[longest]), readings.step)
    text = f"{gaps} in the temperature, {missing} in all; the longest of {most} {period}."
    notes.append(Note("warning", text, int(lengths.sum())))
