"""How near the search comes to trying every plan in every season, and how quick it is, in one run.

    uv run python benchmarks/rounds.py           # three reference yards against brute force
    uv run python benchmarks/rounds.py --forty   # forty yards in two processes

Prints ratios beside times: times on one machine mean little. Nothing here is a test. The yards are made up.
"""

from __future__ import annotations

import sys
import time
from concurrent.futures import ProcessPoolExecutor, ThreadPoolExecutor
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import partial

import numpy as np

from breadline.belief.gain import Situation
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.feed_worth import Fed, feed_worth_at
from breadline.jobs.season import limits, with_bloom
from breadline.jobs.yard_file import read_yard
from breadline.knowledge.calendars import calendar
from breadline.knowledge.shelf import Reader, load
from breadline.need.season_tree import make_ready
from breadline.need.streams import Streams
from breadline.need.yard import Yard
from breadline.plan.costs import Feed, Prices, Syrup, Work
from breadline.plan.ensemble import Ensemble, yard_ensemble
from breadline.plan.money import Amount
from breadline.plan.rounds import Asked, Means, planned, question, rounds
from breadline.plan.ruled_out import bars, out_of_stores
from breadline.plan.search import Found, Look, Search, brute_force
from breadline.plan.situation import other_situations
from breadline.plan.targets import Frames, HoneyFlow, Target, last_day
from breadline.weather.read import read_weather
from breadline.weather.table import Daily, WeatherFile
from breadline.weather.years import season_weather

SEED = 7
PORTIONS = (113.0, 170.0, 227.0, 340.0, 454.0, 680.0)


@dataclass(frozen=True)
class Case:
    """A reference yard and what is asked of it."""

    name: str
    target: Target
    situation: Situation
    frames: float
    bread: float


def dollars(amount: float, year: int = 2026) -> Amount:
    return Amount(amount, "US$", year)


SPRING: Situation = "poor_spring"
CASES = (
    Case("six frames, hive by hive", Frames(date(2026, 3, 20), 6.0, dollars(188.0, 2023), "hive_by_hive"),
         SPRING, 5.5, 0.25),
    Case("seven frames, average of a sample", Frames(date(2026, 3, 25), 7.0, dollars(188.0, 2023),
         "sample_average", dollars(11.0, 2023)), SPRING, 6.0, 0.25),
    Case("honey from April", HoneyFlow(date(2026, 4, 10), date(2026, 5, 20), 30.0, dollars(5.0)),
         SPRING, 5.0, 0.5),
)  # fmt: skip


def thirty_years(yard: Yard) -> WeatherFile:
    """The fifteen years of the first yard, and the same once more fifteen years before."""
    weather = read_weather(FIRST_YARD / "weather.csv", latitude=yard.place.latitude, today=yard.today)
    daily = weather.table
    assert isinstance(daily, Daily)
    earlier = daily.date - np.timedelta64(5479, "D")
    both = {
        f: np.concatenate([getattr(daily, f)] * 2)
        for f in ("tmin_c", "tmax_c", "tmean_c", "rain_mm", "wind_ms")
    }
    return replace(weather, table=Daily(np.concatenate([earlier, daily.date]), station=daily.station, **both))


def ready(case: Case, seed: int = SEED) -> tuple[Yard, Asked, Ensemble, Reader]:
    """All that the search of a yard wants, 30 weather years × 500 draws."""
    yard = read_yard(FIRST_YARD / "yard.toml")
    yard, _ = with_bloom(yard, calendar(yard.place.region or ""))
    count = replace(yard.count, frames_of_bees=case.frames, bread=case.bread)
    yard, weather, reader = replace(yard, count=count), thirty_years(yard), load().reader()
    streams, until = Streams.of(np.random.default_rng(seed)), last_day(case.target)
    first = min(yard.count.on, date(yard.count.on.year, 1, 1))
    ahead = season_weather(
        weather, first, (until - first).days + 1, latitude=yard.place.latitude, limits=limits(reader),
        rng=streams.weather, years=30, today=yard.today,
    )  # fmt: skip
    ensemble = yard_ensemble(yard, ahead, reader, streams, until)
    fed = Fed(case.situation, also=other_situations(ensemble.situation))
    worth = feed_worth_at(yard, weather, ensemble.par, fed, reader, np.random.default_rng(seed))
    feed = Feed("patty", dollars(3.2), worth, 454.0)
    work = Work(2.0, dollars(20.0), 40.0, dollars(0.6), 60.0)
    prices = Prices((feed,), work, Syrup(dollars(0.75), 0.6))
    return yard, Asked(case.target, prices, PORTIONS, honey_kg=25.0, most_rounds=10), ensemble, reader


