"""Seasons made from few years by drawing blocks of days near the same calendar day."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from breadline.errors import WeatherError
from breadline.span import FloatArray
from breadline.weather.calendar_days import aligned
from breadline.weather.flying import FlyingDays
from breadline.weather.gaps import runs
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
            raise WeatherError("weather", f"no {length} days in a row near {target[begins]!s} in any year",
                               "whole blocks of days", "Get a longer file")  # fmt: skip
        drawn = rng.choice(choices, size=SEASONS)
        rows[:, begins : begins + length] = drawn[:, None] + np.arange(length)
    at, there = np.arange(len(sure)), np.flatnonzero(sure)
    tmin, tmax, tmean, flight = (
        np.interp(at, there, column[there])[rows]
        for column in (past.tmin_c, past.tmax_c, past.tmean_c, past.flight_h)
    )
    return widened((tmin, tmax, tmean, flight), len(usable))


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


def widened(columns: Seasons, years: int) -> Seasons:
    """The seasons with their mean moved further from the middle, as far as so few years leave open.

    Each season's mean departs from the mean of all by ``k`` times what was drawn:
    the factor by which a prediction from ``years`` values is wider than one from a
    known normal distribution (judged; from one year only, as if from two).
    """
    from scipy.special import ndtri, stdtrit  # here: it is slow to load and seldom needed

    tmin, tmax, tmean, flight = columns
    k = float(np.sqrt(1.0 + 1.0 / years) * stdtrit(max(years - 1, 1), OUTER) / ndtri(OUTER))
    season = tmean.mean(axis=1, keepdims=True)
    warmer = (k - 1.0) * (season - season.mean())
    flown = flight.mean(axis=1, keepdims=True)
    ratio = 1.0 + (k - 1.0) * (flown / max(float(flown.mean()), 1e-9) - 1.0)
    return tmin + warmer, tmax + warmer, tmean + warmer, flight * np.maximum(ratio, 0.0)
