"""A chance from few years against another implementation, and how it is said."""

from __future__ import annotations

from dataclasses import replace

import pytest
from scipy.stats import binomtest

from breadline.need.few_years import chance_range
from breadline.need.words import chance_in_hundred
from need.advice_yards import IN_NEED, outlook, told


@pytest.mark.parametrize("years", [1, 2, 4, 9])
def test_the_range_agrees_with_scipy_wherever_whole_years_are_short(years: int) -> None:
    for short in range(years + 1):
        theirs = binomtest(short, years).proportion_ci(confidence_level=0.8, method="wilson")
        assert chance_range(short / years, years) == pytest.approx((theirs.low, theirs.high), abs=1e-12)


def test_more_years_make_it_narrower_and_it_always_holds_the_chance() -> None:
    widths = []
    for years in range(1, 10):
        low, high = chance_range(0.9, years)
        assert 0 <= low < 0.9 < high <= 1
        widths.append(high - low)
    assert widths == sorted(widths, reverse=True)


@pytest.mark.parametrize(
    ("chance", "years", "said"),
    [
        (0.9, None, "90 in 100"),
        # Wilson over 4 years by hand: (0.9 + 0.205 ± 1.282 √(0.09/4 + 0.0257)) / 1.411 = 0.58 to 0.98
        (0.9, 4, "60 or more in 100"),
        (0.1, 4, "up to 40 in 100"),
        # 9 years: (0.5 + 0.0912 ± 1.282 √(0.25/9 + 0.00507)) / 1.182 = 0.30 to 0.70
        (0.5, 9, "30 to 70 in 100"),
    ],
)
def test_a_chance_from_few_years_is_said_as_a_range(chance: float, years: int | None, said: str) -> None:
    assert chance_in_hundred(chance, years) == said


@pytest.mark.parametrize(
    ("few_years", "later", "never"),
    [
        (None, "Not yet: 30 in 100 seasons run short, not before", "as far as this outlook reaches."),
        (
            4,
            "Not yet: 10 to 60 in 100 seasons run short, from 4 years of weather only, not before",
            "as far as this outlook and 4 years of weather reach.",
        ),
    ],
)
def test_the_advice_says_what_few_years_leave_open(few_years: int | None, later: str, never: str) -> None:
    for chance, days, said in ((0.3, (40, None, None), later), (0.0, None, never)):
        plain = outlook(chance, days)
        short = replace(plain.short_from, few_years=few_years)
        assert said in told(IN_NEED, replace(plain, short_from=short)).sentence
