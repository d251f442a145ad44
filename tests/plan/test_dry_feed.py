"""Dry feed in the open: who eats it, when it goes out, and what it does to a check group."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.errors import YardError
from breadline.need.yard import Place
from breadline.plan.dry_feed import Station, Weather, apart_km, distance_words, dry_feed_plan, out_day
from plan.feeding import reader, rng

HERE = Place(34.0, -83.5, "US", colonies_in_flight_range=100.0)
DAY = date(2027, 2, 10)
MILD = Weather(DAY, 16.0, 0.0, 50.0)


def station(place: Place = HERE, own: int = 40, sheltered: bool | None = True) -> Station:
    return Station("Mill", place, DAY, own, sheltered, "lb")


def plan(st_: Station, ahead=(MILD,)):
    return dry_feed_plan(st_, ahead, reader(), rng(), 500)


@pytest.mark.parametrize(
    ("weather", "why"),
    [
        (Weather(DAY, 9.0, 0.0), "not over 50 °F (10 °C)"),
        (Weather(DAY, 16.0, 15.0), "rain"),
        (Weather(DAY, 16.0, 0.0, 95.0), "damp"),
        (Weather(DAY, 16.0, 0.0, 50.0, 9.0), "windy"),
    ],
)
def test_it_stays_indoors_on_cold_wet_and_damp_days(weather: Weather, why: str) -> None:
    day = out_day(weather, reader(), "US")
    assert not day.out
    assert why in day.why


@pytest.mark.parametrize(
    ("sheltered", "rain_mm", "out"),
    [
        (False, 6.0, False),
        (None, 6.0, False),
        (True, 6.0, True),
        (True, 10.0, False),
        (False, 1.0, False),
        (False, 0.9, True),
    ],
)
def test_without_a_shelter_any_day_with_rain_keeps_it_indoors(sheltered, rain_mm, out) -> None:
    """A day with rain has 1 mm or more, as weather services count them [rain_day]."""
    day = Weather(DAY, 14.0, rain_mm)
    (told,) = plan(station(sheltered=sheltered), [day]).days
    assert told.out is out
    if rain_mm < 10.0 and not out:
        assert told.why == "rain, and nothing keeps it dry"


def test_a_mild_dry_day_is_one_for_it() -> None:
    assert out_day(MILD, reader(), "US").out


def test_a_share_typed_for_per_cent_is_told() -> None:
    with pytest.raises(YardError, match=r"enter per cent \(60\)"):
        out_day(Weather(DAY, 16.0, 0.0, 0.6), reader(), "US")


def test_the_neighbours_share_is_said() -> None:
    told = plan(station())
    assert told.own_share == 0.4
    assert "About 4 parts in 10 go to your own" in told.sentences[1]
    alone = plan(station(Place(34.0, -83.5, "US")))
    assert alone.own_share is None
    assert "not known" in alone.sentences[1]
    assert any("Ask how many colonies" in warning for warning in alone.warnings)


def test_twice_the_colonies_take_twice_as_much() -> None:
    few, many = (
        plan(station(Place(34.0, -83.5, "US", colonies_in_flight_range=n))).each_time_g for n in (50, 100)
    )
    assert many.middle == pytest.approx(2 * few.middle)
    assert few.low < few.middle < few.high


def test_no_check_group_inside_the_flight_range_can_be_read() -> None:
    barred = plan(station()).no_check_group
    assert barred.holds("Mill", HERE) == "inside"
    assert barred.holds("Next", Place(34.01, -83.5)) == "inside"  # about 1.1 km
    assert barred.holds("Farther", Place(34.05, -83.5)) == "doubtful"  # about 5.6 km
    assert barred.holds("Away", Place(34.2, -83.5)) == "outside"  # about 22 km
    assert barred.holds("Where", Place(34.0)) == "unknown"
    assert (
        plan(station())
        .sentences[-1]
        .startswith("Once it stands there, no check group inside its flight range")
    )
    assert "2 miles" in barred.sentence("lb")
    assert "3 km" in barred.sentence("g")


def test_a_degree_of_latitude_is_about_111_km_in_both_hemispheres() -> None:
    # by definition of the metre a quarter of the meridian is 10,000 km: 111.1 km a degree
    for latitude in (34.0, -36.0):
        away = apart_km(Place(latitude, 10.0), Place(latitude + 1.0, 10.0))
        assert away == pytest.approx(111.1, abs=0.3)
    assert apart_km(Place(-36.0, 179.99), Place(-36.0, -179.99)) == pytest.approx(1.8, abs=0.1)


@given(a=st.floats(-60, 60), b=st.floats(-60, 60), over=st.floats(-180, 180), there=st.floats(-180, 180))
def test_the_way_back_is_as_long(a, b, over, there) -> None:
    one, other = Place(a, over), Place(b, there)
    assert apart_km(one, other) == pytest.approx(apart_km(other, one))
    assert apart_km(one, one) == 0.0


def test_no_shelter_and_a_wet_fortnight_are_warned_of() -> None:
    wet = [Weather(DAY + timedelta(d), 16.0, 20.0 if d % 2 else 0.0) for d in range(14)]
    told = plan(station(sheltered=None), wet)
    assert told.times == 7
    assert any("shelter" in warning for warning in told.warnings)
    assert any("Fewer than 10 flying days" in warning for warning in told.warnings)
    assert not any("shelter" in warning for warning in plan(station()).warnings)


def test_more_own_colonies_than_there_are_is_told() -> None:
    with pytest.raises(YardError, match="your own among them"):
        station(own=200)


def test_distances_are_rounded_as_people_say_them() -> None:
    assert distance_words(3.2, "lb") == "2 miles"
    assert distance_words(1.6, "lb") == "1 mile"
    assert distance_words(8.0, "g") == "8 km"
