"""Gaps in a table on its grid: the short ones filled, the others told."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from breadline.language import Later, say_later
from breadline.span import FloatArray
from breadline.weather.counted import counted
from breadline.weather.readings import Readings
from breadline.weather.table import Note

SHORT_GAP_H = 3  # gaps up to this many hours are interpolated
LABEL: dict[str, Callable[[int], Later]] = {
    "temp_c": lambda n: counted(n, "temperature"),
    "tmin_c": lambda n: counted(n, "lowest temperature"),
    "tmax_c": lambda n: counted(n, "highest temperature"),
    "tmean_c": lambda n: counted(n, "mean temperature"),
    "rain_mm": lambda n: counted(n, "rain value"),
    "wind_ms": lambda n: counted(n, "wind speed"),
    "sun_wm2": lambda n: counted(n, "sun value"),
}
IMPOSSIBLE: dict[str, Callable[[int], Later]] = {
    "temp_c": lambda n: counted(n, "impossible temperature"),
    "tmin_c": lambda n: counted(n, "impossible lowest temperature"),
    "tmax_c": lambda n: counted(n, "impossible highest temperature"),
    "tmean_c": lambda n: counted(n, "impossible mean temperature"),
    "rain_mm": lambda n: counted(n, "impossible rain value"),
    "wind_ms": lambda n: counted(n, "impossible wind speed"),
    "sun_wm2": lambda n: counted(n, "impossible sun value"),
}


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
            text = say_later(
                "{values} in gaps of up to {most} hours, from the hours beside.",
                values=LABEL[name](int(short.sum())), most=SHORT_GAP_H,
            )  # fmt: skip
            notes.append(Note("filled", text, int(short.sum())))


def rows_of(readings: Readings, count: int) -> Later:
    """So many hours, or days, by what a row stands for."""
    return counted(count, "hour") if readings.step == "hour" else counted(count, "day")


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
    days = [f"{readings.time[at]!s:.10}" for at in (first, last)]
    period = (
        say_later("from {first} to {last}", first=days[0], last=days[1])
        if days[0] != days[1]
        else say_later("on {day}", day=days[0])
    )
    text = say_later(
        "{gaps} in the temperature, {missing} in all; the longest of {most} {period}.",
        gaps=counted(len(starts), "gap"), missing=rows_of(readings, int(lengths.sum())),
        most=rows_of(readings, int(lengths[longest])), period=period,
    )  # fmt: skip
    notes.append(Note("warning", text, int(lengths.sum())))
