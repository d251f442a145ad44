"""A yard in a poor spring for the tests of plans: made up, small and quick."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np

from breadline.knowledge.shelf import Reader, load
from breadline.need.season import Block
from breadline.need.season_tree import Watch
from breadline.plan.costs import Feed, Prices, Syrup, Work
from breadline.plan.ensemble import Ensemble, pollen_in
from breadline.plan.equivalence import FeedWorth
from breadline.plan.money import Amount
from breadline.plan.plans import Grid, Plan, plans_of
from breadline.plan.ruled_out import Bars, out_of_stores
from breadline.plan.search import Search
from breadline.plan.starving import Stores
from breadline.plan.targets import Frames, Paid, Target
from breadline.plan.tried import Question
from breadline.plan.value import Spread
from need.colonies import colony, drawn, place

DRAWS, DAYS, A_FRAME = 96, 56, 2000.0
CLOSE = 1.0
TODAY = date(2027, 2, 1)


def dollars(amount: float, year: int = 2026) -> Amount:
    return Amount(amount, "US$", year)


def reader() -> Reader:
    return load().reader()


def ensemble(pollen: float = 0.05, days: int = DAYS, adults: float = 9000.0, tmax: float = 14.0) -> Ensemble:
    """One path, and as many draws as members."""
    par, const = drawn(DRAWS)
    here = place(par, days=days, pollen=pollen, start=TODAY.isoformat(), flight_h=3.0, latitude=38.0)
    start = colony(par, const, adults=adults, brood=4000.0, bread_g=200.0)
    return Ensemble(
        block=Block(start, here, par, const, np.zeros(DRAWS)),
        start=TODAY,
        today=0,
        paths=1,
        draws=DRAWS,
        draw=np.arange(DRAWS),
        par=par,
        bees_times=np.ones(DRAWS),
        brood_times=np.ones(DRAWS),
        bees_a_frame=A_FRAME,
        cells_a_frame=5000.0,
        tmax_c=np.full((1, days), tmax),
        pollen_in=pollen_in(here, 4.0),
        trusted_to=TODAY.replace(month=12),
        because="",
    )


def feed_worth(mean: float = 0.15, sd: float = 0.2) -> FeedWorth:
    """Half of a belief in the model, half in what is left over; made up."""
    gain = np.random.default_rng(5).normal(mean, sd, DRAWS)
    up = gain > 0
    equivalence = np.where(up, np.minimum(1.0, 2.0 * gain), 0.0)
    return FeedWorth("poor_spring", gain, equivalence, np.where(up, 0.0, gain), up, np.full(DRAWS, 1200.0))


def prices(price: float = 3.2, worth: FeedWorth | None = None) -> Prices:
    feed = Feed("patty", dollars(price), worth or feed_worth(), 454.0)
    work = Work(2.0, dollars(20.0), 20.0, dollars(0.6), 30.0)
    return Prices((feed,), work, Syrup(dollars(0.75), 0.6))


def contract(paid: Paid = "hive_by_hive", grade: float = 5.0, fee: float = 188.0) -> Frames:
    return Frames(date(2027, 3, 28), grade, dollars(fee, 2023), paid)


def question(target: Target | None = None, of: Prices | None = None, **place_of: float) -> Question:
    some = ensemble(**place_of)  # type: ignore[arg-type]
    return Question(
        ensemble=some,
        target=target or contract(),
        spread=Spread(40, 0.37, 0.05, 0.15),
        prices=of or prices(),
        watch=Watch(0, 0.011, 0.006, 0.0, 1e9, 0.1, 1e9, (1, 0), 4.0),
        unfed_frames=None,
        rule_from=0.2,
        fades_days=60.0,
        crop_power=np.ones(1),
        stores=Stores(0.3),
        close=CLOSE,
    )


def with_honey(one: Question, kg: float) -> Question:
    return replace(one, watch=replace(one.watch, honey_g=1000.0 * kg))


def way(one: Question, bars: Bars | None = None, parts: int = 1) -> Search:
    shelf = reader()
    return Search(one, bars or Bars({}), lambda done: out_of_stores(done, one.ensemble, shelf), parts=parts)


def some_plans(days: int = DAYS, rule: bool = True) -> tuple[Plan, ...]:
    grid = Grid((0, 7, 14, 21), (113.0, 227.0, 454.0), (7, 14, 21), 4, rule)
    return plans_of(grid, 0, days - 1, 1)
