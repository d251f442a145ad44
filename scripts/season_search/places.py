"""Stand-in climates of the published facts, as drivers of the season model."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np

from breadline.need.season import Drivers
from breadline.need.season_signal import season_of
from breadline.span import FloatArray

CLIMATES = Path(__file__).parent / "climates.toml"
CARRY = 0.6  # of a day's good or bad flying to the next, judged
SWING = 0.7  # of a day's flying around the month's mean, judged


@dataclass(frozen=True)
class Feeding:
    """Portions put on by date."""

    dates: tuple[str, ...] = ()
    grams: float = 0.0


@cache
def climate(key: str) -> dict[str, object]:
    """One stand-in climate as it is written down."""
    found: dict[str, object] = tomllib.loads(CLIMATES.read_text("utf-8"))[key]
    return found


def place(
    key: str,
    first: str,
    days: int,
    path: np.ndarray,
    *,
    years: int = 1,
    seed: int = 1,
    feeding: Feeding | None = None,
    pollen_floor: float = 0.0,
) -> Drivers:
    """Drivers for ``days`` [d] from ``first`` in a stand-in climate, ``years`` random years of weather.

    ``path`` says which year a member lives through, shape (members,). ``pollen_floor`` is a
    trickle that is always there [share of the best].
    """
    here = climate(key)
    dates = np.datetime64(first) + np.arange(days)
    month = dates.astype("datetime64[M]").astype(int) % 12
    of_year = (dates - dates.astype("datetime64[Y]").astype("datetime64[D]")).astype(int) + 1
    hours = np.asarray(here["flight_h"], dtype=np.float64)[month]
    latitude = float(here["latitude"])  # type: ignore[arg-type]
    season = season_of(dates, latitude)
    shape = (days, years)
    pollen = np.broadcast_to(np.maximum(pollen_floor, _knots(here["pollen"], of_year))[:, None], shape)
    return Drivers(
        flight_h=hours[:, None] * _luck(days, years, seed),
        pollen=pollen.copy(),
        quality=np.ones(shape),
        nectar=np.broadcast_to(_knots(here["nectar"], of_year)[:, None], shape).copy(),
        path=path,
        rho=season.rho,
        trend=season.trend,
        turn=season.turn,
        latitude=latitude,
        put_on_g=_put_on(feeding or Feeding(), dates),
    )


def _luck(days: int, years: int, seed: int) -> FloatArray:
    """Good and bad days for flying that hang together, around 1."""
    rng = np.random.default_rng(seed)
    noise = rng.standard_normal((days, years))
    state = noise.copy()
    for t in range(1, days):
        state[t] = CARRY * state[t - 1] + np.sqrt(1 - CARRY**2) * noise[t]
    raw = np.clip(1 + SWING * state, 0.0, 2.0)
    return np.asarray(raw / raw.mean(axis=0))


def _knots(knots: object, of_year: np.ndarray) -> FloatArray:
    if not knots:
        return np.zeros(of_year.shape[0])
    at, value = np.asarray(knots, dtype=np.float64).T
    return np.asarray(np.interp(of_year, at, value))


def _put_on(feeding: Feeding, dates: np.ndarray) -> FloatArray:
    grams = np.zeros(dates.shape[0])
    for day in feeding.dates:
        grams[dates == np.datetime64(day)] += feeding.grams
    return grams
