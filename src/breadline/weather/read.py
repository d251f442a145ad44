"""Any weather file: its form told from its content, read and checked."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from breadline.weather.ghcn import BY_STATION, DLY, read_by_station, read_dly
from breadline.weather.plain import read_plain
from breadline.weather.quality import checked
from breadline.weather.readings import Origin, Readings
from breadline.weather.service_json import read_service_json
from breadline.weather.table import Note, WeatherFile
from breadline.weather.text import text_of
from breadline.weather.tmy3 import is_tmy3, read_tmy3

Reader = Callable[[str, Origin], Readings]


def read_weather(
    path: Path | str,
    *,
    latitude: float | None = None,
    longitude: float | None = None,
    units: Mapping[str, str] | None = None,
    today: date | None = None,
) -> WeatherFile:
    """Hourly or daily weather from a file of any known form, with a report of what was done to it.

    Parameters
    ----------
    path
        Station CSV (also .gz) or ``.dly``, a table with units in its header, TMY3,
        or the JSON of a weather service.
    latitude, longitude
        Of the yard [degrees north, degrees east]; longitude turns UTC into local time.
    units
        For a table without units: its column names and what they are, such as
        ``{"temp_max": "tmax [°C]"}``; other columns are not used.
    today
        Rows further ahead than a forecast reaches are dropped; the clock's date
        where not given.

    Errors
    ------
    WeatherError
        What is wrong, where, and what to do about it.
    """
    file = Path(path)
    text, notes = text_of(file)
    found = weather_of_text(
        text, Origin(file.name, latitude, longitude, today or date.today(), dict(units or {}))
    )
    return WeatherFile(found.table, (*notes, *found.notes))


def weather_of_text(text: str, origin: Origin) -> WeatherFile:
    """The same of a file's text, as ``origin`` calls it.

    Errors
    ------
    WeatherError
        As ``read_weather``.
    """
    return checked(_reader(text)(text, origin), origin)


@dataclass(frozen=True)
class Parsed:
    """A file that was gone through once, for any place whose clock is that of ``meridian``."""

    readings: Readings
    notes: tuple[Note, ...]
    name: str
    meridian: float | None  # east of Greenwich [°]


def parsed(path: Path, longitude: float | None, today: date) -> Parsed:
    """A file gone through once for several places of one ``longitude`` [°]; going through it takes longest.

    Errors
    ------
    WeatherError
        As ``read_weather``.
    """
    text, notes = text_of(path)
    # none that a file would name as its own, and the same hour as the place's
    meridian = None if longitude is None else round(longitude / 15.0) * 15.0 + 1e-7
    readings = _reader(text)(text, Origin(path.name, None, meridian, today))
    return Parsed(readings, notes, path.name, meridian)


def at_place(of: Parsed, latitude: float, longitude: float | None, today: date) -> WeatherFile:
    """The weather of a parsed file as ``read_weather`` gives it at ``latitude`` and ``longitude`` [°].

    Errors
    ------
    WeatherError
        As ``read_weather``.
    """
    station = of.readings.station
    if station.latitude is None:
        station = replace(station, latitude=latitude)
    if station.longitude == of.meridian:
        station = replace(station, longitude=longitude)
    values = {name: column.copy() for name, column in of.readings.values.items()}
    here = replace(of.readings, values=values, station=station)
    found = checked(here, Origin(of.name, latitude, longitude, today))
    return WeatherFile(found.table, (*of.notes, *found.notes))


def _reader(text: str) -> Reader:
    first = text.lstrip().split("\n", 1)[0]
    if first[:1] in ("{", "["):
        return read_service_json
    if is_tmy3(text):
        return read_tmy3
    if BY_STATION.match(first):
        return read_by_station
    if DLY.match(first):
        return read_dly
    return read_plain
