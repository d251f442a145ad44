"""The same things computed another way: closed forms, scipy's solver, plain loops, open data.

What stands after ``against`` never calls the function that it is compared with; the
rest puts our functions and the shelf's figures into the shape of a printed value.
"""

from __future__ import annotations

import csv
import math
from datetime import date, timedelta
from importlib.metadata import files
from pathlib import Path
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp
from scipy.stats import binomtest

from breadline.belief.votes import Subset, of_shelf
from breadline.knowledge.calendars import calendar
from breadline.knowledge.countries import law_of
from breadline.knowledge.feed_rules import LEVELS
from breadline.knowledge.ingredient import Content
from breadline.knowledge.ingredients import ingredients
from breadline.knowledge.shelf import load
from breadline.need.brood_survival import alive_after_stages, daily_survival
from breadline.need.daylight import day_length_h
from breadline.need.degree_days import Method, celsius_days, degree_days
from breadline.need.khoury import Khoury2011, Khoury2013, path_2011, path_2013
from breadline.need.strength import bees_on_frames
from breadline.need.yard import Place
from breadline.plan.appetite import eaten_g
from breadline.plan.beetles import POINTS, days_until_maggots, stage_days
from breadline.plan.dry_feed import apart_km
from breadline.plan.entrance_count import wilson
from breadline.plan.freezing import Pest, least_hours
from breadline.plan.frozen_frames import Freezer, Lot, take
from breadline.ration.pollen_gate import Pollen, pollen_gate
from breadline.ration.recipe import Part, Recipe
from breadline.ration.rules import Circumstances, rules_for
from breadline.weather.units import in_si

Floats = NDArray[np.float64]


def rest_point_2011(start: tuple[float, float], p: Khoury2011, days: float, step: float) -> Floats:
    """Hive bees and foragers at rest, by the quadratic in foragers per hive bee; no step is taken."""
    b = p.alpha / p.death - p.sigma / p.death - 1.0
    j = 0.5 * (b + math.sqrt(b * b + 4.0 * p.alpha / p.death))
    foragers = p.laying / p.death - p.half_size * j / (1.0 + j)
    return np.array([foragers / j, foragers])


def path_2011_by_scipy(start: tuple[float, float], p: Khoury2011, days: float, step: float) -> Floats:
    """Hive bees and foragers after some days, written out again and left to scipy's LSODA."""

    def change(_: float, y: Floats) -> list[float]:
        h, f = y
        to_field = h * (p.alpha - p.sigma * f / (h + f))
        return [p.laying * (h + f) / (p.half_size + h + f) - to_field, to_field - p.death * f]

    return np.asarray(solve_ivp(change, (0.0, days), start, "LSODA", rtol=1e-10, atol=1e-6).y[:, -1])


def death_that_empties(laying: float, half_size: float, alpha: float, sigma: float) -> float:
    """Forager death above which no colony is left, by the closed form [1/day]."""
    root = math.sqrt((alpha - sigma) ** 2 + 4.0 * laying * sigma / half_size)
    return laying / (2.0 * half_size) * (alpha + sigma + root) / (alpha - laying / half_size)


def death_found_by_halving(laying: float, half_size: float, alpha: float, sigma: float) -> float:
    """The same threshold from our integrator: does a nearly empty colony grow or shrink? [1/day]"""
    low, high = 0.05, 0.6
    for _ in range(18):
        middle = (low + high) / 2.0
        p = Khoury2011(laying, half_size, alpha, sigma, middle)
        first = path_2011((2.0, 0.5), p, 60.0, 0.25)
        later = path_2011((float(first[0]), float(first[1])), p, 60.0, 0.25)
        low, high = (middle, high) if later.sum() > first.sum() else (low, middle)
    return (low + high) / 2.0


def path_2013_by_scipy(start: tuple[float, ...], p: Khoury2013, days: float, step: float) -> Floats:
    """Brood, hive bees, foragers, food without the capped delay, left to scipy's LSODA."""

    def change(_: float, y: Floats) -> list[float]:
        b, h, f, food = y
        plenty = food**2 / (food**2 + p.half_food**2)
        to_field = h * (p.alpha_min + p.alpha_max * (1.0 - plenty) - p.sigma * f / (f + h))
        laid = p.laying * plenty * h / (h + p.half_hive)
        eaten = p.adult_eats * (f + h) + p.brood_eats * b
        return [
            laid - p.capping * b,
            p.capping * b - to_field,
            to_field - p.death * f,
            p.gathered * f - eaten,
        ]

    return np.asarray(solve_ivp(change, (0.0, days), start, "LSODA", rtol=1e-9, atol=1e-6).y[:, -1])