def against_brute_force() -> None:
    """Every plan in every season, beside what the search found."""
    make_ready()
    for case in CASES:
        yard, asked, ensemble, reader = ready(case)
        times: list[tuple[Look, float]] = []
        begun = time.perf_counter()

        def noted(look: Look, begun: float = begun, times: list[tuple[Look, float]] = times) -> None:
            times.append((look, time.perf_counter() - begun))

        answer = rounds(yard, asked, ensemble, reader, np.random.default_rng(SEED), Means(on_look=noted))
        took = time.perf_counter() - begun
        with ThreadPoolExecutor(2) as two:
            again = rounds(yard, asked, ensemble, reader, np.random.default_rng(SEED), Means(two.map, 2))
        one = question(yard, asked, ensemble, reader, np.random.default_rng(SEED))
        plans = planned(asked, ensemble)
        ruled = bars(yard, asked.target, ensemble, range(ensemble.days), reader)
        stores = partial(out_of_stores, ensemble=ensemble, reader=reader)
        begun = time.perf_counter()
        money, struck = brute_force(Search(one, ruled, stores), plans)
        brute = time.perf_counter() - begun
        best = max(m for m, why in zip(money, struck, strict=True) if not why)
        found = answer.found.best
        plan = f"{found.plan.rounds} rounds, {found.gain:+.2f} a colony over doing nothing"
        print(f"{case.name}: {len(plans):,} plans, {ensemble.members:,} seasons of {ensemble.days} days")
        for look, at in times:
            aim = " (aim under 2 s)" if look is times[0][0] else ""
            print(
                f"  {look.plans:,} plans × {look.members:,}: after {at:.2f} s{aim}, tree {look.saving:.2f}×"
            )
        print(f"  search {took:.2f} s (aim under 10), brute force {brute:.0f} s, {brute / took:.0f}× that")
        print(f"  path shared over the whole search: {answer.found.saving:.2f}× (aim 1.5×)")
        mine = everywhere(answer.found)
        print(f"  best {mine:.2f} ({plan}); brute force {best:.2f}: {mine / best:.4f} of it (aim 0.99)")
        fresh = f"{answer.found.chosen.gain:+.2f} where it was chosen, {found.gain:+.2f} in fresh seasons"
        print(f"  what the best plan brings: {fresh}")
        print(f"  two threads, the same answer: {again.found.best == answer.found.best}")


def everywhere(found: Found) -> float:
    """The best plan's expected money over all seasons, those that chose it and the others. [money/colony]"""
    return float(found.last.money[found.last.plans.index(found.best.plan)].mean())


def forty() -> None:
    """Forty yards, each with a count of its own, in two processes, with progress."""
    begun, done = time.perf_counter(), 0
    with ProcessPoolExecutor(2) as two:
        for best in two.map(one_of_forty, range(40)):
            done += 1
            print(f"  yard {done:2d} of 40 after {time.perf_counter() - begun:5.0f} s: {best}")
    print(f"forty yards: {time.perf_counter() - begun:.0f} s (aim under 300)")


def one_of_forty(k: int) -> str:
    """One yard and its best plan, in words."""
    case = replace(CASES[k % 3], frames=4.0 + 0.1 * k)
    yard, asked, ensemble, reader = ready(case, SEED + k)
    best = rounds(yard, asked, ensemble, reader, np.random.default_rng(SEED)).found.best
    first = (
        "nothing" if best.plan.start is None else f"from {yard.count.on + timedelta(days=best.plan.start)}"
    )
    return f"{first}, {best.plan.rounds} rounds, {best.gain:+.2f} a colony"


if __name__ == "__main__":
    forty() if "--forty" in sys.argv else against_brute_force()
