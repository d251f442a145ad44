"""Any weather table as days with their flight hours."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from breadline.language import noted, say_later
from breadline.need.daylight import day_length_h, daylight_share, days_of_year
from breadline.need.flight import FlightLimits, flight_hours_daily, flight_hours_hourly
from breadline.span import FloatArray
from breadline.weather.counted import counted
from breadline.weather.table import Daily, Dates, Hourly, Note, WeatherFile

MOST_OF_A_DAY = 18  # known hours a day below which the day counts as missing


@dataclass(frozen=True)
class FlyingDays:
    """Days with flight hours; arrays of shape (days,), dates without a hole, NaN where unknown."""

    date: Dates  # datetime64[D]
    tmin_c: FloatArray  # [°C]
    tmax_c: FloatArray  # [°C]
    tmean_c: FloatArray  # [°C]
    flight_h: FloatArray  # [h/day]
    notes: tuple[Note, ...] = ()


def flying_days(file: WeatherFile, latitude: float, limits: FlightLimits) -> FlyingDays:
    """Each day of the file with its temperatures and its flight hours, never more than its daylight.

    ``latitude`` [degrees north]. Notes say what was missing and how it was taken.
    """
    if isinstance(file.table, Hourly):
        return _of_hours(file.table, latitude, limits)
    return _of_days(file.table, latitude, limits)


def _of_days(table: Daily, latitude: float, limits: FlightLimits) -> FlyingDays:
    hours = flight_hours_daily(table.tmin_c, table.tmax_c, table.rain_mm, latitude, table.date, limits)
    notes = [
        Note(
            "assumed",
            say_later("Flight hours from each day's temperatures, rain and length; wind is left out."),
        )
    ]
    if (dry := int(np.isnan(table.rain_mm).sum())) > 0:
        notes.append(
            Note(
                "assumed",
                say_later("{days} without rain data counted as dry.", days=counted(dry, "day")),
                dry,
            )
        )
    return FlyingDays(table.date, table.tmin_c, table.tmax_c, table.tmean_c, hours, tuple(notes))


def _of_hours(table: Hourly, latitude: float, limits: FlightLimits) -> FlyingDays:
    lit = _daylight(table, latitude)
    weight = flight_hours_hourly(table.temp_c, table.rain_mm, table.wind_ms, table.sun_wm2, limits, lit)
    days = table.time.astype("datetime64[D]")
    first = int(days[0].astype(np.int64))
    count = int(days[-1].astype(np.int64)) - first + 1
    at = days.astype(np.int64) - first
    hour = (table.time - days).astype(np.int64)
    grid = np.full((3, count, 24), np.nan)
    grid[0, at, hour], grid[1, at, hour] = table.temp_c, weight
    grid[2, at, hour] = np.where(np.isnan(weight), np.nan, lit)
    known = ~np.isnan(grid[0])
    whole = known.sum(axis=1) >= MOST_OF_A_DAY
    temp = np.where(whole[:, None], grid[0], 0.0)
    tmax = np.where(known | ~whole[:, None], temp, -np.inf).max(axis=1)
    tmin = np.where(known | ~whole[:, None], temp, np.inf).min(axis=1)
    tmean = np.where(known, temp, 0.0).sum(axis=1) / np.maximum(known.sum(axis=1), 1)
    date = days[0] + np.arange(count).astype("timedelta64[D]")
    # hours of daylight that are missing fly as much as those that are known; at night none fly
    longest = day_length_h(latitude, days_of_year(date))
    seen = np.nansum(grid[2], axis=1)
    share = np.divide(longest, seen, out=np.ones(count), where=seen > 0.0)
    hours = np.minimum(np.nansum(grid[1], axis=1) * share, longest)
    tmin, tmax, tmean, hours = (np.where(whole, column, np.nan) for column in (tmin, tmax, tmean, hours))
    return FlyingDays(date, tmin, tmax, tmean, hours, _notes(table))


def _daylight(table: Hourly, latitude: float) -> FloatArray:
    """Share of each hour between sunrise and sunset, shape (hours,)."""
    station = table.station
    noon = 12.0
    if station.utc_offset_hours is not None and station.longitude is not None:
        noon = 12.0 + station.utc_offset_hours - station.longitude / 15.0
    hour = (table.time - table.time.astype("datetime64[D]")).astype(np.float64)
    return daylight_share(latitude, days_of_year(table.time), hour, noon)


def _notes(table: Hourly) -> tuple[Note, ...]:
    taken = {
        noted("rain"): (table.rain_mm, say_later("counted as dry")),
        noted("wind"): (table.wind_ms, say_later("counted as calm")),
        noted("sun"): (table.sun_wm2, say_later("light from sunrise to sunset instead")),
    }
    notes = []
    for name, (column, how) in taken.items():
        if (missing := int(np.isnan(column).sum())) > 0:
            notes.append(
                Note(
                    "assumed",
                    say_later(
                        "{hours} without {name} data: {how}.",
                        hours=counted(missing, "hour"),
                        name=say_later(name),
                        how=how,
                    ),
                    missing,
                )
            )
    return tuple(notes)
