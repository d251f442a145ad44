"""The season ahead from past years, from too few of them, from a typical year, with a forecast."""

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from breadline.errors import WeatherError
from breadline.need.daylight import day_length_h, days_of_year
from breadline.weather.calendar_days import aligned
from breadline.weather.read import read_weather
from breadline.weather.resample import widened
from breadline.weather.years import season_weather
from weather.places import LIMITS, days, open_data

TYPICAL = open_data("pvlib", "data/723170TYA.CSV")


def season(file, start=date(2025, 3, 1), length=100, latitude=50.0, **more):
    rng = np.random.default_rng(7)
    return season_weather(file, start, length, latitude=latitude, limits=LIMITS, rng=rng, **more)


def texts(found):
    return " ".join(note.text for note in found.notes)


def test_the_last_fifteen_years_are_the_paths():
    found = season(days("2000-01-01", "2025-02-28", warmer={2010: 3.0}))
    assert found.tmean_c.shape == found.flight_h.shape == (15, 100)
    assert found.paths_are_years
    assert found.label == "the last 15 years (2010 to 2024)"
    assert found.extra["years"] == tuple(range(2010, 2025))
    # 1 March of 2010 is three degrees warmer than of 2011; nothing else differs
    assert found.tmean_c[0, 0] - found.tmean_c[1, 0] == pytest.approx(3.0, abs=0.2)


def test_fewer_years_can_be_asked_for():
    assert season(days("2000-01-01", "2025-02-28"), years=12).label == "the last 12 years (2013 to 2024)"


def test_a_year_with_too_many_missing_days_is_passed_over():
    file = days("2005-01-01", "2025-02-28")
    hole = (file.table.date >= np.datetime64("2018-04-01")) & (file.table.date < np.datetime64("2018-04-12"))
    broken = replace(file, table=replace(file.table, tmin_c=np.where(hole, np.nan, file.table.tmin_c)))
    found = season(broken)
    assert 2018 not in found.extra["years"]
    assert found.label == "15 years between 2009 and 2024"
    assert season(broken, date(2029, 3, 1)).label == found.label, "long past, and still with a hole"


def test_a_few_missing_days_are_filled_and_said():
    file = days("2005-01-01", "2025-02-28")
    hole = (file.table.date >= np.datetime64("2018-04-01")) & (file.table.date < np.datetime64("2018-04-06"))
    found = season(replace(file, table=replace(file.table, tmin_c=np.where(hole, np.nan, file.table.tmin_c))))
    assert 2018 in found.extra["years"]
    assert "5 days missing in the past years" in texts(found)
    assert not np.isnan(found.flight_h).any()


def test_leap_days_keep_the_calendar():
    leap = np.arange(np.datetime64("2024-02-27"), np.datetime64("2024-03-03"))
    plain = [str(d) for d in aligned(leap, 2023)]
    assert plain == ["2023-02-27", "2023-02-28", "2023-02-28", "2023-03-01", "2023-03-02"]
    common = np.arange(np.datetime64("2025-02-27"), np.datetime64("2025-03-02"))
    assert [str(d) for d in aligned(common, 2024)] == ["2024-02-27", "2024-02-28", "2024-03-01"]


def test_a_season_over_new_year_takes_the_year_after_too():
    found = season(days("2000-01-01", "2025-08-31", latitude=-35.0), date(2025, 9, 1), 180, -35.0)
    assert found.label == "the last 15 years (2010 to 2024)"
    assert found.tmean_c[:, 130].mean() > found.tmean_c[:, 0].mean()  # January is summer there


def test_weather_from_the_start_on_is_not_used():
    """What happened after the start cannot be known on that day."""
    known = days("2000-01-01", "2025-12-31", warmer={2025: 30.0})
    found = season(known)
    assert 2025 not in found.extra["years"]
    assert found.tmean_c.max() < 25.0
    few = season(days("2022-01-01", "2025-12-31", warmer={2025: 30.0}), length=280)
    assert few.tmax_c.max() < 26.0


def test_a_season_of_more_than_a_year_takes_no_year_that_runs_into_it():
    found = season(days("2000-01-01", "2027-12-31", warmer={2026: 30.0}), length=500)
    assert found.extra["years"] == tuple(range(2009, 2024))
    assert found.tmean_c.max() < 25.0


def test_four_years_make_thirty_seasons_and_say_so():
    found = season(days("2021-01-01", "2025-02-28", warmer={2022: 2.0, 2023: -2.0}))
    assert found.tmean_c.shape == (30, 100)
    assert not found.paths_are_years
    assert found.label == "made from 4 years"
    assert "30 seasons were made from them" in texts(found)
    assert "widened" in texts(found)


def test_the_made_seasons_spread_wider_than_the_drawn_ones():
    """From one year the factor is √2 times Student's t over the normal at 0.9 (3.078 / 1.2816)."""
    rng = np.random.default_rng(3)
    drawn = tuple(rng.normal(12.0, 1.0, (30, 40)) for _ in range(4))
    wide = widened(drawn, np.array([12.0]), np.array([12.0]))
    factor = float(wide[2].mean(axis=1).std() / drawn[2].mean(axis=1).std())
    assert factor == pytest.approx(np.sqrt(2.0) * 3.078 / 1.2816, rel=1e-3)
    assert wide[2].mean() == pytest.approx(drawn[2].mean())


