"""What a person is told, from small ensembles worked by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest

from breadline.need.outlook import Range, ShortFrom, Spell
from breadline.need.outlook_words import season_headline, short_from_words
from breadline.need.shortfall import Ledger
from breadline.need.summary import short_from, spells, spread, week_mean
from tests.pictures.made_up import made_up_outlook

START = date(2026, 2, 1)
DATES = tuple(START + timedelta(days=t) for t in range(60))


def test_short_from_counts_those_that_never_fall_short() -> None:
    # Eleven members: three fall short on day 10, four on day 20, four never.
    first = np.array([10.0] * 3 + [20.0] * 4 + [np.inf] * 4)
    told = short_from(first, DATES, 0)
    assert told.chance == pytest.approx(7 / 11)
    assert told.earliest == DATES[10]
    assert told.middle == DATES[20]
    assert told.latest is None
    assert told.not_before == DATES[10]
    assert not told.now


def test_nobody_short_gives_not_before_the_end() -> None:
    told = short_from(np.full(20, np.inf), DATES, 0)
    assert told.middle is None
    assert told.not_before == DATES[-1]
    assert short_from_words(told) == "not before 1 April"


def test_a_date_far_off_has_its_year_in_the_outlook_s_words() -> None:
    told = short_from(np.full(20, np.inf), DATES, 0)
    assert short_from_words(told, date(2025, 9, 1)) == "not before 1 April 2026"


def test_short_now_says_until_when_where_the_count_is_older() -> None:
    short = ShortFrom(0.9, DATES[20], DATES[20], DATES[40], DATES[20], True)
    spell = Spell(DATES[20], DATES[30], 0.7, Range(0, 0, 0))
    outlook = replace(
        made_up_outlook(start=START, days=60), short_from=short, spells=(spell,), today=DATES[20]
    )
    assert season_headline(outlook, "Ash") == "Ash is short of bread now, until about 3 March."


def test_spells_begin_today_not_before() -> None:
    missing = np.full((60, 4), 10.0)
    short = np.zeros(60)
    short[:10], short[40:50] = 1.0, 0.75
    book = Ledger(missing, missing, missing, missing > 0, np.zeros(4), np.zeros(4))
    (only,) = spells(book, short, DATES, today=20)
    assert (only.start, only.end, only.chance) == (DATES[40], DATES[49], 0.75)
    assert only.missing_g.middle == pytest.approx(100.0)


def test_spread_holds_what_lies_beyond_the_outlook() -> None:
    told = spread(np.array([1.0, 2.0, 3.0, np.inf, np.inf]))
    assert told.middle == 3.0
    assert np.isinf(told.high)


def test_week_mean_of_a_pulse() -> None:
    pulse = np.zeros((15, 1))
    pulse[7] = 7.0
    assert week_mean(pulse)[:, 0].tolist() == [0] * 4 + [1] * 7 + [0] * 4


def headline(short: ShortFrom, *found: Spell) -> str:
    return season_headline(
        replace(made_up_outlook(start=START, days=60), short_from=short, spells=found), "Ash"
    )


def test_runs_out_is_said_only_where_most_seasons_are_short_from_then_on() -> None:
    short = ShortFrom(0.9, DATES[10], DATES[20], DATES[40], DATES[10], False)
    nothing = Range(0, 0, 0)
    near = Spell(DATES[21], DATES[30], 0.7, nothing)
    past = Spell(DATES[0], DATES[5], 0.7, nothing)
    far = Spell(DATES[45], DATES[50], 0.7, nothing)
    assert (
        headline(short, near)
        == "Ash runs out of bread about 21 February and stays short until about 3 March."
    )
    assert headline(short, past, far) == "Half of the seasons leave Ash short of bread by about 21 February."
    assert headline(short) == "Half of the seasons leave Ash short of bread by about 21 February."
