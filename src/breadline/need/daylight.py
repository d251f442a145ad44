"""Length of the day, and which share of each hour is in daylight."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from breadline.span import FloatArray

SUNRISE_DEG = 0.8333  # refraction and the sun's half width at sunrise and sunset


def sun_declination(day_of_year: NDArray[np.int64]) -> FloatArray:
    """Declination of the sun [rad] for days of the year 1 to 366; the shape of the input.

    The "CBM" equations of Forsythe, Rykiel, Stahl, Wu and Schoolfield 1995, Ecological
    Modelling 80:87–95, as quoted in open implementations.
    """
    revolution = 0.2163108 + 2.0 * np.arctan(0.9671396 * np.tan(0.00860 * (day_of_year - 186.0)))
    return np.asarray(np.arcsin(0.39795 * np.cos(revolution)), dtype=np.float64)


def day_length_h(latitude: float, day_of_year: NDArray[np.int64]) -> FloatArray:
    """Hours from sunrise to sunset [h], 0 in polar night and 24 in polar day; the shape of the input.

    ``latitude`` [degrees north], negative in the south. Source as in ``sun_declination``.
    """
    tilt = sun_declination(np.asarray(day_of_year))
    at = np.deg2rad(np.clip(latitude, -89.99, 89.99))
    cosine = (np.sin(np.deg2rad(SUNRISE_DEG)) + np.sin(at) * np.sin(tilt)) / (np.cos(at) * np.cos(tilt))
    return np.asarray(24.0 - 24.0 / np.pi * np.arccos(np.clip(cosine, -1.0, 1.0)), dtype=np.float64)


def days_of_year(dates: NDArray[np.datetime64]) -> NDArray[np.int64]:
    """Day of the year, 1 to 366, of each date or hour; the shape of the input."""
    day = dates.astype("datetime64[D]")
    first = day.astype("datetime64[Y]").astype("datetime64[D]")
    return np.asarray((day - first).astype(np.int64) + 1, dtype=np.int64)


def daylight_share(
    latitude: float, day_of_year: NDArray[np.int64], hour: FloatArray, noon_h: float
) -> FloatArray:
    """Share of each hour between sunrise and sunset, 0 to 1 [share]; the shape of ``hour``.

    ``latitude`` [degrees north]; ``hour`` is the beginning of the hour on the clock [h],
    ``noon_h`` the clock time at which the sun stands highest on average [h]; its swing
    over the year (a quarter of an hour) is left out.
    """
    half = day_length_h(latitude, day_of_year) / 2.0
    begins = (hour - noon_h + 36.0) % 24.0 - 12.0  # from the middle of the day, −12 to 12
    lit = _overlap(begins, half) + _overlap(begins - 24.0, half) + _overlap(begins + 24.0, half)
    return np.clip(lit, 0.0, 1.0)


def _overlap(begins: FloatArray, half: FloatArray) -> FloatArray:
    lit = np.minimum(begins + 1.0, half) - np.maximum(begins, -half)
    return np.asarray(np.maximum(lit, 0.0), dtype=np.float64)