def test_the_made_seasons_differ_as_much_as_the_years_they_are_made_from():
    """Three years of 10, 12 and 14 °C: SD 2, times √(4/3), times Student's t over the normal at 0.9
    (1.8856 / 1.2816) is 3.398. Blocks drawn one by one would give about 0.6."""
    warm = {2022: -2.0, 2023: 0.0, 2024: 2.0}
    found = season(days("2022-01-01", "2024-12-31", warmer=warm), length=280)
    assert found.label == "made from 3 years"
    assert found.tmean_c.mean(axis=1).std(ddof=1) == pytest.approx(3.398, rel=0.02)
    flown = found.flight_h.mean(axis=1)
    assert flown.std(ddof=1) > 1.0
    assert np.corrcoef(flown, found.tmean_c.mean(axis=1))[0, 1] > 0.9


def test_weather_that_never_differs_is_not_widened():
    flat = (np.full((30, 40), 12.0),) * 4
    wide = widened(flat, np.array([12.0, 12.0]), np.array([12.0, 12.0]))
    assert all(np.array_equal(a, b) for a, b in zip(flat, wide, strict=True))


def test_made_seasons_fly_within_the_day_and_lowest_stays_below_highest():
    found = season(days("2023-01-01", "2025-02-28", warmer={2024: 6.0}))
    date_ = found.start + np.arange(100)
    assert (found.flight_h >= 0).all()
    assert (found.flight_h <= day_length_h(50.0, days_of_year(date_)) + 1e-9).all()
    assert (found.tmin_c <= found.tmax_c).all()


def test_the_same_seed_makes_the_same_seasons():
    file = days("2021-01-01", "2025-02-28", warmer={2022: 2.0})
    assert np.array_equal(season(file).flight_h, season(file).flight_h)


def test_a_typical_year_is_one_path_without_a_range():
    found = season(read_weather(TYPICAL), date(2028, 2, 20), 120, 36.1)
    assert found.flight_h.shape == (1, 120)
    assert not found.paths_are_years
    assert found.label == "one typical year"
    assert "no year-to-year range" in texts(found)


def test_a_typical_year_wraps_over_new_year():
    assert season(read_weather(TYPICAL), date(2025, 11, 1), 120, 36.1).flight_h.shape == (1, 120)


def test_a_forecast_stands_in_front_of_every_path():
    ahead = days("2025-02-25", "2025-03-07", warmer={2025: 9.0})
    found = season(days("2000-01-01", "2025-02-24"), forecast=ahead)
    assert np.ptp(found.tmean_c[:, :7], axis=0).max() == 0.0
    assert found.tmean_c[0, 6] - found.tmean_c[0, 7] > 7.0
    assert found.label.endswith("after 7 days of forecast")


def test_a_measured_day_stands_before_a_forecast_of_it():
    """A forecast file carries modelled days of the past; the station's own are the truth."""
    ahead = days("2025-02-25", "2025-03-20", warmer={2025: 9.0})
    known = days("2000-01-01", "2025-03-05")
    found = season(known, forecast=ahead, today=date(2025, 3, 6))
    measured = known.table.tmean_c[known.table.date == np.datetime64("2025-03-05")][0]
    assert set(found.tmean_c[:, 4]) == {measured}
    assert found.tmean_c[0, 5] - found.tmean_c[0, 4] > 7.0
    assert found.label.endswith("after 15 days of forecast")


def test_a_forecast_for_another_time_is_left_out_and_said():
    found = season(days("2000-01-01", "2025-02-24"), forecast=days("2024-05-01", "2024-05-07"))
    assert "no day of this season" in texts(found)


def test_a_season_without_a_year_names_the_missing_period():
    with pytest.raises(WeatherError, match=r"2025-03-01 to 2025-06-08 .* 2024-06-01 to 2025-02-01"):
        season(days("2024-06-01", "2025-02-01"))


def test_a_start_before_all_weather_names_the_missing_period():
    with pytest.raises(WeatherError, match=r"1999-03-01 to 1999-06-08 is not covered"):
        season(days("2000-01-01", "2025-02-01"), date(1999, 3, 1))


def test_a_latitude_with_the_wrong_sign_is_an_error():
    with pytest.raises(WeatherError, match="sign of the latitude"):
        season(days("2000-01-01", "2025-02-01"), latitude=-50.0)


def test_days_before_today_are_measured_and_the_same_in_every_path():
    file = days("2000-01-01", "2025-03-20", warmer={2025: 9.0, 2020: 2.0})
    found = season(file, today=date(2025, 3, 11))
    assert np.ptp(found.tmean_c[:, :10], axis=0).max() == 0.0
    assert np.ptp(found.tmean_c[:, 10:], axis=0).min() > 1.0  # from today on nothing is known
    assert "10 days measured, 2025-03-01 to 2025-03-10" in texts(found)
    assert found.tmean_c[0, 9] - found.tmean_c[0, 10] > 7.0


def test_single_missing_days_do_not_break_the_blocks():
    file = days("2024-01-01", "2025-02-28")
    spoiled = np.where(np.arange(len(file.table.date)) % 11 == 5, np.nan, file.table.tmax_c)
    found = season(replace(file, table=replace(file.table, tmax_c=spoiled)))
    assert found.label == "made from 1 year"
    assert not np.isnan(found.tmax_c + found.flight_h).any()


def test_a_file_shorter_than_one_block_is_refused():
    with pytest.raises(WeatherError, match=r"in a row near|not covered"):
        season(days("2024-03-01", "2024-03-09"), length=10)
