"""Rows put in order: sorted, without duplicates, on standard time, on a whole grid."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from breadline.errors import WeatherError
from breadline.language import say, say_later
from breadline.span import FloatArray
from breadline.weather.counted import counted
from breadline.weather.gaps import SHORT_GAP_H
from breadline.weather.readings import Origin, Readings
from breadline.weather.table import Dates, Note

HOUR = np.timedelta64(1, "h")
EARLIEST = np.datetime64("1800-01-01")  # no instrument is older; earlier dates are typing errors (judged)
SEVERAL_PLACES = 0.2  # share of rows repeating a time above which it is no accident (judged)
REGULAR = 0.9  # share of rows at one distance above which the file is made so (judged)
FORECAST_DAYS = 16  # as far ahead as the public forecasts reach; later rows are no weather


def in_order(readings: Readings, origin: Origin) -> Readings:
    """Rows sorted, on standard time, one for each hour or day of the period; missing rows NaN.

    Errors
    ------
    WeatherError
        If no row has a usable date.
    """
    if readings.step == "day":
        readings = replace(readings, time=readings.time.astype("datetime64[D]"))
    ordered = _sorted(_possible_dates(readings, origin))
    if ordered.wall_clock:
        ordered = _without_saving(ordered)
    ordered = _without_repeats(ordered, origin.name)
    if ordered.step == "hour":
        ordered = _by_hour(_no_coarser(ordered, origin.name))
    return _on_grid(ordered)


def _rows(readings: Readings, keep: NDArray[np.bool_] | NDArray[np.int64], *notes: Note) -> Readings:
    values = {name: column[keep] for name, column in readings.values.items()}
    return replace(readings, time=readings.time[keep], values=values, notes=(*readings.notes, *notes))


def _possible_dates(readings: Readings, origin: Origin) -> Readings:
    time = readings.time
    good = ~np.isnat(time) & (time >= EARLIEST)
    notes = []
    if (old := int((time < EARLIEST).sum())) > 0:
        notes.append(
            Note("dropped", say_later("{rows} dated before the year 1800.", rows=counted(old, "row")), old)
        )
    if origin.today is not None and not readings.station.typical_year:
        ahead = time > np.datetime64(origin.today) + np.timedelta64(FORECAST_DAYS + 1, "D")
        if ahead.any():
            many = counted(int(ahead.sum()), "row")
            last = f"{np.max(time[ahead])!s:.10}"
            text = say_later("{rows} dated in the future, the last {day}.", rows=many, day=last)
            notes.append(Note("dropped", text, int(ahead.sum())))
        good &= ~ahead
    if not good.any():
        raise WeatherError(
            origin.name,
            say("no row has a date that can be weather"),
            say("dates up to today"),
            say("Check the years in the first column"),
        )
    return _rows(readings, good, *notes)


def _sorted(readings: Readings) -> Readings:
    if bool((np.diff(readings.time) >= np.timedelta64(0, "s")).all()):
        return readings
    order = np.argsort(readings.time, kind="stable")
    return _rows(
        readings, order, Note("assumed", say_later("Rows were not in order of time and have been sorted."))
    )


def _without_saving(readings: Readings) -> Readings:
    """Wall-clock rows on standard time, where a skipped and a repeated hour show daylight saving."""
    time = readings.time
    hours, at, rows = np.unique(time.astype("datetime64[h]"), return_inverse=True, return_counts=True)
    events = _changes(hours, rows)
    if not events:
        return readings
    kinds = [kind for _, kind in events]
    if len(events) < 2 or any(a == b for a, b in pairwise(kinds)):
        day = hours[events[0][0]]
        text = say_later(
            "An hour is skipped or repeated on {day}, as when clocks change; left so.", day=f"{day!s:.10}"
        )
        return _rows(readings, np.arange(len(time)), Note("warning", text))
    saved = np.zeros(len(hours), dtype=bool)
    saved[: events[0][0] + 1] = kinds[0] == "back"
    for (hour, kind), end in zip(events, [*(i for i, _ in events[1:]), len(hours) - 1], strict=True):
        if kind == "forward":
            saved[hour + 1 : end + 1] = True
    again = np.append(False, np.diff(time) == np.timedelta64(0, "s"))  # after the clocks went back
    summer = saved[at] & ~(again & np.isin(at, [i for i, kind in events if kind == "back"]))
    days = ", ".join(f"{hours[i]!s:.10}" for i, _ in events[:4])
    many = int(summer.sum())
    moved = counted(many, "hour") if len(hours) + len(events) > len(time) else counted(many, "row")
    text = say_later(
        "{moved} moved from daylight saving to standard time (clocks changed on {days}).",
        moved=moved,
        days=days,
    )
    standard = replace(readings, time=np.where(summer, time - HOUR, time))
    order = np.argsort(standard.time, kind="stable")
    return _rows(standard, order, Note("assumed", text, int(summer.sum())))


def _changes(hours: Dates, rows: NDArray[np.int64]) -> list[tuple[int, str]]:
    """Hours after which one is skipped (forward) or that are there twice (back), early on a Sunday."""
    skipped = np.append(np.diff(hours).astype(np.int64) == 2, False)
    twice = rows == 2 * np.median(rows)
    day = hours.astype("datetime64[D]")
    sunday = (day.astype(np.int64) + 3) % 7 == 6
    early = (hours - day) <= np.timedelta64(3, "h")
    month = hours.astype("datetime64[M]").astype(np.int64) % 12 + 1
    forward = skipped & sunday & early & np.isin(month, (3, 4, 8, 9, 10))
    back = twice & sunday & early & np.isin(month, (3, 4, 9, 10, 11))
    return [(int(i), "forward" if forward[i] else "back") for i in np.flatnonzero(forward | back)]


def _without_repeats(readings: Readings, where: str) -> Readings:
    first = np.append(True, np.diff(readings.time) > np.timedelta64(0, "s"))
    lost = int((~first).sum())
    if not lost:
        return readings
    if lost > SEVERAL_PLACES * len(first) and _differ(readings, first):
        raise WeatherError(
            where,
            say(
                "{lost} of {first} rows repeat a time with other values: several places in one file?",
                lost=lost,
                first=len(first),
            ),
            say("one place, one row an hour") if readings.step == "hour" else say("one place, one row a day"),
            say("Keep the rows of one station"),
        )
    again = counted(lost, "duplicate hour") if readings.step == "hour" else counted(lost, "duplicate day")
    begin, end = (f"{readings.time[~first][at]!s:.10}" for at in (0, -1))
    text = say_later("{rows} between {begin} and {end}; the first is kept.", rows=again, begin=begin, end=end)
    return _rows(readings, first, Note("dropped", text, lost))


def _differ(readings: Readings, first: NDArray[np.bool_]) -> bool:
    again = np.flatnonzero(~first)
    pairs = ((c[again], c[again - 1]) for c in readings.values.values())
    return any(bool(((a != b) & ~(np.isnan(a) & np.isnan(b))).mean() > 0.5) for a, b in pairs)


def _no_coarser(readings: Readings, where: str) -> Readings:
    """Rows every two or three hours with their rain shared out; wider apart they say nothing of flight."""
    apart = np.diff(readings.time).astype("timedelta64[s]").astype(np.float64) / 3600.0
    usual = float(np.median(apart)) if len(apart) else 1.0
    if usual <= 1.0 or float(np.mean(apart == usual)) < REGULAR:
        return readings
    if usual > SHORT_GAP_H:
        raise WeatherError(
            where,
            say("the rows are {usual:g} hours apart", usual=usual),
            say("rows by the hour or the day"),
            say("Get hourly values, or each day's tmin and tmax"),
        )
    text = say_later(
        "Rows are {usual:g} hours apart: the hours between are filled in, and the rain shared out.",
        usual=usual,
    )
    values = {name: c / usual if name == "rain_mm" else c for name, c in readings.values.items()}
    return replace(readings, values=values, notes=(*readings.notes, Note("assumed", text)))


def _by_hour(readings: Readings) -> Readings:
    hours = readings.time.astype("datetime64[h]")
    unique, at = np.unique(hours, return_inverse=True)
    where = np.asarray(at, dtype=np.int64)
    if len(unique) == len(hours):
        return replace(readings, time=hours)
    values = {name: _merged(column, where, len(unique), name) for name, column in readings.values.items()}
    text = say_later(
        "{rows} readings put together into {hours} hours: means, and sums of rain.",
        rows=len(hours),
        hours=len(unique),
    )
    return replace(readings, time=unique, values=values, notes=(*readings.notes, Note("assumed", text)))


def _merged(column: FloatArray, where: NDArray[np.int64], hours: int, name: str) -> FloatArray:
    known = ~np.isnan(column)
    sums = np.bincount(where[known], weights=column[known], minlength=hours)
    counts = np.bincount(where[known], minlength=hours)
    whole = sums if name == "rain_mm" else sums / np.maximum(counts, 1)
    return np.where(counts > 0, whole, np.nan)


def _on_grid(readings: Readings) -> Readings:
    unit = "h" if readings.step == "hour" else "D"
    time = readings.time.astype(f"datetime64[{unit}]")
    whole = int((time[-1] - time[0]).astype(np.int64)) + 1
    grid = time[0] + np.arange(whole).astype(f"timedelta64[{unit}]")
    at = (time - time[0]).astype(np.int64)
    values = {}
    for name, column in readings.values.items():
        values[name] = np.full(len(grid), np.nan)
        values[name][at] = column
    return replace(readings, time=grid, values=values)
