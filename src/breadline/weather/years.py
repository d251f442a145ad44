"""The season ahead as several paths: past years of the place, or seasons made from few of them."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np

from breadline.errors import WeatherError
from breadline.language import say, say_later
from breadline.need.daylight import day_length_h, days_of_year
from breadline.need.flight import FlightLimits
from breadline.span import FloatArray
from breadline.weather.calendar_days import aligned, year_of
from breadline.weather.counted import counted
from breadline.weather.flying import FlyingDays, flying_days
from breadline.weather.quality import against_latitude
from breadline.weather.resample import made_seasons
from breadline.weather.splice import Paths, measured_days, rows_of, taken, with_forecast, with_measured
from breadline.weather.table import Dates, Note, SeasonWeather, WeatherFile

ENOUGH_YEARS = 10  # below this many, seasons are made by resampling
RECENT_YEARS = 2  # before the season, within which years are called the last ones
ENOUGH_SHARE = 0.9  # of a season's days a year must have to count


def season_weather(
    file: WeatherFile,
    start: date,
    days: int,
    *,
    latitude: float,
    limits: FlightLimits,
    rng: np.random.Generator,
    years: int = 15,
    forecast: WeatherFile | None = None,
    today: date | None = None,
) -> SeasonWeather:
    """Paths of the ``days`` from ``start`` on, each as warm and as flyable as the place has been.

    The last ``years`` years before ``start`` that have nine in ten of the days; where
    the place has fewer than 10 of them, 30 seasons made from blocks of the years there are; one
    path from a typical year. Days of the file from ``start`` to the day before ``today``
    were measured and stand in every path; a forecast replaces the days that it has.
    The notes tell what was done for the paths; those of the file stay with the file.

    Errors
    ------
    WeatherError
        If no year covers the season, naming the period that is missing, or the
        seasons contradict the sign of ``latitude`` [degrees north].
    """
    source, typical = file.table.station.source, file.table.station.typical_year
    past = flying_days(file, latitude, limits)
    if why := against_latitude(past.date, past.tmean_c, latitude):
        raise WeatherError(
            source,
            why,
            say("the warm months of the place's own hemisphere"),
            say("Check the sign of the latitude: south of the equator is negative"),
        )
    target = np.datetime64(start, "D") + np.arange(days).astype("timedelta64[D]")
    usable = _usable_years(past, target, typical)[-years:]
    if not usable:
        raise WeatherError(
            source,
            _missing(past, target),
            say("one past year with nine in ten of these days"),
            say("Get a longer file"),
        )
    paths, label, notes = _paths(past, target, usable, typical, rng)
    longest = day_length_h(latitude, days_of_year(target))
    paths = replace(paths, flight_h=np.clip(paths.flight_h, 0.0, longest[None, :]))
    measured = measured_days(past, target, None if today is None or typical else np.datetime64(today))
    paths, told = with_measured(paths, past, target, measured)
    notes = (*notes, *told)
    if forecast is not None:
        ahead = flying_days(forecast, latitude, limits)
        paths, label, told = with_forecast(paths, ahead, target, measured, label)
        notes = (*notes, *told)
    real = not typical and len(usable) >= ENOUGH_YEARS
    return SeasonWeather(target[0], paths.tmin_c, paths.tmax_c, paths.tmean_c, paths.flight_h, label, real,
                         (*past.notes, *notes), {"years": tuple(usable)})  # fmt: skip


def _paths(
    past: FlyingDays, target: Dates, usable: list[int], typical: bool, rng: np.random.Generator
) -> tuple[Paths, str, tuple[Note, ...]]:
    if not typical and len(usable) < ENOUGH_YEARS:
        made = made_seasons(past, target, usable, rng)
        count = counted(len(usable), "year")
        text = say_later(
            "Only {count} of weather cover this season: {made} seasons were made from them. The "
            "true range is wider than so few years show; it has been widened for that.",
            count=count, made=len(made[0]),
        )  # fmt: skip
        return Paths(*made), say("made from {count}", count=count), (Note("warning", text, len(usable)),)
    rows = np.stack([rows_of(past, aligned(target, year), typical) for year in usable])
    columns = [_filled(taken(c, rows)) for c in (past.tmin_c, past.tmax_c, past.tmean_c, past.flight_h)]
    if typical:
        note = Note(
            "warning", say_later("A typical year is one made-up path: there is no year-to-year range.")
        )
        return Paths(*columns), say("one typical year"), (note,)
    holes = int(np.isnan(taken(past.flight_h, rows)).sum())
    text = say_later("{days} missing in the past years, from the days beside.", days=counted(holes, "day"))
    note = Note("filled", text, holes)
    return Paths(*columns), _named(usable, year_of(target[0])), (note,) if holes else ()


def _named(usable: list[int], now: int) -> str:
    first, last = usable[0], usable[-1]
    if last - first + 1 > len(usable):
        return say("{usable} years between {first} and {last}", usable=len(usable), first=first, last=last)
    if now - last > RECENT_YEARS:
        return say("{usable} years, {first} to {last}", usable=len(usable), first=first, last=last)
    return say("the last {usable} years ({first} to {last})", usable=len(usable), first=first, last=last)


def _usable_years(past: FlyingDays, target: Dates, typical: bool) -> list[int]:
    """Years, ascending, whose aligned days lie before the start and are nine-tenths there."""
    first, last = year_of(past.date[0]), year_of(past.date[-1])
    if typical:
        return [first] if _share(past, aligned(target, first), wrap=True) >= ENOUGH_SHARE else []
    candidates = range(first - 1, min(last, year_of(target[0]) - 1) + 1)
    days = {year: aligned(target, year) for year in candidates}
    return [year for year, at in days.items() if at[-1] < target[0] and _share(past, at) >= ENOUGH_SHARE]


def _share(past: FlyingDays, wanted: Dates, wrap: bool = False) -> float:
    known = ~np.isnan(taken(past.flight_h + past.tmin_c + past.tmax_c, rows_of(past, wanted, wrap)))
    return float(known.mean())


def _filled(paths: FloatArray) -> FloatArray:
    whole = paths.copy()
    for row in whole:
        known = np.flatnonzero(~np.isnan(row))
        row[:] = np.interp(np.arange(len(row)), known, row[known])
    return whole


def _missing(past: FlyingDays, target: Dates) -> str:
    season = say("{first} to {last}", first=target[0], last=target[-1])
    known = past.date[~np.isnan(past.flight_h)]
    if not len(known):
        return say("no day of the file can be used for the season {season}", season=season)
    have = say(
        "the file has {known} usable days, from {first!s} to {last!s}",
        known=len(known),
        first=known[0],
        last=known[-1],
    )
    return say("the season {season} is not covered by any year before it: {have}", season=season, have=have)
