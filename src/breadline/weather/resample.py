"""Seasons made from few years by drawing blocks of days near the same calendar day."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from breadline.errors import WeatherError
from breadline.language import say
from breadline.span import FloatArray
from breadline.weather.calendar_days import aligned
from breadline.weather.flying import FlyingDays
from breadline.weather.gaps import runs
from breadline.weather.splice import rows_of, taken
from breadline.weather.table import Dates

SEASONS = 30
BLOCK_DAYS = 10
BRIDGED_DAYS = 3  # gaps up to this long do not break a block; the days beside fill them
NEAR_DAYS = 15  # a block comes from within this many days of its calendar day
OUTER = 0.9  # the quantile at which the widening is matched

Seasons = tuple[FloatArray, FloatArray, FloatArray, FloatArray]


def made_seasons(past: FlyingDays, target: Dates, usable: list[int], rng: np.random.Generator) -> Seasons:
    """Lowest, highest, mean temperature [°C] and flight hours [h/day], each of shape (30, days).

    Whole days are drawn, so that temperature and flight stay together. What the
    few years cannot show of the range from year to year is added by ``widened``.

    Errors
    ------
    WeatherError
        If no whole block lies near one of the season's days, naming the day.
    """
    rows = np.empty((SEASONS, len(target)), dtype=np.int64)
    sure = ~np.isnan(past.flight_h + past.tmin_c + past.tmax_c)
    known = _bridged(sure) & (past.date < target[0])
    for begins in range(0, len(target), BLOCK_DAYS):
        length = min(BLOCK_DAYS, len(target) - begins)
        middles = np.array([aligned(target, year)[begins] for year in usable])
        choices = _near((middles - past.date[0]).astype(np.int64), known, length)
        if not len(choices):
            raise WeatherError(
                "weather",
                say(
                    "no {length} days in a row near {target!s} in any year",
                    length=length,
                    target=target[begins],
                ),
                say("whole blocks of days"),
                say("Get a longer file"),
            )
        drawn = rng.choice(choices, size=SEASONS)
        rows[:, begins : begins + length] = drawn[:, None] + np.arange(length)
    at, there = np.arange(len(sure)), np.flatnonzero(sure)
    tmin, tmax, tmean, flight = (
        np.interp(at, there, column[there])[rows]
        for column in (past.tmin_c, past.tmax_c, past.tmean_c, past.flight_h)
    )
    return widened((tmin, tmax, tmean, flight), *_season_means(past, target, usable))


def _season_means(past: FlyingDays, target: Dates, usable: list[int]) -> tuple[FloatArray, FloatArray]:
    """Mean temperature [°C] and flight [h/day] of the season in each usable year; shape (years,)."""
    rows = np.stack([rows_of(past, aligned(target, year), False) for year in usable])
    means = (np.nanmean(taken(column, rows), axis=1) for column in (past.tmean_c, past.flight_h))
    warm, flown = (np.asarray(mean, dtype=np.float64) for mean in means)
    return warm, flown


def _bridged(sure: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """True too where up to three days are missing between days that are there."""
    whole = sure.copy()
    for start, length in zip(*runs(~sure), strict=True):
        if length <= BRIDGED_DAYS and start > 0 and start + length < len(sure):
            whole[start : start + length] = True
    return whole


def _near(middles: NDArray[np.int64], known: NDArray[np.bool_], length: int) -> NDArray[np.int64]:
    """First rows of whole blocks within ±15 days of the rows ``middles``."""
    if length > len(known):
        return np.empty(0, dtype=np.int64)
    windows = np.lib.stride_tricks.sliding_window_view(known, length)
    whole = np.asarray(windows.all(axis=1), dtype=np.bool_)
    near = (middles[:, None] + np.arange(-NEAR_DAYS, NEAR_DAYS + 1)).ravel()
    near = near[(near >= 0) & (near < len(whole))]
    return np.asarray(near[whole[near]], dtype=np.int64)


def widened(columns: Seasons, warm: FloatArray, flown: FloatArray) -> Seasons:
    """The seasons with their means moved further from the middle, as far as so few years leave open.

    Blocks drawn one by one average out over a season, so that the made seasons differ
    less than the years did. Their spread is brought to that of a prediction from
    ``warm`` [°C] and ``flown`` [h/day], the season's mean in each year, shape (years,),
    and never narrowed (the form is judged).
    """
    tmin, tmax, tmean, flight = columns
    season = tmean.mean(axis=1, keepdims=True)
    warmer = (_factor(season, warm) - 1.0) * (season - season.mean())
    mean = flight.mean(axis=1, keepdims=True)
    more = (_factor(mean, flown) - 1.0) * (mean - mean.mean())
    ratio = 1.0 + np.divide(more, mean, out=np.zeros_like(mean), where=mean > 0.0)
    return tmin + warmer, tmax + warmer, tmean + warmer, flight * np.maximum(ratio, 0.0)


def _factor(made: FloatArray, years: FloatArray) -> float:
    """How much further from their middle the means ``made`` have to lie, at least 1 [-].

    A prediction from n values is wider than a known normal distribution by √(1 + 1/n)
    times Student's t over the normal quantile. One year shows no spread of its own:
    the made seasons stand for it, as if there were two.
    """
    from scipy.special import ndtri, stdtrit  # here: it is slow to load and seldom needed

    n, spread = len(years), float(made.std(ddof=1))
    wider = float(np.sqrt(1.0 + 1.0 / n) * stdtrit(max(n - 1, 1), OUTER) / ndtri(OUTER))
    wanted = wider * max(float(years.std(ddof=1)) if n > 1 else 0.0, spread)
    return wanted / spread if spread > 0.0 else 1.0
