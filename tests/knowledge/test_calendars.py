"""Starter calendars are whole, say that they are starting points, and know both hemispheres."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest

from breadline.errors import FigureError
from breadline.knowledge.calendars import Calendar, calendar, for_place, regions

CALENDARS = tuple(calendar(key) for key, _, _ in regions())
every_calendar = pytest.mark.parametrize("cal", CALENDARS, ids=[c.key for c in CALENDARS])


@every_calendar
def test_a_window_has_dates_or_warmth_and_possible_numbers(cal: Calendar):
    assert cal.windows
    for window in cal.windows:
        if window.degree_days:
            assert window.start is None
            assert window.lasts_days
            assert window.degree_days.sum_c > 0
        else:
            assert window.start
            assert window.end
            assert date(2027, *window.start)
            assert date(2027, *window.end)
        assert 0 < window.strength <= 1
        assert 0 <= window.nectar <= 1
        assert window.protein_pct is None or 8 <= window.protein_pct <= 40
    assert date(2027, *cal.first_reliable_pollen)


@every_calendar
def test_a_calendar_says_that_it_is_a_starting_point(cal: Calendar):
    assert "starting point" in cal.says
    assert cal.dearth
    assert len(cal.country) == 2
    assert all(d.what and d.source for d in cal.disagrees_with)


@every_calendar
def test_the_first_reliable_pollen_lies_near_an_early_window(cal: Calendar):
    """Some window by date is open on it, or warmth opens one that has no date."""
    first = date(2027, *cal.first_reliable_pollen)
    open_then = [
        w
        for w in cal.windows
        if w.start
        and w.end
        and _covers(date(2027, *w.start).timetuple().tm_yday, date(2027, *w.end).timetuple().tm_yday, first)
    ]
    assert open_then or any(w.degree_days for w in cal.windows)


def _covers(start: int, end: int, on: date) -> bool:
    day = on.timetuple().tm_yday
    return start <= day <= end if start <= end else day >= start or day <= end


def test_spring_comes_first_in_the_south_of_the_year_in_the_southern_hemisphere():
    south = [c for c in CALENDARS if c.latitude < 0]
    north = [c for c in CALENDARS if c.latitude > 0]
    assert south
    assert all(7 <= c.first_reliable_pollen[0] <= 9 for c in south)
    assert all(1 <= c.first_reliable_pollen[0] <= 4 for c in north)


def test_california_foothills_have_no_more_than_a_trickle_from_august_to_mid_january():
    # Oliver 2021: pollen dearth from August until alder in the middle of January.
    cal = calendar("california-foothills")
    for month, day in [(8, 5), (9, 15), (11, 1), (12, 20), (1, 10)]:
        on = date(2027, month, day)
        strength = sum(
            w.strength
            for w in cal.windows
            if w.start
            and w.end
            and _covers(date(2027, *w.start).timetuple().tm_yday, date(2027, *w.end).timetuple().tm_yday, on)
        )
        assert 0 < strength <= 0.05, on
    assert cal.first_reliable_pollen == (1, 15)


def test_the_ohio_list_is_the_printed_one_in_centigrade():
    # Ohio State list, base 50 °F: silver maple first 34, red maple first 44, speckled alder first 52,
    # black locust near full 508 °F·day. 1 °F·day = 5/9 °C·day.
    found = {w.name: w.degree_days for w in calendar("ohio").windows if w.degree_days}
    printed = {
        "Silver maple": 34,
        "Red maple": 44,
        "Alder": 52,
        "Black locust, near full bloom": 508,
    }
    assert found.keys() == printed.keys()
    for name, fahrenheit in printed.items():
        target = found[name]
        assert target is not None
        assert target.sum_c == pytest.approx(fahrenheit * 5 / 9, abs=0.05)
        assert (target.base_c, target.cap_c, target.method, target.start) == (10.0, 30.0, "clipped", (1, 1))


def test_west_texas_shows_both_experts():
    assert len(calendar("texas-west").disagrees_with) == 2


def test_an_unknown_region_names_the_nearest():
    with pytest.raises(FigureError, match="texas-west"):
        calendar("west texas")


def test_suggestions_stay_in_the_country_and_the_hemisphere():
    assert [c.key for c in for_place("nz", -41.0)] == ["new-zealand"]
    assert for_place("US", 33.0)[0].country == "US"
    assert for_place("BR", -20.0) == ()
    near = for_place(None, -36.0)
    assert near
    assert all(c.latitude < 0 for c in near)


def test_regions_have_no_two_alike():
    names = sorted(name for _, name, _ in regions())
    assert all(a != b for a, b in pairwise(names))
