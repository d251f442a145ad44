"""Flight hours: hand-worked cases and what must hold for every weather."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breadline.errors import FigureError
from breadline.need.daylight import day_length_h, daylight_share
from breadline.need.flight import (
    flight_hours_daily,
    flight_hours_hourly,
    flight_limits,
    warm_hours,
)
from breadline.weather.flying import flying_days
from weather.places import LIMITS, days, hours


def one(temp=20.0, rain=0.0, wind=0.0, sun=500.0, daylight=None):
    lit = None if daylight is None else np.array([daylight])
    return flight_hours_hourly(*(np.array([x]) for x in (temp, rain, wind, sun)), LIMITS, lit)[0]


def test_wind_thresholds_at_two_metres_are_moved_up_for_wind_at_ten():
    """5 and 9 m/s at 2 m are 6.67 and 12 m/s at 10 m where the wind at 2 m is three quarters."""
    assert one(wind=6.6) == 1.0
    assert one(wind=28.0 / 3.0) == pytest.approx(0.5)
    assert one(wind=12.0) == 0.0


def test_missing_rain_and_wind_are_neutral_and_missing_sun_comes_from_daylight():
    assert one(rain=np.nan, wind=np.nan) == 1.0
    assert one(sun=np.nan, daylight=0.25) == 0.25
    assert np.isnan(one(sun=np.nan))
    assert np.isnan(one(temp=np.nan))


@pytest.mark.parametrize(
    ("low", "high", "day", "expected"),
    [(8.0, 18.0, 14.0, 10.0), (4.0, 16.0, 12.0, 7.0), (2.0, 12.0, 12.0, 0.0), (15.0, 25.0, 15.0, 15.0)],
)
def test_a_hard_threshold_of_13_degrees_on_the_sinusoid(low, high, day, expected):
    """Hand-worked: the sinusoid crosses 13 °C at 9:00 and 21:00; at 11:00 and 19:00; never; always above."""
    limits = replace(LIMITS, start_c=13.0, full_c=13.0)
    hours_flown = warm_hours(np.array([low]), np.array([high]), np.array([day]), limits)
    assert hours_flown[0] == pytest.approx(expected, abs=0.06)


def test_half_the_rain_that_grounds_a_day_leaves_half_the_flight():
    date = np.array(["2025-06-21"], dtype="datetime64[D]")
    dry, wet = (flight_hours_daily(np.array([18.0]), np.array([28.0]), np.array([r]), 50.0, date, LIMITS)
                for r in (0.0, 5.0))  # fmt: skip
    assert wet[0] == pytest.approx(dry[0] / 2.0)


def test_a_missing_figure_is_named_and_limits_out_of_order_are_refused():
    with pytest.raises(FigureError, match=r"flight\.start_c"):
        flight_limits({})
    with pytest.raises(FigureError, match="not in order"):
        replace(LIMITS, full_c=5.0)


@settings(deadline=None)
@given(latitude=st.floats(-90, 90), day=st.integers(1, 366))
def test_both_hemispheres_share_the_year(latitude, day):
    """Day and night change places across the equator, but for the minutes of refraction."""
    doy = np.array([day])
    north, south = day_length_h(latitude, doy)[0], day_length_h(-latitude, doy)[0]
    assert 0.0 <= north <= 24.0
    if abs(latitude) < 60:
        assert north + south == pytest.approx(24.0, abs=0.7)


@settings(deadline=None)
@given(latitude=st.floats(-89, 89), day=st.integers(1, 366), noon=st.floats(10, 14))
def test_the_hours_of_a_day_hold_its_daylight(latitude, day, noon):
    doy = np.full(24, day)
    share = daylight_share(latitude, doy, np.arange(24.0), noon)
    assert ((share >= 0) & (share <= 1)).all()
    assert share.sum() == pytest.approx(day_length_h(latitude, doy)[0], abs=1e-6)


weather = st.floats(-40, 45) | st.just(np.nan)


@settings(max_examples=60, deadline=None)
@given(
    temp=st.lists(weather, min_size=48, max_size=48),
    sun=st.sampled_from([0.0, 50.0, 150.0, 900.0, np.nan]),
    rain=st.sampled_from([0.0, 0.1, 3.0, np.nan]),
    latitude=st.floats(-66, 66),
)
def test_flight_by_the_hour_is_never_negative_and_never_longer_than_the_day(temp, sun, rain, latitude):
    file = hours("2025-05-01T00", 48, sun_wm2=sun, rain_mm=rain)
    file = replace(file, table=replace(file.table, temp_c=np.array(temp)))
    found = flying_days(file, latitude, LIMITS)
    known = found.flight_h[~np.isnan(found.flight_h)]
    assert (known >= 0).all()
    assert (known <= day_length_h(latitude, np.array([121, 122])).max() + 1e-9).all()


@settings(max_examples=60, deadline=None)
@given(low=st.floats(-40, 40), swing=st.floats(0, 30), rain=st.floats(0, 100), latitude=st.floats(-90, 90))
def test_flight_by_the_day_is_never_negative_and_never_longer_than_the_day(low, swing, rain, latitude):
    date = np.array(["2025-01-10", "2025-06-21"], dtype="datetime64[D]")
    tmin, wet = np.full(2, low), np.full(2, rain)
    flown = flight_hours_daily(tmin, tmin + swing, wet, latitude, date, LIMITS)
    assert (flown >= 0).all()
    assert (flown <= day_length_h(latitude, np.array([10, 172])) + 1e-9).all()


def test_a_day_with_too_few_hours_is_missing_not_short():
    file = hours("2025-05-01T00", 34)
    found = flying_days(file, 50.0, LIMITS)
    assert found.flight_h[0] > 10
    assert np.isnan(found.flight_h[1])


def test_hours_missing_at_night_add_no_flight():
    """The same hours of light were seen, so the same was flown, whatever the night did."""
    file = hours("2025-05-01T00", 24, temp=14.0)
    dark = np.where(np.arange(24) < 5, np.nan, file.table.temp_c)
    gap = replace(file, table=replace(file.table, temp_c=dark))
    lit = np.where((np.arange(24) >= 10) & (np.arange(24) < 15), np.nan, file.table.temp_c)
    noon = replace(file, table=replace(file.table, temp_c=lit))
    sunlit = [replace(f, table=replace(f.table, sun_wm2=np.full(24, np.nan))) for f in (file, gap, noon)]
    whole, at_night, at_noon = (float(flying_days(f, 50.0, LIMITS).flight_h[0]) for f in sunlit)
    assert at_night == pytest.approx(whole, rel=0.03)
    assert at_noon == pytest.approx(whole, rel=0.03)


def test_warmer_days_fly_longer():
    cool, warm = (
        flying_days(days("2025-04-01", "2025-04-30", warmer={2025: w}), 50.0, LIMITS) for w in (0, 4)
    )
    assert warm.flight_h.sum() > cool.flight_h.sum()


def test_a_day_has_the_same_hours_in_any_company():
    """Days are worked many at once, and those of equal length share their cosines."""
    rng = np.random.default_rng(5)
    low = rng.uniform(-5, 20, 400)
    high, day = low + rng.uniform(0, 15, 400), rng.choice(np.linspace(8, 16, 40), 400)
    together = warm_hours(low, high, day, LIMITS)
    alone = [warm_hours(low[i : i + 1], high[i : i + 1], day[i : i + 1], LIMITS)[0] for i in range(400)]
    assert np.array_equal(together, alone)
    assert together.max() > together.min()
