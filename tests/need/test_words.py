"""Numbers as keepers write them: half frames, dates without day numbers, chances in steps of 5."""

from __future__ import annotations

from datetime import date

import pytest

from breadline.language import speaking
from breadline.need import words


def test_dates_have_a_day_and_a_month_in_words():
    assert words.day(date(2027, 2, 10)) == "10 February"
    assert words.short_day(date(2027, 2, 10)) == "10 Feb"
    assert words.day_and_year(date(2027, 2, 10)) == "10 February 2027"


@pytest.mark.parametrize(
    ("on", "said"),
    [
        (date(2027, 2, 4), "4 February"),  # 183 days on
        (date(2027, 2, 5), "5 February 2027"),
        (date(2026, 2, 3), "3 February"),  # 183 days back
        (date(2026, 2, 2), "2 February 2026"),
    ],
)
def test_a_date_more_than_half_a_year_from_today_has_its_year(on, said):
    assert words.day(on, date(2026, 8, 5)) == said
    assert words.short_day(on, date(2026, 8, 5)) == said.replace("ruary", "")


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        (date(2027, 2, 10), date(2027, 2, 24), "10 to 24 February 2027"),
        (date(2027, 1, 28), date(2027, 2, 11), "28 January to 11 February 2027"),
        (date(2026, 12, 20), date(2027, 2, 11), "20 December 2026 to 11 February 2027"),
        (date(2026, 10, 1), date(2026, 10, 9), "1 to 9 October"),
    ],
)
def test_a_range_far_off_has_its_year(first, last, said):
    assert words.day_range(first, last, date(2026, 8, 5)) == said


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        (date(2027, 2, 10), date(2027, 2, 24), "10 to 24 February"),
        (date(2027, 1, 28), date(2027, 2, 11), "28 January to 11 February"),
        (date(2026, 2, 10), date(2027, 2, 11), "10 February 2026 to 11 February 2027"),
        (date(2027, 2, 10), date(2027, 2, 10), "10 February"),
    ],
)
def test_a_range_of_dates_names_its_month_once(first, last, said):
    assert words.day_range(first, last) == said


@pytest.mark.parametrize(
    ("frames", "said"),
    [(7.4, "7½"), (7.0, "7"), (0.5, "½"), (0.2, "0"), (0, "0"), (-1.5, "−1½"), (-0.1, "0"), (11.8, "12")],
)
def test_half_frames(frames, said):
    assert words.half_frames(frames) == said


@pytest.mark.parametrize(("frames", "said"), [(0.25, "¼"), (1.75, "1¾"), (0.5, "½"), (2.1, "2"), (0.8, "¾")])
def test_quarter_frames(frames, said):
    assert words.quarter_frames(frames) == said


@pytest.mark.parametrize(
    ("frames", "said"),
    [(0, "no bread"), (0.05, "next to no bread"), (0.5, "½ frame of bread"), (1, "1 frame of bread"),
     (1.25, "1¼ frames of bread"), (3, "3 frames of bread")],
)  # fmt: skip
def test_frames_with_their_noun(frames, said):
    assert words.frames_of(frames, "bread", parts=4) == said


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [(3.2, 5.1, "3 to 5 days"), (0.6, 1.2, "1 day"), (8, 20, "1 to 3 weeks"),
     (13, 15, "2 weeks"),
     (5, 10.4, "5 to 10 days"), (6, 13.4, "6 to 13 days"),
     (2, 9, "2 to 9 days"), (3, 10, "3 to 10 days"), (2, 20, "2 days to 3 weeks"),
     (0, 0.2, "less than a day")],
)  # fmt: skip
def test_days_below_a_week_else_weeks(low, high, said):
    assert words.days_or_weeks(low, high) == said


@pytest.mark.parametrize(
    ("chance", "said"),
    [(0.56, "55 in 100"), (0.0, "less than 5 in 100"), (1.0, "more than 95 in 100"), (0.5, "50 in 100")],
)
def test_chances_come_in_steps_of_five_and_are_never_certain(chance, said):
    assert words.in_hundred(chance) == said


@pytest.mark.parametrize(
    ("celsius", "said"), [(10, "50 °F (10 °C)"), (-10, "14 °F (−10 °C)"), (-20, "−4 °F (−20 °C)")]
)
def test_warmth_in_both_systems(celsius, said):
    assert words.warmth(celsius) == said


def test_counts_agree_with_their_noun():
    assert words.counted(1, "hive") == "1 hive"
    assert words.counted(6, "hive") == "6 hives"
    assert words.counted(1, "colony", "colonies") == "1 colony"
    assert words.counted(2400, "colony", "colonies") == "2,400 colonies"
    assert words.per_hundred(6.0) == "6 per 100 bees"
    assert words.per_hundred(1.5) == "1.5 per 100 bees"
    assert words.per_hundred(0.333) == "0.3 per 100 bees"


@pytest.mark.parametrize(
    ("note", "says"), [("1 of 24 light", "1 de 24 ligeras"), ("about 30 lb a colony", "about 30 lb a colony")]
)
def test_how_many_hives_were_light_is_said_in_the_readers_language(note, says):
    assert words.honey_said(note) == note
    with speaking("es"):
        assert words.honey_said(note) == says
