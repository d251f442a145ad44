"""What several tests of the weather share: limits in round numbers, and where open data lie."""

from importlib.metadata import files
from pathlib import Path

import numpy as np

from breadline.need.flight import FlightLimits
from breadline.weather.table import Daily, Hourly, Station, WeatherFile

LIMITS = FlightLimits(10.0, 16.0, 32.0, 40.0, 0.2, 100.0, 5.0, 9.0, 10.0, 0.75)
SEATTLE_UNITS = {
    "date": "date",
    "precipitation": "rain [mm]",
    "temp_max": "tmax [°C]",
    "temp_min": "tmin [°C]",
    "wind": "wind [m/s]",
}
NEW_YORK_UNITS = {
    "time_hour": "time",
    "temp": "temp [°F]",
    "wind_speed": "wind [mph]",
    "precip": "rain [in]",
}


def open_data(package: str, ending: str) -> Path:
    """A data file inside an installed package, found without importing the package."""
    return next(Path(str(f.locate())) for f in files(package) or () if str(f).endswith(ending))


def days(first: str, last: str, latitude: float = 50.0, *, warmer: dict[int, float] | None = None):
    """Invented daily weather from ``first`` to ``last``, some years warmer than others [°C]."""
    date = np.arange(np.datetime64(first), np.datetime64(last) + 1)
    season = (date - date.astype("datetime64[Y]")).astype(np.int64) / 365.25
    middle = 10.0 - 10.0 * np.cos(2 * np.pi * (season - 0.05)) * np.sign(latitude)
    year = date.astype("datetime64[Y]").astype(np.int64) + 1970
    middle = middle + np.array([(warmer or {}).get(int(y), 0.0) for y in year])
    zero = np.zeros(len(date))
    table = Daily(date, middle - 5.0, middle + 5.0, middle, zero, zero + 2.0, Station("invented", latitude))
    return WeatherFile(table)


def hours(first: str, count: int, temp: float = 20.0, **columns: float) -> WeatherFile:
    """Invented hourly weather, the same every hour."""
    flat = {"temp_c": temp, "rain_mm": 0.0, "wind_ms": 2.0, "sun_wm2": 500.0, **columns}
    time = np.datetime64(first, "h") + np.arange(count)
    values = {name: np.full(count, value) for name, value in flat.items()}
    return WeatherFile(Hourly(time=time, station=Station("invented"), **values))
