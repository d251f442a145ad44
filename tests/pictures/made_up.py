"""A made-up outlook for the tests of the pictures; every figure in it is invented."""

from __future__ import annotations

from datetime import date, timedelta

import numpy as np

from breadline.need.outlook import Band, Outlook, Range, ShortFrom, Spell
from breadline.span import FloatArray


def _band(middle: FloatArray, low: float, high: float) -> Band:
    return Band(middle * low, middle, middle * high)


def _bread(need: FloatArray, income: FloatArray, start: float) -> FloatArray:
    bread = np.empty(len(need))
    left = start
    for i in range(len(need)):
        left = min(max(0.0, left + income[i] - need[i]), 12.0 * need[i])
        bread[i] = left
    return bread


def made_up_outlook(
    start: date = date(2026, 8, 1), days: int = 210, fed: bool = False, years: bool = True
) -> Outlook:
    """An outlook of ``days`` days: need falls and rises again, pollen stops and comes back late."""
    t = np.arange(days) / max(days - 1, 1)
    wobble = np.random.default_rng(7).gamma(8.0, 1 / 8.0, days)
    need = 52.0 * (0.18 + 0.82 * np.abs(np.cos(np.pi * t)) ** 1.2)
    income = (26.0 * np.exp(-9.0 * t) + 6.0 + 62.0 / (1 + np.exp(-26.0 * (t - 0.86)))) * wobble
    bread = _bread(need, income, 780.0)
    in_days = bread / need
    short = np.where(bread <= 1e-9, 0.85, 0.1)
    adults = 15000.0 * (1 - 0.42 * np.sin(np.pi * t * 0.95))
    wide = np.minimum(1.0, 0.15 + t)
    fan = Band(adults * (1 - 0.36 * wide), adults, adults * (1 + 0.36 * wide))
    lift = adults * (1 + 0.28 * t)
    with_feed = Band(lift * (1 - 0.3 * wide), lift, lift * (1 + 0.3 * wide)) if fed else None
    dates = tuple(start + timedelta(days=i) for i in range(days))
    gone = np.flatnonzero(short >= 0.5)
    first = dates[int(gone[0])] if len(gone) else None
    return Outlook(
        start=start,
        dates=dates,
        need_g=_band(need, 0.75, 1.3),
        income_g=_band(income, 0.5, 1.7),
        bread_g=_band(bread, 0.4, 1.6),
        bread_days=_band(in_days, 0.5, 1.5),
        short=short,
        short_from=ShortFrom(0.9, first, first, None, first or dates[-1], False),
        lasts_days=Range(5.0, 9.0, 14.0),
        spells=(Spell(first, dates[int(gone[-1])], 0.85, Range(100.0, 300.0, 700.0)),) if first else (),
        adults=fan,
        brood=_band(adults * 1.2, 0.7, 1.3),
        adults_fed=with_feed,
        bees_a_frame=2000.0,
        stops_because="The last brood before winter is raised about then; the model says nothing beyond it.",
        weather_label="made up",
        weather_years=years,
        members=500,
        leaves_out=("varroa",),
        figures=(),
    )
