"""What the place does to the colonies: weather, forage and feed of every day."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Protocol

import numpy as np

from breadline.knowledge.shelf import Reader
from breadline.need.forage import Crowding, Opening, PathWeather, offer
from breadline.need.season import Drivers
from breadline.need.season_signal import season_of
from breadline.need.seen_pollen import SeenBloom
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
class Shape:
    """The ensemble's form."""

    skip: int  # days of weather before the count [d]
    days: int  # from the count to the end of the outlook [d]
    seen: int  # days from the count to the look at pollen [d]
    path: np.ndarray  # weather path of each member, shape (members,)


def place_drivers(
    yard: Yard,
    weather: WeatherAhead,
    reader: Reader,
    rng: np.random.Generator,
    shape: Shape,
    seen: SeenBloom | None,
) -> Drivers:
    """Weather, forage and feed of every day and path, and the path of every member.

    Parameters
    ----------
    yard
        Place, bloom and feed given.
    weather
        Of every day from ``shape.skip`` before the count on.
    reader
        The shelf.
    rng
        Draws how early or late bloom by date is.
    shape
        The ensemble's form.
    seen
        What is seen of pollen today; None where it says nothing.
    """
    dates = np.datetime64(yard.count.on) + np.arange(shape.days)
    now = slice(shape.skip, shape.skip + shape.days)
    near = yard.place.colonies_in_flight_range
    crowding = Crowding(
        yard.colonies if near is None else near, reader.typical("forage.density_half_colonies")
    )
    forage = offer(
        yard.bloom,
        dates,
        PathWeather(weather.start.astype("datetime64[D]").astype(date), weather.tmin_c, weather.tmax_c),
        Opening(
            _shifts(weather, reader, rng),
            reader.typical("forage.edge_share"),
            reader.typical("forage.edge_days"),
        ),
        crowding,
        reader.typical("forage.reference_protein_pct"),
    )
    pollen = forage.pollen
    if seen is not None:
        pollen = seen.laid_over(pollen, shape.seen, crowding.share)
    year = season_of(dates, yard.place.latitude)
    return Drivers(
        flight_h=weather.flight_h[:, now].T,
        pollen=pollen,
        quality=forage.quality,
        nectar=forage.nectar,
        path=shape.path,
        rho=year.rho,
        trend=year.trend,
        turn=year.turn,
        latitude=yard.place.latitude,
        put_on_g=put_on(yard.given, yard.count.on, shape.days),
    )


def _shifts(weather: WeatherAhead, reader: Reader, rng: np.random.Generator) -> FloatArray:
    """How early or late bloom by date is on each path. [d]

    Drawn, not taken from the path's own warmth; a single path gets none, because one
    draw would move the whole calendar by chance.
    """
    paths = weather.flight_h.shape[0]
    return np.asarray(rng.normal(0.0, reader.typical("forage.shift_days") if paths > 1 else 0.0, paths))


def put_on(given: tuple[Given, ...], start: date, days: int) -> FloatArray:
    """Feed put on each day, shape (days,). [g]"""
    grams = np.zeros(days)
    for one in given:
        at = (one.on - start).days
        if 0 <= at < days:
            grams[at] += one.grams
    return grams
