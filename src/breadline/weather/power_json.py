"""JSON of NASA POWER: a value by time label for each parameter, units beside them."""

from __future__ import annotations

from typing import Any

import numpy as np

from breadline.errors import WeatherError
from breadline.language import say, say_later
from breadline.span import FloatArray
from breadline.weather.counted import counted
from breadline.weather.json_parts import listed, mapping, number
from breadline.weather.readings import Origin, Readings
from breadline.weather.stamps import local_standard
from breadline.weather.table import Dates, Note, Station
from breadline.weather.units import in_si

HOURLY = {"T2M": "temp_c", "PRECTOTCORR": "rain_mm", "WS10M": "wind_ms", "ALLSKY_SFC_SW_DWN": "sun_wm2"}
DAILY = {
    "T2M_MIN": "tmin_c",
    "T2M_MAX": "tmax_c",
    "T2M": "tmean_c",
    "PRECTOTCORR": "rain_mm",
    "WS10M": "wind_ms",
}
FILL = -999.0  # the service's code for missing where the header has none
LICENCE = "NASA POWER: name the source, and read the terms of the service."


def is_power(answer: dict[str, Any]) -> bool:
    """True where the JSON has the shape of this service."""
    return isinstance(answer.get("properties"), dict) and "parameter" in answer["properties"]


def read_power(answer: dict[str, Any], origin: Origin) -> Readings:
    """Hours (labelled by their beginning, in UTC or local solar time) or days of one point.

    Errors
    ------
    WeatherError
        If temperatures, units or readable times are missing.
    """
    table = mapping(answer["properties"]["parameter"], f"{origin.name}, parameter")
    columns = {key: mapping(column, f"{origin.name}, {key}") for key, column in table.items()}
    labels = sorted({label for column in columns.values() for label in column})
    hourly = bool(labels) and len(labels[0]) == 10
    names = HOURLY if hourly else DAILY
    needed = {"T2M"} if hourly else {"T2M_MIN", "T2M_MAX"}
    if not needed <= set(columns):
        raise WeatherError(
            origin.name,
            say("{names} missing", names=" and ".join(sorted(needed - set(columns)))),
            ", ".join(names),
            say("Ask the service for them"),
        )
    header = mapping(answer.get("header"), f"{origin.name}, header")
    values, notes = _values(answer, columns, labels, names, origin.name)
    place = _place(answer, origin)
    time, offset, told = _time(labels, hourly, str(header.get("time_standard", "")), place)
    station = Station(origin.name, place.latitude, place.longitude, offset, LICENCE)
    return Readings(time, values, station, "hour" if hourly else "day", (*notes, *told))


def _values(
    answer: dict[str, Any],
    columns: dict[str, dict[str, Any]],
    labels: list[str],
    names: dict[str, str],
    where: str,
) -> tuple[dict[str, FloatArray], tuple[Note, ...]]:
    units = mapping(answer.get("parameters"), f"{where}, parameters")
    header = mapping(answer.get("header"), f"{where}, header")
    missing = number(header.get("fill_value"), f"{where}, fill_value") or FILL
    values, lost = {}, 0
    for key in (key for key in names if key in columns):
        raw = _column(columns[key], labels, f"{where}, {key}")
        lost += int((raw == missing).sum())
        unit = str(mapping(units.get(key), f"{where}, {key}").get("units", ""))
        raw = np.where(raw == missing, np.nan, raw)
        row_h = 1.0 if names is HOURLY else 24.0
        values[names[key]] = in_si(raw, names[key], unit, f"{where}, {key}", row_h)
    said = say_later("{codes} for missing ({missing:g}).", codes=counted(lost, "code"), missing=missing)
    return values, (Note("dropped", said, lost),) if lost else ()


def _column(cells: dict[str, Any], labels: list[str], where: str) -> FloatArray:
    try:
        return np.array([cells.get(label, np.nan) for label in labels], dtype=np.float64)
    except (TypeError, ValueError) as fault:
        raise WeatherError(where, say("a value is not a number"), say("numbers")) from fault


def _place(answer: dict[str, Any], origin: Origin) -> Origin:
    where = f"{origin.name}, coordinates"
    point = listed(mapping(answer.get("geometry"), where).get("coordinates"), where)
    if len(point) < 2:
        return origin
    return Origin(origin.name, number(point[1], where), number(point[0], where), origin.today)


def _time(
    labels: list[str], hourly: bool, standard: str, place: Origin
) -> tuple[Dates, float | None, tuple[Note, ...]]:
    iso = [f"{x[:4]}-{x[4:6]}-{x[6:8]}" + (f"T{x[8:]}" if hourly else "") for x in labels]
    try:
        time = np.array(iso, dtype="datetime64[s]")
    except ValueError as fault:
        raise WeatherError(
            place.name, say("a time cannot be read ({fault})", fault=fault), say("2025040113 or 20250401")
        ) from fault
    if not hourly:
        return time, None, ()
    if standard.upper() == "UTC":
        local, offset, note = local_standard(time, place, place.name)
        return local, offset, (note,)
    assumed = None if place.longitude is None else float(round(place.longitude / 15.0))
    return time, assumed, ()