def rest_point_2013(start: tuple[float, ...], p: Khoury2013, days: float) -> Floats:
    """Brood, hive bees and foragers at rest with food without end, by the quadratic."""
    b = p.death + p.sigma - p.alpha_min
    j = (-b + math.sqrt(b * b + 4.0 * p.death * p.alpha_min)) / (2.0 * p.death)
    hive = p.laying / (p.death * j) - p.half_hive
    return np.array([p.death * j * hive / p.capping, hive, j * hive])


def rested_2013(start: tuple[float, ...], p: Khoury2013, days: float) -> Floats:
    """Our integrator, run until nothing but the food changes; brood, hive bees and foragers."""
    return path_2013(np.asarray(start), p, days, 0.1)[:3]


def seattle(year: int, base: float, method: Method) -> float:
    """Our degree days of one year of the open Seattle weather [°C·day]."""
    high, low = _seattle(year)
    return float(degree_days(high, low, base, method=method).sum())


def seattle_by_loop(year: int, base: float, method: Method) -> float:
    """The same sum by a plain loop over the days [°C·day]."""
    total = 0.0
    for high, low in zip(*_seattle(year), strict=True):
        if method == "clipped":
            high, low = max(high, base), max(low, base)
        total += max((high + low) / 2.0 - base, 0.0)
    return total


def greensboro(base: float, cap: float, method: Method) -> float:
    """Our degree days of Greensboro's typical year from hourly highs and lows [°C·day]."""
    days = _greensboro()
    return float(degree_days(days.max(axis=1), days.min(axis=1), base, cap, method).sum())


def greensboro_by_loop(base: float, cap: float, method: Method) -> float:
    """The same sum by a plain loop over the days [°C·day]."""
    total = 0.0
    for hours in _greensboro().tolist():
        high, low = max(hours), min(hours)
        if method == "clipped":
            total += (min(max(high, base), cap) + min(max(low, base), cap)) / 2.0 - base
        else:
            total += min(max((high + low) / 2.0, base), cap) - base
    return total


def brood_left(eggs: float, days: list[int]) -> tuple[float, ...]:
    """Brood alive at the end of egg, open and sealed stage by the daily rates that our shelf implies."""
    shelf = load()
    shares = [shelf[f"season.{stage}_survival"].span.typical for stage in ("egg", "larva", "sealed")]
    daily = tuple(daily_survival(share, 1.0, n) for share, n in zip(shares, days, strict=True))
    return alive_after_stages(eggs, daily, tuple(days))


def days_to_emerge() -> float:
    """Days from egg to bee by the three stages on our shelf."""
    shelf = load()
    return sum(shelf[f"brood.{stage}_days"].span.typical for stage in ("egg", "larva", "sealed"))


def bees_by_definition(frames: float, means: str) -> float:
    """Bees on frames under a definition of our shelf."""
    return bees_on_frames(frames, load()[f"frame_of_bees.{means}"].span.typical)


def days_to_clear_a_pound(bees: float) -> float:
    """Days in which so many bees eat a pound of patty at the typical appetite of our shelf."""
    shelf = load()
    a_day = eaten_g(bees, shelf["appetite.mg_bee_day"].span.typical, 1.0)
    return shelf["portion.patty_lb_g"].span.typical / float(a_day)


def kills(pest: Pest, core_c: float, hours: float) -> float:
    """1 where so long at that cold kills every stage of the pest by our shelf, else 0."""
    least = least_hours(pest, core_c, load().reader())
    return float(least is not None and hours >= least)


def foulbrood_spores_killed(core_c: float, hours: float) -> float:
    """1 if a colony is given frames of a yard with foulbrood after so long in the freezer, else 0.

    However cold it was: nobody is asked, since no cold makes them usable.
    """
    today = date(2026, 6, 1)
    diseased = Lot(f"a yard at {core_c} °C", today - timedelta(hours=hours), 1.0, disease_free=False)
    return take(Freezer((diseased,)), 1.0, today, load().reader()).frames


def beetle_days(stage: str, patty: float) -> float:
    """Days that eggs take to hatch, or larvae to be heaviest, at a held warmth by our shelf."""
    shelf = load()
    needed, base, warmest = (
        shelf[f"beetle.{key}"].span.typical
        for key in (f"{stage}_degree_days", f"{stage}_base_c", "warmest_measured_c")
    )
    return float(stage_days(np.array([needed]), base, np.array([patty]), warmest)[0])


