"""Growing degree days: what must hold whatever the weather, and weather that cannot be."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.errors import WeatherError
from breadline.need.degree_days import celsius_days, days_at, degree_days

WARMTH = st.floats(-30, 45)


@given(high=WARMTH, low=WARMTH, base=st.floats(0, 15))
def test_clipping_first_never_gives_less(high: float, low: float, base: float) -> None:
    high, low = max(high, low), min(high, low)
    by_mean = degree_days(high, low, base)
    clipped = degree_days(high, low, base, method="clipped")
    assert clipped >= by_mean - 1e-12
    if low >= base:
        assert clipped == pytest.approx(float(by_mean))


@given(high=WARMTH, low=WARMTH)
def test_a_day_counts_between_nothing_and_cap_less_base(high: float, low: float) -> None:
    for method in ("average", "clipped"):
        day = degree_days(max(high, low), min(high, low), 10, 30, method)
        assert 0 <= day <= 20


def test_a_missing_day_stays_missing_and_shape_is_kept() -> None:
    high = np.array([[20.0, np.nan], [15.0, 12.0]])
    days = degree_days(high, high - 5, 10)
    assert days.shape == (2, 2)
    assert np.isnan(days[0, 1])
    assert not np.isnan(days[1]).any()


def test_fahrenheit_and_celsius_give_the_same_days() -> None:
    in_f = degree_days(77, 59, 50, 86, "clipped")
    in_c = degree_days(25, 15, 10, 30, "clipped")
    assert celsius_days(float(in_f)) == pytest.approx(float(in_c))


def test_swapped_columns_and_a_cap_below_the_base_are_told() -> None:
    with pytest.raises(WeatherError, match="above its high"):
        degree_days([10.0], [20.0], 10)
    with pytest.raises(WeatherError, match="cap 8"):
        degree_days([20.0], [10.0], 10, 8)


def test_nothing_develops_at_or_below_the_base() -> None:
    assert days_at(13.0, 22, 35, 13.5) == float("inf")
