"""Units of weather columns, turned into °C, mm, m/s and W/m²."""

from __future__ import annotations

import re
from dataclasses import dataclass

from breadline.errors import WeatherError
from breadline.language import say
from breadline.span import FloatArray

HEADER = re.compile(r"^\s*(?P<name>[^\[\(]+?)\s*[\[\(]\s*(?P<unit>[^\]\)]*?)\s*[\]\)]\s*$")

# name in a header → field of the table; "time" and "date" are the row's label
NAMES = {
    "time": "time", "datetime": "time", "timestamp": "time", "hour": "time", "date": "date", "day": "date",
    "temp": "temp_c", "temperature": "temp_c", "air temperature": "temp_c",
    "tmin": "tmin_c", "min": "tmin_c", "temp min": "tmin_c", "minimum temperature": "tmin_c",
    "tmax": "tmax_c", "max": "tmax_c", "temp max": "tmax_c", "maximum temperature": "tmax_c",
    "tmean": "tmean_c", "mean": "tmean_c", "tavg": "tmean_c", "mean temperature": "tmean_c",
    "rain": "rain_mm", "precipitation": "rain_mm", "precip": "rain_mm", "rainfall": "rain_mm",
    "prcp": "rain_mm", "awnd": "wind_ms",  # as a daily summary of stations names them
    "wind": "wind_ms", "wind speed": "wind_ms",
    "sun": "sun_wm2", "radiation": "sun_wm2", "solar radiation": "sun_wm2", "ghi": "sun_wm2",
    "global radiation": "sun_wm2",
    # as Spanish-speaking people name them
    "fecha": "date", "día": "date", "dia": "date", "hora": "time", "fecha y hora": "time",
    "temperatura": "temp_c", "temperatura del aire": "temp_c",
    "mínima": "tmin_c", "minima": "tmin_c", "mín": "tmin_c", "temp mín": "tmin_c",
    "temperatura mínima": "tmin_c", "temperatura minima": "tmin_c",
    "máxima": "tmax_c", "maxima": "tmax_c", "máx": "tmax_c", "temp máx": "tmax_c",
    "temperatura máxima": "tmax_c", "temperatura maxima": "tmax_c",
    "media": "tmean_c", "temperatura media": "tmean_c", "promedio": "tmean_c",
    "lluvia": "rain_mm", "precipitación": "rain_mm", "precipitacion": "rain_mm",
    "viento": "wind_ms", "velocidad del viento": "wind_ms",
    "sol": "sun_wm2", "radiación": "sun_wm2", "radiacion": "sun_wm2",
    "radiación solar": "sun_wm2", "radiacion solar": "sun_wm2", "radiación global": "sun_wm2",
}  # fmt: skip

# unit → (factor, offset): SI value = value × factor + offset
UNITS: dict[str, dict[str, tuple[float, float]]] = {
    "temperature": {
        "°c": (1, 0), "c": (1, 0), "degc": (1, 0), "celsius": (1, 0), "0.1°c": (0.1, 0), "k": (1, -273.15),
        "°f": (5 / 9, -160 / 9), "f": (5 / 9, -160 / 9), "degf": (5 / 9, -160 / 9),
        "fahrenheit": (5 / 9, -160 / 9),
    },
    "rain": {
        "mm": (1, 0), "mm/h": (1, 0), "mm/hour": (1, 0),
        "mm/day": (1, 0), "0.1mm": (0.1, 0), "cm": (10, 0), "m": (1000, 0),
        "in": (25.4, 0), "inch": (25.4, 0), "inches": (25.4, 0), "pulg": (25.4, 0), "pulgadas": (25.4, 0),
    },
    "wind": {
        "m/s": (1, 0), "ms": (1, 0), "mps": (1, 0), "0.1m/s": (0.1, 0), "km/h": (1 / 3.6, 0),
        "kmh": (1 / 3.6, 0), "kph": (1 / 3.6, 0), "mph": (0.44704, 0), "mp/h": (0.44704, 0),
        "mi/h": (0.44704, 0), "kn": (1852 / 3600, 0), "kt": (1852 / 3600, 0), "knots": (1852 / 3600, 0),
    },
    "sun": {
        "w/m²": (1, 0), "w/m2": (1, 0), "w/m^2": (1, 0), "wh/m²": (1, 0), "wh/m2": (1, 0), "wh/m^2": (1, 0),
        "kj/m²": (1 / 3.6, 0), "kj/m2": (1 / 3.6, 0), "j/m²": (1 / 3600, 0), "j/m2": (1 / 3600, 0),
        "mj/m²": (1000 / 3.6, 0), "mj/m2": (1000 / 3.6, 0),
    },
}  # fmt: skip
SHOWN = {
    "temperature": "°C, °F, K, 0.1 °C", "rain": "mm, cm, in, 0.1 mm", "wind": "m/s, km/h, mph, kn, 0.1 m/s",
    "sun": "W/m², Wh/m², kJ/m², MJ/m² in the hour",
}  # fmt: skip
KIND = {
    "temp_c": "temperature", "tmin_c": "temperature", "tmax_c": "temperature", "tmean_c": "temperature",
    "rain_mm": "rain", "wind_ms": "wind", "sun_wm2": "sun",
}  # fmt: skip


@dataclass(frozen=True)
class Column:
    """One column of a file: which field it fills and its unit ("" where it has none)."""

    field: str
    unit: str


def column(header: str) -> Column | None:
    """The field and unit that a header cell such as ``wind [km/h]`` names; None where unknown."""
    match = HEADER.match(header)
    name, unit = (match["name"], match["unit"]) if match else (header, "")
    known = NAMES.get(re.sub(r"[\s_\-]+", " ", name.strip().lower()))
    return Column(known, unit) if known else None


def in_si(values: FloatArray, field: str, unit: str, where: str, row_h: float = 1.0) -> FloatArray:
    """``values`` in the unit of ``field`` (``temp_c`` in °C and so on); same shape.

    ``row_h`` is the time that a row stands for [h]: it turns a rate of rain (mm/h,
    mm/day) into the row's rain, and a row's energy (Wh/m², J/m²) into its mean power.

    Errors
    ------
    WeatherError
        If the unit is missing or not one of the known ones, listing them.
    """
    known = UNITS[KIND[field]]
    key = re.sub(r"\s+", "", unit).replace("º", "°").lower()
    if key not in known:
        what = (
            say("the unit “{unit}” is not known", unit=unit) if unit else say("no unit stands in the header")
        )
        raise WeatherError(
            where,
            what,
            say("one of {names}", names=SHOWN[KIND[field]]),
            say("Write it in brackets, such as temp [°C]"),
        )
    factor, offset = known[key]
    if KIND[field] == "rain" and "/" in key:
        factor *= row_h / (24.0 if key.endswith("day") else 1.0)
    if KIND[field] == "sun" and not key.startswith("w/"):
        factor /= row_h
    return values * factor + offset
