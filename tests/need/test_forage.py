"""Bloom windows: when they are open, on either side of New Year, by date and by warmth."""

from __future__ import annotations

from datetime import date

import numpy as np
import pytest

from breadline.need.forage import Crowding, Opening, PathWeather, offer
from breadline.need.yard import Bloom, DegreeDays

ALONE = Crowding(0.0, 40.0)


def shown(*blooms: Bloom, start: str = "2026-01-01", days: int = 365, crowding: Crowding = ALONE):
    dates = np.datetime64(start) + np.arange(days)
    # Every day is 15 °C on average: five degree days above 10 °C.
    weather = PathWeather(date.fromisoformat(start), np.full((1, days), 10.0), np.full((1, days), 20.0))
    return dates, offer(blooms, dates, weather, Opening(np.zeros(1), 0.2, 10.0), crowding, 22.0)


def on(dates: np.ndarray, values: np.ndarray, day: str) -> float:
    return float(values[int((np.datetime64(day) - dates[0]).astype(int)), 0])


def test_a_long_window_is_full_soon_after_it_opens() -> None:
    dates, out = shown(Bloom("clover", (4, 1), (10, 31)))
    assert on(dates, out.pollen, "2026-03-31") == 0
    assert on(dates, out.pollen, "2026-04-10") == 1
    assert on(dates, out.pollen, "2026-10-21") == pytest.approx(1)
    assert on(dates, out.pollen, "2026-11-01") == 0


def test_what_blooms_all_year_has_no_trough_at_new_year() -> None:
    _, out = shown(Bloom("gum", (1, 1), (12, 31)), start="2026-11-01", days=120)
    assert (out.pollen == 1).all()


def test_a_window_over_new_year() -> None:
    dates, out = shown(Bloom("wattle", (12, 1), (2, 10)), start="2026-11-01", days=120)
    assert on(dates, out.pollen, "2027-01-01") == 1
    assert on(dates, out.pollen, "2026-11-20") == 0


def test_the_leap_day_falls_on_the_28th() -> None:
    dates, out = shown(Bloom("alder", (2, 29), (3, 20)))
    assert on(dates, out.pollen, "2026-02-28") > 0


def test_a_degree_day_window_opens_when_the_sum_is_reached() -> None:
    target = DegreeDays(sum_c=100.0, base_c=10.0)  # five a day: the twentieth day of the year
    dates, out = shown(Bloom("maple", degree_days=target, lasts_days=20))
    assert on(dates, out.pollen, "2026-01-19") == 0
    assert on(dates, out.pollen, "2026-01-24") == 1
    assert on(dates, out.pollen, "2026-02-10") == 0


def test_a_sum_whose_beginning_is_not_in_the_weather_opens_nothing() -> None:
    target = DegreeDays(sum_c=100.0, base_c=10.0)
    _, out = shown(Bloom("maple", degree_days=target, lasts_days=20), start="2026-03-01", days=60)
    assert (out.pollen == 0).all()


def test_strengths_add_up_to_one_and_protein_is_weighed() -> None:
    rich, poor = (
        Bloom("a", (5, 1), (6, 30), 0.8, protein_pct=33.0),
        Bloom("b", (5, 1), (6, 30), 0.8, protein_pct=11.0),
    )
    dates, out = shown(rich, poor)
    assert on(dates, out.pollen, "2026-06-01") == 1
    assert on(dates, out.quality, "2026-06-01") == pytest.approx(1.0)
    _, alone = shown(rich)
    assert on(dates, alone.quality, "2026-06-01") == pytest.approx(1.5)


def test_neighbours_share_the_bloom() -> None:
    dates, out = shown(Bloom("lime", (6, 1), (7, 15)), crowding=Crowding(40.0, 40.0))
    assert on(dates, out.pollen, "2026-06-20") == pytest.approx(0.5)
