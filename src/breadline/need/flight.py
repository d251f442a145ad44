"""Hours in which bees can fly, from temperature, light, rain and wind."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields

import numpy as np
from numpy.typing import NDArray

from breadline.errors import FigureError
from breadline.language import say
from breadline.need.daylight import day_length_h, days_of_year
from breadline.span import FloatArray

SAMPLES_A_DAY = 288  # points between sunrise and sunset; 3 minutes apart on a 14-hour day
DAYS_AT_ONCE = 128  # whose samples stay in the near cache
WARMEST_HOUR = 15.0  # clock hour at which the daily sinusoid peaks


@dataclass(frozen=True)
class FlightLimits:
    """Where flight begins and ends; every value is a figure ``flight.<field>`` of the shelf."""

    start_c: float  # no flight at or below [°C]
    full_c: float  # full flight from [°C]
    fades_c: float  # full flight up to [°C]
    stops_c: float  # no pollen collected at or above [°C]
    rain_mm_h: float  # no flight at or above, hourly rain [mm/h]
    sun_wm2: float  # no flight below, global irradiance [W/m²]
    wind_full_ms: float  # full flight up to, wind at 2 m [m/s]
    wind_none_ms: float  # no flight from, wind at 2 m [m/s]
    rain_day_mm: float  # a day's rain that leaves no flight, where only days are known [mm]
    wind_2m_share: float  # wind at 2 m as a share of the wind at 10 m [share]

    def __post_init__(self) -> None:
        if not self.start_c <= self.full_c <= self.fades_c <= self.stops_c:
            raise FigureError(
                "flight", say("the four temperatures are not in order"), say("start, full, fades, stops")
            )
        if not 0 <= self.wind_full_ms <= self.wind_none_ms:
            raise FigureError("flight", say("the two wind speeds are not in order"), say("full below none"))
        if not 0 < self.wind_2m_share <= 1 or self.rain_day_mm <= 0 or self.rain_mm_h <= 0:
            raise FigureError("flight", say("rain or wind share is not above 0"), say("a positive number"))


def flight_limits(figures: Mapping[str, float]) -> FlightLimits:
    """The limits from the shelf's values, keyed ``flight.start_c`` and so on.

    Errors
    ------
    FigureError
        If a key is missing, naming it.
    """
    keys = [f"flight.{f.name}" for f in fields(FlightLimits)]
    missing = [key for key in keys if key not in figures]
    if missing:
        raise FigureError(
            "flight",
            say("figures missing: {names}", names=", ".join(missing)),
            say("one value for each limit"),
        )
    return FlightLimits(*(float(figures[key]) for key in keys))


def warmth(temp_c: FloatArray, limits: FlightLimits) -> FloatArray:
    """Weight of ``temp_c`` [°C], 0 to 1 [share]: rises from start to full, falls from fades to stops."""
    rise = _ramp(temp_c, limits.start_c, limits.full_c)
    fall = 1.0 - _ramp(temp_c, limits.fades_c, limits.stops_c)
    return np.asarray(rise * fall, dtype=np.float64)


def calm(wind_ms: FloatArray, limits: FlightLimits) -> FloatArray:
    """Weight of ``wind_ms`` at 10 m [m/s], 0 to 1 [share]; an unknown wind counts as calm."""
    at_2m = wind_ms * limits.wind_2m_share
    weight = 1.0 - _ramp(at_2m, limits.wind_full_ms, limits.wind_none_ms)
    return np.where(np.isnan(at_2m), 1.0, weight)


def flight_hours_hourly(
    temp_c: FloatArray,
    rain_mm: FloatArray,
    wind_ms: FloatArray,
    sun_wm2: FloatArray,
    limits: FlightLimits,
    daylight: FloatArray | None = None,
) -> FloatArray:
    """Weight of each hour for flight, 0 to 1 [h/h]; all arrays have shape (hours,).

    Missing rain and wind are neutral. Missing sun is taken from ``daylight``, the
    share of each hour between sunrise and sunset; without it such an hour is NaN,
    as is an hour without a temperature. Wind is at 10 m. Source: the thresholds
    are the figures ``flight.*``; the product form is judged.
    """
    lit = np.full_like(temp_c, np.nan) if daylight is None else daylight
    light = np.where(np.isnan(sun_wm2), lit, (sun_wm2 >= limits.sun_wm2).astype(np.float64))
    dry = np.where(np.isnan(rain_mm), 1.0, (rain_mm < limits.rain_mm_h).astype(np.float64))
    return np.asarray(warmth(temp_c, limits) * light * dry * calm(wind_ms, limits), dtype=np.float64)


def flight_hours_daily(
    tmin_c: FloatArray,
    tmax_c: FloatArray,
    rain_mm: FloatArray,
    latitude: float,
    dates: NDArray[np.datetime64],
    limits: FlightLimits,
) -> FloatArray:
    """Flight hours a day [h/day] where only daily values are known; shape (days,).

    Temperature follows a sinusoid with its peak at 15:00; the day's rain takes
    its share away, missing rain takes none. Wind is left out.
    """
    hours = warm_hours(tmin_c, tmax_c, day_length_h(latitude, days_of_year(dates)), limits)
    dry = 1.0 - np.clip(np.where(np.isnan(rain_mm), 0.0, rain_mm) / limits.rain_day_mm, 0.0, 1.0)
    return np.asarray(hours * dry, dtype=np.float64)


def warm_hours(tmin_c: FloatArray, tmax_c: FloatArray, day_h: FloatArray, limits: FlightLimits) -> FloatArray:
    """Hours of daylight weighted by ``warmth`` [h/day]; all arrays have shape (days,)."""
    # A day of the year is as long each year, and a cosine is what costs the time here.
    lengths, of = np.unique(day_h, return_inverse=True)
    middles = (np.arange(SAMPLES_A_DAY) + 0.5) / SAMPLES_A_DAY - 0.5
    clock = 12.0 + middles[None, :] * lengths[:, None]
    swings = np.cos(2.0 * np.pi * (clock - WARMEST_HOUR) / 24.0)
    share, middle, half = np.empty(len(day_h)), (tmax_c + tmin_c) / 2.0, (tmax_c - tmin_c) / 2.0
    for at in range(0, len(day_h), DAYS_AT_ONCE):
        some = slice(at, at + DAYS_AT_ONCE)
        temp = middle[some, None] + half[some, None] * swings[of[some]]
        share[some] = warmth(temp, limits).mean(axis=1)
    return np.asarray(share * day_h, dtype=np.float64)


def _ramp(x: FloatArray, low: float, high: float) -> FloatArray:
    if high <= low:  # a hard threshold
        step = (x >= low).astype(np.float64)
        return np.where(np.isnan(x), np.nan, step)
    return np.clip((x - low) / (high - low), 0.0, 1.0)