def days_beetles_allow(patty: float) -> float:
    """Middle of the days until maggots have grown the borne share, in a patty held at this warmth."""
    return float(np.median(days_until_maggots(np.full(POINTS, patty), load().reader())))


def wilson_end(with_pollen: int, bees_in: int, level: float, end: int) -> float:
    """Lower (0) or upper (1) end of our range of a counted share."""
    return wilson(with_pollen, bees_in, level)[end]


def wilson_end_by_scipy(with_pollen: int, bees_in: int, level: float, end: int) -> float:
    """The same end by scipy's binomial test."""
    ends = binomtest(with_pollen, bees_in).proportion_ci(level, method="wilson")
    return float((ends.low, ends.high)[end])


def kilometres_apart(latitudes: list[float], longitudes: list[float]) -> float:
    """Our distance between two places along the earth."""
    one, other = (Place(lat, lon) for lat, lon in zip(latitudes, longitudes, strict=True))
    away = apart_km(one, other)
    assert away is not None
    return away


def degree_day_sum(
    already: float, high: Floats, low: Floats, base: float, cap: float, method: Method
) -> float:
    """Our running sum after some more days, from what had added up before."""
    return already + float(degree_days(high, low, base, cap, method).sum())


def target_in_fahrenheit(region: str, bloom: str) -> float:
    """The degree-day target of a bloom in a starter calendar, back in °F·day."""
    targets = [w.degree_days for w in calendar(region).windows if w.name == bloom]
    assert len(targets) == 1
    assert targets[0] is not None
    assert targets[0].base_c == 10.0
    return targets[0].sum_c / celsius_days(1.0)


def later_sunrise_min(latitude: float, day_of_year: int) -> float:
    """Minutes by which our sun rises later than on the equator."""
    day = np.array([day_of_year])
    return float((day_length_h(0.0, day) - day_length_h(latitude, day))[0]) * 30.0


def in_si_alone(value: float, field: str, unit: str) -> float:
    """One weather value in our own unit."""
    return float(in_si(np.array([value]), field, unit, "a published pair")[0])


def hardness_of_pollen(origin: str, rays: str, dose_kgy: float, frozen: bool) -> float:
    """What the gate says of certified pollen: 2 refused, 1 warned, 0 passes."""
    pollen = Pollen(origin, False, rays or None, dose_kgy or None, bool(rays), frozen)
    answer = pollen_gate(pollen, law_of(None), load().reader()).answer
    return {"refused": 2.0, "warned": 1.0, "passes": 0.0}[answer]


def hardness_of_feed(**known: float) -> float:
    """The hardest that is said of sugar with something known of it: 2 refused, 1 a caution, 0 less."""
    return _hardest({}, Circumstances(**known))


def hardness_of_salt(salt_pct: float) -> float:
    """The same of sugar with so much salt in it, by its sodium."""
    sodium = salt_pct * 1000.0 * 22.99 / 58.44
    return _hardest({"sodium": Content(sodium, sodium)}, Circumstances())


def _hardest(amounts: dict[str, Content], known: Circumstances) -> float:
    sugar = Recipe("Sugar", (Part(ingredients()["sugar_granulated"], 1.0),))
    levels = [r.level for r in rules_for(sugar, amounts, known, law_of(None), load().reader())]
    return max((2.0 - LEVELS.index(level) for level in levels), default=0.0)


def _seattle(year: int) -> tuple[list[float], list[float]]:
    with _installed("vega-datasets", "seattle-weather.csv").open(encoding="utf-8") as file:
        days = [row for row in csv.DictReader(file) if row["date"].startswith(str(year))]
    assert len(days) in (365, 366)
    return [float(d["temp_max"]) for d in days], [float(d["temp_min"]) for d in days]


def _greensboro() -> Floats:
    with _installed("pvlib", "723170TYA.CSV").open(encoding="utf-8") as file:
        next(file)
        hours = [float(row["Dry-bulb (C)"]) for row in csv.DictReader(file)]
    return np.array(hours).reshape(365, 24)


def _installed(package: str, name: str) -> Path:
    """A data file of an installed package, found without importing the package."""
    found = [path for path in files(package) or () if path.name == name]
    assert len(found) == 1, f"{package} has no {name}"
    return Path(str(found[0].locate()))


def votes_say(subset: Subset, trust: Literal["plain", "wary"] = "plain") -> Floats:
    """Median, 5 %, 95 % and spread of the mean log ratio of a part of the shipped trials."""
    return np.array(of_shelf(subset, load(), trust))
