"""Typical meteorological years in the TMY3 form: one made-up year of hours."""

from __future__ import annotations

import numpy as np

from breadline.errors import WeatherError
from breadline.language import say, say_later
from breadline.span import FloatArray
from breadline.weather.cells import cells_of, numbers
from breadline.weather.counted import counted
from breadline.weather.plain import of_another_width
from breadline.weather.readings import Origin, Readings
from breadline.weather.table import Dates, Note, Station
from breadline.weather.units import HEADER, in_si

COLUMNS = {"Dry-bulb": "temp_c", "Wspd": "wind_ms", "GHI": "sun_wm2", "Lprecip depth": "rain_mm"}
PERIOD = "Lprecip quantity (hr)"  # the hours that a rain depth was gathered over
YEAR = "2001"  # any year of 365 days: the months of a typical year come from different years


def is_tmy3(text: str) -> bool:
    """True where the second line is a TMY3 header."""
    lines = text.split("\n", 2)
    return len(lines) > 1 and lines[1].lstrip('"').startswith("Date (MM/DD/YYYY)")


def read_tmy3(text: str, origin: Origin) -> Readings:
    """Hours of a typical year, restamped into one year; an hour is labelled by its end in the file.

    Errors
    ------
    WeatherError
        If the temperature column or all rows are missing.
    """
    place, header, *rows = cells_of(text.splitlines())
    body = [row for row in rows if len(row) == len(header)]
    if not body:
        raise WeatherError(
            origin.name, say("there is a header and no rows"), say("8,760 hours"), say("Download it again")
        )
    cells = list(zip(*body, strict=True))
    values: dict[str, FloatArray] = {}
    notes: list[Note] = []
    for at, head in enumerate(header):
        match = HEADER.match(head)
        name = COLUMNS.get(match["name"]) if match else None
        if match and name:
            where = f"{origin.name}, column {head}"
            raw, heard = numbers(list(cells[at]), where, comma=False)
            values[name], notes = in_si(raw, name, match["unit"], where), [*notes, *heard]
    if "temp_c" not in values:
        raise WeatherError(
            f"{origin.name}, header", say("there is no column Dry-bulb (C)"), say("a whole TMY3 file")
        )
    if lost := sum(bool(row) for row in rows) - len(body):
        notes.append(Note("dropped", of_another_width(lost), lost))
    notes += _long_sums(dict(zip(header, cells, strict=True)), values)
    notes.append(
        Note("assumed", say_later("A typical year: its months come from different years, shown as one year."))
    )
    return Readings(_time(cells[0], cells[1], origin.name), values, _station(place, origin), "hour",
                    tuple(notes))  # fmt: skip


def _long_sums(cells: dict[str, tuple[str, ...]], values: dict[str, FloatArray]) -> list[Note]:
    """What to say of rain that was measured over several hours and stands in the last of them."""
    if PERIOD not in cells or "rain_mm" not in values:
        return []
    long = np.array([cell.strip() not in ("1", "") for cell in cells[PERIOD]]) & (values["rain_mm"] > 0.0)
    sums = counted(int(long.sum()), "rain sum")
    text = say_later("{sums} over several hours, counted in the last of them.", sums=sums)
    return [Note("warning", text, int(long.sum()))] if long.any() else []


def _time(days: tuple[str, ...], hours: tuple[str, ...], where: str) -> Dates:
    try:
        day = np.array([f"{YEAR}-{d[:2]}-{d[3:5]}" for d in days], dtype="datetime64[D]")
        ends = np.array([int(h[:2]) for h in hours], dtype=np.int64)
    except ValueError as fault:
        raise WeatherError(
            where,
            say("a row's date or hour cannot be read ({fault})", fault=fault),
            say("MM/DD/YYYY and HH:MM"),
            say("Download it again"),
        ) from fault
    begins: Dates = day.astype("datetime64[h]") + (ends - 1).astype("timedelta64[h]")
    return begins


def _station(place: list[str], origin: Origin) -> Station:
    try:
        offset, latitude, longitude = (float(cell) for cell in place[3:6])
    except ValueError as fault:
        raise WeatherError(
            f"{origin.name}, first line",
            say("time zone, latitude and longitude cannot be read"),
            say("three numbers"),
        ) from fault
    return Station(origin.name, latitude, longitude, offset, typical_year=True)
