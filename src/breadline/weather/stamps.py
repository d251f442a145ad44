"""Dates and times as they stand in files, turned into local standard time."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

import numpy as np

from breadline.errors import WeatherError
from breadline.language import noted, say, say_later
from breadline.weather.counted import counted
from breadline.weather.readings import Origin
from breadline.weather.table import Dates, Note

AWARE = re.compile(r"(?P<sign>[+\-−])(?P<h>\d{2}):?(?P<m>\d{2})?$|(?P<z>[zZ]|\s*UTC|\s*GMT)$")
SLASHED = re.compile(r"^\s*\d{1,2}[./\-]\d{1,2}[./\-]\d{2,4}(?!\d)")
YEAR_LAST = re.compile(r"\s*(\d{1,2})([./\-])(\d{1,2})\2(\d{4})(?!\d)", re.ASCII)
STRICT = re.compile(r"\d{4}-\d\d-\d\d([T ]\d\d(:\d\d(:\d\d(\.\d{1,6})?)?)?)?", re.ASCII)
LOOSE = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})(?:[T ]+(\d{1,2})((?::\d\d){1,2})?)?", re.ASCII)
ENDS = re.compile(r"(?<=[T ])24(?=(:00){0,2}$)")  # the hour that ends at midnight
COMPACT = re.compile(r"(\d{4})(\d\d)(\d\d)(?:[T ]?(\d\d)(?::?(\d\d))?)?", re.ASCII)  # 20250401 or 2025040113
ISO = noted("dates as year-month-day, such as 2025-04-01 or 2025-04-01T13:00")
BROKEN_SHARE = 0.05  # above this share of unreadable stamps the column is not time (judged)


@dataclass(frozen=True)
class Stamps:
    """Times in local standard time or on the wall clock; shape (rows,), NaT where unreadable."""

    time: Dates  # datetime64[s]
    utc_offset_hours: float | None  # of the standard time [h]
    wall_clock: bool  # naive stamps: daylight saving may be in them
    notes: tuple[Note, ...]


def stamps(cells: list[str], origin: Origin, where: str) -> Stamps:
    """The label of each row as a time.

    Errors
    ------
    WeatherError
        If days and months may be swapped, if the stamps are in UTC and nothing
        says where the place lies, or if more than one in twenty cannot be read.
    """
    filled = next((cell for cell in cells if cell.strip()), "")
    if SLASHED.match(filled):
        ordered, order = _year_first(cells, filled.strip(), where)
        read = stamps(ordered, origin, where)
        return replace(read, notes=(order, *read.notes))
    if re.fullmatch(r"\s*\d{1,6}\s*", filled):
        raise WeatherError(
            where,
            say("“{strip}” is not a whole date", strip=filled.strip()),
            say(ISO),
            say("Add a date column"),
        )
    if COMPACT.fullmatch(filled.strip()):
        cells = [COMPACT.sub(_spelled, cell.strip()) for cell in cells]
    plain = [cell.strip().strip('"').replace("/", "-") for cell in cells]
    zoned = {_aware(cell) for cell in plain if cell[:4].isdigit()}
    if len(zoned) == 2:
        raise WeatherError(where, say("some times carry a zone such as Z or +01:00 and others do not"),
                           say("all of one kind"), say("Write every time the same way"))  # fmt: skip
    if True in zoned:
        return _from_aware(plain, origin, where)
    at_end = np.array(["24" in cell[9:] and bool(ENDS.search(cell)) for cell in plain])
    time, notes = _parsed([ENDS.sub("00", c) if e else c for c, e in zip(plain, at_end, strict=True)], where)
    if at_end.any():  # who writes 24:00 labels hours by their end
        text = say_later("Hours are labelled by their end, 24:00 is among them: each begins an hour earlier.")
        notes = (*notes, Note("assumed", text, len(time)))
        time = time + np.where(at_end, 23, -1).astype("timedelta64[h]")
    return Stamps(time, None, True, notes)


def _year_first(cells: list[str], shown: str, where: str) -> tuple[list[str], Note]:
    """01.04.2025 as 2025-04-01, where some row has a number above 12 that can only be the day."""
    found = [match for cell in cells if (match := YEAR_LAST.match(cell))]
    above = [next((m[0].strip() for m in found if int(m[at]) > 12), "") for at in (1, 3)]
    if bool(above[0]) == bool(above[1]):
        raise WeatherError(
            where,
            say("“{shown}” may be day-month or month-day", shown=shown),
            say(ISO),
            say("Write year-month-day"),
        )
    day, month = (1, 3) if above[0] else (3, 1)
    turned = [YEAR_LAST.sub(lambda m: f"{m[4]}-{m[month]:0>2}-{m[day]:0>2}", cell, count=1) for cell in cells]
    cell = above[0] or above[1]
    if above[0]:
        text = say_later("Dates read as day-month-year: “{cell}” can be nothing else.", cell=cell)
    else:
        text = say_later("Dates read as month-day-year: “{cell}” can be nothing else.", cell=cell)
    return turned, Note("assumed", text, len(found))


def hours_apart(time: Dates) -> float:
    """The usual distance of rows in time [h]; 1 where there are too few of them to tell."""
    seconds = np.diff(np.sort(time[~np.isnat(time)]).astype("datetime64[s]")).astype(np.float64)
    return float(np.median(seconds[seconds > 0])) / 3600.0 if (seconds > 0).any() else 1.0


def local_standard(utc: Dates, origin: Origin, where: str) -> tuple[Dates, float, Note]:
    """UTC turned into the standard time of the nearest 15° of longitude, and its offset [h]; same shape."""
    if origin.longitude is None:
        raise WeatherError(
            where,
            say("times are in UTC and the place's longitude is not known"),
            say("a longitude"),
            say("Give the longitude, or write local standard times without Z"),
        )
    offset = float(round(origin.longitude / 15.0))
    text = say_later(
        "Times in UTC moved by {offset:+.0f} h to local standard time, from the longitude.", offset=offset
    )
    return utc + np.timedelta64(int(offset * 3600), "s"), offset, Note("assumed", text, len(utc))


def _spelled(compact: re.Match[str]) -> str:
    year, month, day, hour, minute = compact.groups()
    return f"{year}-{month}-{day}" + (f"T{hour}:{minute or '00'}" if hour else "")


def _aware(cell: str) -> bool:
    return bool(AWARE.search(cell[10:]))


def _from_aware(cells: list[str], origin: Origin, where: str) -> Stamps:
    bare, offsets = [], np.zeros(len(cells))
    for i, cell in enumerate(cells):
        match = AWARE.search(cell[10:])
        bare.append(cell[: 10 + match.start()] if match else cell)
        if match and match["h"]:
            hours = int(match["h"]) + int(match["m"] or 0) / 60.0
            offsets[i] = hours if match["sign"] == "+" else -hours
    time, notes = _parsed(bare, where)
    utc = time - (offsets * 3600).astype("timedelta64[s]")
    if not offsets.any():
        local, offset, note = local_standard(utc, origin, where)
        return Stamps(local, offset, False, (*notes, note))
    if np.ptp(offsets) > 1.0:
        raise WeatherError(
            where,
            say(
                "times are {min:+g} and {max:+g} h from UTC: several places in one file?",
                min=offsets.min(),
                max=offsets.max(),
            ),
            say("one place"),
            say("Keep the rows of one station"),
        )
    standard = float(offsets.min())  # daylight saving adds an hour, so the smaller one is standard time
    moved = int((offsets != standard).sum())
    if moved:
        many = counted(moved, "time")
        text = say_later(
            "{times} in daylight saving moved back to standard time (UTC{standard:+g}).",
            times=many,
            standard=standard,
        )
        notes = (*notes, Note("assumed", text, moved))
    return Stamps(utc + np.timedelta64(round(standard * 3600), "s"), standard, False, notes)


def _parsed(cells: list[str], where: str) -> tuple[Dates, tuple[Note, ...]]:
    bare = [cell if STRICT.fullmatch(cell) else _padded(cell) for cell in cells]
    try:
        time = np.array(bare, dtype="datetime64[s]")
    except ValueError:  # at least one is not a date: read one by one
        time = np.array([_one(cell) for cell in bare], dtype="datetime64[s]")
    broken = np.flatnonzero(np.isnat(time))
    if not len(broken):
        return time, ()
    shown = cells[broken[0]][:25]
    if len(broken) > BROKEN_SHARE * len(cells):
        raise WeatherError(
            where,
            say("“{shown}” in row {broken} is not a date", shown=shown, broken=broken[0] + 1),
            say(ISO),
            say("Mend the column"),
        )
    text = say_later(
        "{rows} without a readable date, the first “{shown}”.", rows=counted(len(broken), "row"), shown=shown
    )
    return time, (Note("dropped", text, len(broken)),)


def _padded(cell: str) -> str:
    """2025-4-1 7:30 as 2025-04-01T07:30; anything else is no date, and empty."""
    match = LOOSE.fullmatch(cell)
    if not match:
        return ""
    year, month, day, hour, rest = match.groups()
    date = f"{year}-{month:0>2}-{day:0>2}"
    return f"{date}T{hour:0>2}{rest or ''}" if hour else date


def _one(cell: str) -> np.datetime64:
    try:
        return np.datetime64(cell, "s")
    except ValueError:
        return np.datetime64("NaT", "s")
