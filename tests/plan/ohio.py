"""Two hives in Ohio in late winter; weather by a sine and noise, bloom by date, all made up."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from breadline.need.yard import Bloom, Count, Forage, Health, Place, Yard
from breadline.span import FloatArray

PATHS = 6


@dataclass(frozen=True)
class MadeUpWeather:
    """Six seasons at 40° N: 11 °C in the mean of the year, 13 °C up and down, days 4 °C off."""

    start: np.datetime64
    tmin_c: FloatArray
    tmax_c: FloatArray
    tmean_c: FloatArray
    flight_h: FloatArray
    label: str = "made up"
    paths_are_years: bool = True
    years: int = PATHS


def weather(first: date, days: int, colder: float = 0.0) -> MadeUpWeather:
    rng = np.random.default_rng(8)
    day = (first - date(first.year, 1, 1)).days + np.arange(days)
    noise = np.zeros((PATHS, days))
    for t in range(1, days):
        noise[:, t] = 0.7 * noise[:, t - 1] + rng.normal(0.0, 3.0, PATHS)
    mean = 11.0 - 13.0 * np.cos(2 * np.pi * (day - 20) / 365.0) - colder + noise
    tmax, tmin = mean + 5.5, mean - 5.5
    hours = np.clip((tmax - 10.0) / 8.0, 0.0, 1.0) * 7.0
    return MadeUpWeather(np.datetime64(first), tmin, tmax, mean, hours)


BLOOM = (
    Bloom("red maple and willow", (3, 27), (4, 20), 0.5, 0.2),
    Bloom("dandelion and fruit", (4, 20), (5, 20), 1.0, 0.7),
    Bloom("clover", (5, 20), (7, 10), 0.8, 1.0),
)


def yard(frames: float = 4.0, today: date = date(2027, 2, 20), honey: str = "light") -> Yard:
    return Yard(
        name="Behind the garage",
        place=Place(40.4, -82.5, "US"),
        colonies=2,
        today=today,
        count=Count(today, 0.5, "frames", frames, "one_layer", 0.3, colonies_looked_in=2),
        health=Health(honey=honey),  # type: ignore[arg-type]
        forage=Forage(coming_in="none", first_reliable_pollen=date(2027, 3, 27)),
        bloom=BLOOM,
        kept_for="hobby",
    )
