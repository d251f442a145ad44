"""Colonies and places for the tests of the season model: made up, and said so."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from breadline.knowledge.season_draws import shipped_draws
from breadline.knowledge.shelf import load
from breadline.need.forecast import constants
from breadline.need.parameters import NAMES, Parameters, joint_draws
from breadline.need.season import Colony, Constants, Drivers
from breadline.need.season_signal import season_of
from breadline.need.start import Counted, start_colony
from breadline.span import FloatArray


def drawn(members: int, seed: int = 1) -> tuple[Parameters, Constants]:
    """Parameters of ``members`` draws, and the constants."""
    reader = load().reader()
    spans = {n: reader.span(f"season.{n}") for n in NAMES}
    par = joint_draws(shipped_draws(), spans, (), np.random.default_rng(seed), members)
    return par, constants(reader)


def colony(par: Parameters, const: Constants, *, adults: float, brood: float, bread_g: float) -> Colony:
    """The same count for every draw."""
    n = par.draws
    counted = Counted(
        adults=np.full(n, adults),
        brood=np.full(n, brood),
        bread_g=np.full(n, bread_g),
        reserve_share=np.full(n, 0.5),
        foragers=np.full(n, 0.2),
        package=False,
    )
    return start_colony(counted, par, const)


def place(
    par: Parameters,
    *,
    start: str = "2027-04-01",
    days: int = 120,
    latitude: float = 45.0,
    flight_h: float = 6.0,
    pollen: float = 0.6,
) -> Drivers:
    """A place where every day is alike but for its length."""
    year = season_of(np.datetime64(start) + np.arange(days), latitude)
    shape = (days, 1)
    return Drivers(
        flight_h=np.full(shape, flight_h),
        pollen=np.full(shape, pollen),
        quality=np.ones(shape),
        nectar=np.zeros(shape),
        path=np.zeros(par.draws, dtype=np.int64),
        rho=year.rho,
        trend=year.trend,
        turn=year.turn,
        latitude=latitude,
        put_on_g=np.zeros(days),
    )


def with_feed(drivers: Drivers, every: int, grams: float, until: int | None = None) -> Drivers:
    """The same place with a portion put on every ``every`` days."""
    put: FloatArray = np.zeros(drivers.rho.shape[0])
    put[:until:every] = grams
    return replace(drivers, put_on_g=put)
