"""Small weather files built as the descriptions of their forms say, read by our readers.

The descriptions give positions, units and labels, not values: the values written into
these files are invented, and what must come out of them is worked by hand.
"""

from __future__ import annotations

import json
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from breadline.knowledge.calendars import calendar
from breadline.need.degree_days import celsius_days, degree_days
from breadline.weather.read import read_weather
from breadline.weather.table import Daily, Hourly, WeatherFile

EVERY_HOUR = [f"2025-04-{d:02d}T{h:02d}:00" for d in (1, 2) for h in range(24)]


def _read(text: str) -> WeatherFile:
    with TemporaryDirectory() as folder:
        path = Path(folder) / "invented.txt"
        path.write_text(text, encoding="utf-8")
        return read_weather(path)


def _daily(text: str) -> Daily:
    table = _read(text).table
    assert isinstance(table, Daily)
    return table


def _hourly(text: str) -> Hourly:
    table = _read(text).table
    assert isinstance(table, Hourly)
    return table


def value_in_columns(first: int, last: int, tenths: int, day: int) -> float:
    """Highest temperature of a day whose value was written at these columns of a .dly line [°C]."""
    lines = []
    for element in ("TMAX", "TMIN"):
        line = list(f"XX000000001202504{element}" + "-9999   " * 31)
        line[first - 1 : last] = f"{tenths:5d}"
        lines.append("".join(line))
    table = _daily("\n".join(lines) + "\n")
    return float(table.tmax_c[table.date == np.datetime64(f"2025-04-{day:02d}")][0])


def days_left_by_flag(column: int) -> float:
    """Days of a month of 30 that keep their highest temperature, with a letter at this column."""
    lines = []
    for element in ("TMAX", "TMIN"):
        line = list(f"XX000000001202504{element}" + "  150   " * 30 + "-9999   ")
        if element == "TMAX":
            line[column - 1] = "D"
        lines.append("".join(line))
    return float(np.isfinite(_daily("\n".join(lines) + "\n").tmax_c).sum())


def by_station_value(element: str, value: int, field: str, flags: str) -> float:
    """What one row of a by-station file becomes, with these three flags."""
    known = {"TMAX": (150, ",,S"), "TMIN": (-50, ",,S"), element: (value, flags)}
    rows = [f"XX000000001,20250401,{name},{v},{f},0700" for name, (v, f) in known.items()]
    return float(getattr(_daily("\n".join(rows) + "\n"), field)[0])


def typical_hour_begins(label: str) -> float:
    """Hour of the day at which an hour of a typical year begins, by its label [h]."""
    head = "Date (MM/DD/YYYY),Time (HH:MM),GHI (W/m^2),Dry-bulb (C)"
    labels = [f"{h:02d}:00" for h in range(1, 25)]
    rows = [f"01/{d:02d}/1990,{at},5,{11 if at == label else 10}" for d in (1, 2) for at in labels]
    table = _hourly("\n".join(['1,"INVENTED",XX,-5.0,40.0,-75.0,100', head, *rows]) + "\n")
    return float(np.flatnonzero(table.temp_c[:24] == 11.0)[0])


def _service(column: str, values: list[float], unit: str) -> str:
    hourly = {"time": EVERY_HOUR, "temperature_2m": [10.0] * 48, column: values}
    units = {"time": "iso8601", "temperature_2m": "°C", column: unit}
    place = {"latitude": 50.0, "longitude": 0.0, "utc_offset_seconds": 0}
    return json.dumps({**place, "hourly": hourly, "hourly_units": units})


def service_hour_of(column: str, label: str) -> float:
    """Hour that a service's value with this time label belongs to, by its beginning [h]."""
    values = [1.0 if time.endswith(label) else 0.0 for time in EVERY_HOUR]
    field, unit = {
        "precipitation": ("rain_mm", "mm"),
        "shortwave_radiation": ("sun_wm2", "W/m²"),
        "temperature_2m": ("temp_c", "°C"),
    }[column]
    found = getattr(_hourly(_service(column, values, unit)), field)
    return float(np.flatnonzero(found[:24] == 1.0)[0])


def service_day_of(seconds: int, seconds_ahead: int) -> float:
    """Day of the month of a daily value given in seconds, at a place so far ahead of UTC."""
    daily = {"time": [seconds], "temperature_2m_min": [1.0], "temperature_2m_max": [9.0]}
    units = {"time": "unixtime", "temperature_2m_min": "°C", "temperature_2m_max": "°C"}
    place = {"latitude": 50.0, "longitude": 15.0, "utc_offset_seconds": seconds_ahead}
    table = _daily(json.dumps({**place, "daily": daily, "daily_units": units}))
    return float(str(table.date[0])[8:])


def sum_by_the_calendar(region: str, bloom: str, already: float, high: np.ndarray, low: np.ndarray) -> float:
    """A running sum in °F·day after more days [°F], by the base, cap and method of a calendar's window."""
    target = next(w.degree_days for w in calendar(region).windows if w.name == bloom)
    assert target is not None
    high_c, low_c = ((side - 32.0) * 5.0 / 9.0 for side in (high, low))
    more = degree_days(high_c, low_c, target.base_c, target.cap_c, target.method).sum()
    return already + float(more) / celsius_days(1.0)
