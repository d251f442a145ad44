"""What the place does to the colonies: weather, forage and feed of every day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import Protocol

import numpy as np

from breadline.errors import YardError
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.need.forage import Crowding, Opening, PathWeather, offer
from breadline.need.season import Drivers
from breadline.need.season_signal import season_of
from breadline.need.seen_pollen import SeenBloom
from breadline.need.words import day_and_year
from breadline.need.yard import Given, Yard
from breadline.span import FloatArray

SEASON_NAMES = ("smin", "ls", "wb", "d50", "kd", "wd")


class WeatherAhead(Protocol):
    """What an outlook asks of the weather; arrays of shape (paths, days)."""

    @property
    def start(self) -> np.datetime64: ...
    @property
    def tmin_c(self) -> FloatArray: ...
    @property
    def tmax_c(self) -> FloatArray: ...
    @property
    def tmean_c(self) -> FloatArray: ...
    @property
    def flight_h(self) -> FloatArray: ...
    @property
    def label(self) -> str: ...
    @property
    def paths_are_years(self) -> bool: ...
    @property
    def years(self) -> int: ...


@dataclass(frozen=True)
class Columns:
    """Which weather and which bloom stand in each column of the drivers; shape (columns,)."""

    path: np.ndarray  # weather path
    shift_days: FloatArray  # how late bloom by date is [d]
    seen: SeenBloom | None = None  # what is seen of pollen today, its strength by column; None says nothing


def place_drivers(
    yard: Yard, weather: WeatherAhead, reader: Reader, days: int, columns: Columns, member: np.ndarray
) -> Drivers:
    """Weather, forage and feed of every day from the count on, and the column of every member.

    Parameters
    ----------
    yard
        Place, bloom, count and feed given.
    weather
        Must cover the days; where it begins earlier, degree-day sums begin there.
    reader
        The shelf.
    days
        How many. [d]
    columns
        Weather and bloom of each column.
    member
        Column of each member, shape (members,).

    Errors
    ------
    YardError
        If the weather does not cover the days.
    """
    skip = days_before(yard, weather)
    if skip < 0 or weather.flight_h.shape[1] < skip + days:
        last = yard.count.on + timedelta(days=days - 1)
        raise YardError(
            "weather",
            say("does not cover the outlook"),
            say("every day to {day_and_year}", day_and_year=day_and_year(last)),
        )
    dates = np.datetime64(yard.count.on) + np.arange(days)
    near = yard.place.colonies_in_flight_range
    crowding = Crowding(
        yard.colonies if near is None else near, reader.typical("forage.density_half_colonies")
    )
    forage = offer(
        yard.bloom,
        dates,
        PathWeather(
            weather.start.astype("datetime64[D]").astype(date),
            weather.tmin_c[columns.path],
            weather.tmax_c[columns.path],
        ),
        Opening(columns.shift_days, reader.typical("forage.edge_share"), reader.typical("forage.edge_days")),
        crowding,
        reader.typical("forage.reference_protein_pct"),
    )
    pollen = forage.pollen
    if columns.seen is not None:
        looked = ((yard.forage.seen_on or yard.today) - yard.count.on).days
        pollen = columns.seen.laid_over(pollen, looked, crowding.share)
    year = season_of(dates, yard.place.latitude)
    return Drivers(
        flight_h=weather.flight_h[columns.path, skip : skip + days].T,
        pollen=pollen,
        quality=forage.quality,
        nectar=forage.nectar,
        path=member,
        rho=year.rho,
        trend=year.trend,
        turn=year.turn,
        latitude=yard.place.latitude,
        put_on_g=put_on(yard.given, yard.count.on, days),
    )


def days_before(yard: Yard, weather: WeatherAhead) -> int:
    """Days of the weather that lie before the count. [d]"""
    return int((np.datetime64(yard.count.on) - weather.start).astype("timedelta64[D]").astype(int))


def put_on(given: tuple[Given, ...], start: date, days: int) -> FloatArray:
    """Feed put on each day, shape (days,). [g]"""
    grams = np.zeros(days)
    for one in given:
        at = (one.on - start).days
        if 0 <= at < days:
            grams[at] += one.grams
    return grams
