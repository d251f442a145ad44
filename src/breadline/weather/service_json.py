"""JSON of public weather services: hourly or daily arrays with their units beside them."""

from __future__ import annotations

import json
from typing import Any

import numpy as np

from breadline.errors import WeatherError
from breadline.language import say, say_later
from breadline.span import FloatArray
from breadline.weather.cells import CODES
from breadline.weather.json_parts import listed, mapping, number
from breadline.weather.power_json import is_power, read_power
from breadline.weather.readings import Origin, Readings
from breadline.weather.stamps import STRICT, hours_apart, local_standard
from breadline.weather.table import Dates, Note, Station
from breadline.weather.units import in_si

HOURLY = {"temperature_2m": "temp_c", "precipitation": "rain_mm", "wind_speed_10m": "wind_ms",
          "windspeed_10m": "wind_ms", "shortwave_radiation": "sun_wm2"}  # fmt: skip
DAILY = {"temperature_2m_min": "tmin_c", "temperature_2m_max": "tmax_c", "temperature_2m_mean": "tmean_c",
         "precipitation_sum": "rain_mm", "wind_speed_10m_mean": "wind_ms"}  # fmt: skip
BEFORE = ("rain_mm", "sun_wm2")  # labelled by the end of their hour; the others by the instant
LICENCE = "Open-Meteo: free for non-commercial use; weather data under CC BY 4.0."


def read_service_json(text: str, origin: Origin) -> Readings:
    """The ``hourly`` table of a service's answer, else its ``daily`` one; units come from the file.

    Errors
    ------
    WeatherError
        If it is not JSON, the service reported an error, or times, units or a
        temperature are missing.
    """
    answer = _answer(text, origin.name)
    if is_power(answer):
        return read_power(answer, origin)
    hourly = "hourly" in answer
    step = "hourly" if hourly else "daily"
    block = mapping(answer.get(step), f"{origin.name}, {step}")
    units = mapping(answer.get(f"{step}_units"), f"{origin.name}, {step}_units")
    values, unused = _columns(block, units, HOURLY if hourly else DAILY, origin.name)
    place = _place(answer, origin)
    clock = _time(block["time"], str(units.get("time", "iso8601")), origin.name)
    if any(len(v) != len(clock) for v in values.values()):
        raise WeatherError(origin.name, say("columns have different lengths"), say("one value for each time"))
    ahead = number(answer.get("utc_offset_seconds"), f"{origin.name}, utc_offset_seconds") or 0.0
    shift = np.timedelta64(int(ahead), "s")
    utc = clock if units.get("time") == "unixtime" else clock - shift  # seconds are UTC
    if not hourly:
        return Readings(utc + shift, values, _station(place, None), "day", unused)
    local, offset, note = local_standard(utc, place, origin.name)
    values = {k: _from_the_next(v, utc) if k in BEFORE else v for k, v in values.items()}
    return Readings(local, values, _station(place, offset), "hour", (note, *unused))


def _columns(
    block: dict[str, Any], units: dict[str, Any], names: dict[str, str], where: str
) -> tuple[dict[str, FloatArray], tuple[Note, ...]]:
    values = {
        names[key]: _values(block[key], names[key], str(units.get(key, "")), f"{where}, {key}")
        for key in block
        if key in names
    }
    needed = {"temp_c"} if names is HOURLY else {"tmin_c", "tmax_c"}
    if not needed <= set(values) or "time" not in block:
        raise WeatherError(
            where,
            say("times or temperatures are missing"),
            say("time and {names}", names=", ".join(names)),
            say("Ask the service for them"),
        )
    spare = [key for key in block if key not in names and key != "time"]
    note = Note("dropped", say_later("Columns not used: {names}.", names=", ".join(spare)), len(spare))
    return values, (note,) if spare else ()


def _answer(text: str, where: str) -> dict[str, Any]:
    try:
        answer = json.loads(text)
    except ValueError as fault:
        raise WeatherError(
            where,
            say("this is not whole JSON ({fault})", fault=fault),
            say("the service's answer as it came"),
            say("Download it again"),
        ) from fault
    if isinstance(answer, list) and len(answer) == 1:
        answer = answer[0]
    if not isinstance(answer, dict):
        raise WeatherError(
            where, say("the JSON holds no single place"), say("one place"), say("Ask for one place")
        )
    if answer.get("error"):
        raise WeatherError(
            where,
            say("the service answered: {reason}", reason=answer.get("reason", "error")),
            say("weather"),
            say("Mend the request"),
        )
    if "hourly" not in answer and "daily" not in answer and not is_power(answer):
        raise WeatherError(where, say("there is no “hourly” or “daily” table"), say("the service's answer"),
                           say("Ask for hourly variables"))  # fmt: skip
    return answer


def _values(cells: Any, field: str, unit: str, where: str) -> FloatArray:
    try:
        raw = np.array([np.nan if cell is None else cell for cell in listed(cells, where)], dtype=np.float64)
    except (TypeError, ValueError) as fault:
        raise WeatherError(where, say("a value is not a number"), say("numbers or null")) from fault
    return in_si(np.where(np.isin(raw, CODES), np.nan, raw), field, unit, where)


def _time(column: Any, unit: str, where: str) -> Dates:
    cells = listed(column, f"{where}, time")
    try:
        if unit == "unixtime":
            return np.array(cells, dtype=np.int64).astype("datetime64[s]")
        if not all(STRICT.fullmatch(cell) for cell in cells):
            raise ValueError("a zone or another form")
        return np.array(cells, dtype="datetime64[s]")
    except (TypeError, ValueError, OverflowError) as fault:
        raise WeatherError(
            where, say("a time cannot be read ({fault})", fault=fault), "2025-04-01T13:00"
        ) from fault


def _from_the_next(values: FloatArray, time: Dates) -> FloatArray:
    """Each row with the value of the row after it, which is labelled by its end; NaN before a gap."""
    step = np.timedelta64(round(hours_apart(time) * 3600), "s")
    return np.where(np.append(np.diff(time) == step, False), np.append(values[1:], np.nan), np.nan)


def _place(answer: dict[str, Any], origin: Origin) -> Origin:
    """The place as the answer has it, else as it was given."""
    latitude = number(answer.get("latitude"), f"{origin.name}, latitude")
    longitude = number(answer.get("longitude"), f"{origin.name}, longitude")
    return Origin(
        origin.name,
        origin.latitude if latitude is None else latitude,
        origin.longitude if longitude is None else longitude,
    )


def _station(place: Origin, offset: float | None) -> Station:
    return Station(place.name, place.latitude, place.longitude, offset, LICENCE)
