"""The straight answer through the year: after the first pollen nothing waits for next year's."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from breadline.jobs.short_path import ShortAnswers, straight_answer

SHORT = ShortAnswers(
    "NZ", "well", "low", "enough", "8", "quarter", "little", "8", today=date(2026, 11, 26)
)  # sound hives, a quarter of a comb of bread, a little pollen coming in
WEEK = timedelta(weeks=1)

# Where, month of the first pollen, a day of the same season when that pollen is long past
IN_SEASON = [
    ("NZ", "8", date(2026, 11, 26)),
    ("NZ", "8", date(2027, 2, 10)),
    ("AU", "7", date(2026, 12, 30)),
    ("south", "9", date(2027, 3, 1)),
    ("US", "2", date(2026, 6, 15)),
    ("US", "2", date(2026, 9, 10)),
    ("GB", "3", date(2026, 6, 15)),
    ("GB", "3", date(2026, 8, 20)),
    ("north", "4", date(2026, 10, 5)),
]
# The same places in their winter, from when feed makes sense (4 weeks before) to the first pollen
BEFORE_POLLEN = [
    ("NZ", "8", date(2026, 7, 25), "15 August"),
    ("AU", "7", date(2026, 6, 20), "15 July"),
    ("US", "2", date(2027, 1, 25), "15 February"),
    ("GB", "3", date(2027, 2, 20), "15 March"),
]


@pytest.mark.parametrize(("where", "month", "today"), IN_SEASON)
def test_a_dearth_in_season_does_not_last_until_next_years_first_pollen(where, month, today):
    advice = straight_answer(replace(SHORT, where=where, first_pollen=month, today=today))
    assert advice.answer == "feed"
    assert "stop when fresh arcs lie round the brood" in advice.sentence
    assert str(today.year + 1) not in advice.sentence
    assert advice.look_again == today + WEEK


@pytest.mark.parametrize(("where", "month", "today"), IN_SEASON)
def test_a_light_hive_in_season_is_looked_at_again_within_the_week(where, month, today):
    advice = straight_answer(replace(SHORT, honey="light", where=where, first_pollen=month, today=today))
    assert advice.answer == "something_first"
    assert "syrup" in advice.sentence
    assert advice.look_again == today + WEEK


@pytest.mark.parametrize(("where", "month", "today", "until"), BEFORE_POLLEN)
def test_before_the_first_pollen_feed_ends_with_it(where, month, today, until):
    advice = straight_answer(replace(SHORT, where=where, first_pollen=month, today=today))
    assert f"stop when pollen is steady, about {until}" in advice.sentence


def test_this_years_pollen_is_told_as_past_as_a_yard_of_the_book_tells_it():
    dates = [reason.detail for reason in straight_answer(SHORT).reasons if reason.head == "Date"]
    assert dates == ["First reliable pollen was about 15 August"]


@pytest.mark.parametrize("month", range(1, 13))
@pytest.mark.parametrize(("where", "pollen"), [("US", 2), ("GB", 3), ("NZ", 8), ("AU", 9)])
def test_a_yes_never_names_a_day_more_than_four_weeks_off(where, pollen, month):
    today = date(2026, month, 26)
    advice = straight_answer(replace(SHORT, where=where, first_pollen=str(pollen), today=today))
    if advice.answer == "feed":
        coming = next(
            day for year in (2026, 2027) if (day := date(year, pollen, 15)) >= today
        )  # the next first pollen
        by_date = "stop when pollen is steady" in advice.sentence
        assert by_date == (coming - today <= 4 * WEEK)
