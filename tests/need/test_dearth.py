"""Frames stop where a pollen dearth begins, if the season model fails its check for one."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from breadline.errors import YardError
from breadline.knowledge.season_checks import season_checks
from breadline.need.dearth import dearth_begins, frames_end
from breadline.need.fit.ahead import fitted_outlook
from breadline.need.forecast import outlook_ends
from breadline.need.missed_checks import missed_words
from breadline.need.shortfall import Ledger
from breadline.need.streams import Streams
from breadline.span import FloatArray
from tests.need.fit_yards import FIRST, YARD, fitted, inspection, weather
from tests.need.invented_checks import checks, shelf_of

DAYS, MEMBERS, NEED = 40, 10, 30.0


def book(short_from: int, income: float, short: int = 6) -> Ledger:
    """From a day on ``short`` of 10 members are short, and all bring in ``income`` [g/d]; invented."""
    flags = np.zeros((DAYS, MEMBERS), dtype=bool)
    flags[short_from:, :short] = True
    came = np.full((DAYS, MEMBERS), 40.0)
    came[short_from:] = income
    nothing = np.zeros((DAYS, MEMBERS))
    return Ledger(nothing, came, nothing, flags, np.zeros(MEMBERS), np.zeros(MEMBERS))


def need() -> FloatArray:
    return np.full((DAYS, MEMBERS), NEED)


@pytest.mark.parametrize(
    ("income", "short", "begins"),
    [
        (0.0, 6, 12),  # bread spent and nothing coming in, in more than half of the seasons
        (5.9, 6, 12),  # a little less than a fifth of the need
        (6.1, 6, None),  # a shortage while pollen comes in is no dearth
        (0.0, 4, None),  # in fewer than half of the seasons
        (0.0, 5, 12),
    ],
)
def test_a_dearth_is_a_shortage_with_next_to_no_pollen(income: float, short: int, begins: int | None) -> None:
    assert dearth_begins(book(12, income, short), need(), 0.2) == begins


def test_no_pollen_while_bread_lasts_is_no_dearth_yet() -> None:
    told = book(12, 0.0)
    still_fed = Ledger(
        told.bread_g, told.income_g, told.missing_g, told.short & False, *(np.zeros(MEMBERS),) * 2
    )
    assert dearth_begins(still_fed, need(), 0.2) is None


def test_frames_stop_on_the_day_before_it_and_trials_speak_instead() -> None:
    end = frames_end(book(12, 0.0), need(), date(2027, 7, 1), shelf_of(False, False).reader())
    assert end is not None
    assert end.on == date(2027, 7, 12)
    assert "a pollen dearth begins" in end.because
    assert "too few colonies on syrup alone" in end.because
    assert "(10 in 100, counted 50 in 100)" in end.because
    assert "from 10 % fewer to 73 % more" in end.instead[0]


def test_a_dearth_that_has_begun_leaves_the_day_of_the_count() -> None:
    end = frames_end(book(0, 0.0), need(), date(2027, 7, 1), shelf_of(False, False).reader())
    assert end is not None
    assert end.on == date(2027, 7, 1)


def test_frames_go_on_where_the_check_for_a_dearth_is_passed() -> None:
    assert frames_end(book(12, 0.0), need(), date(2027, 7, 1), shelf_of(False, True).reader()) is None
    assert frames_end(book(12, 20.0), need(), date(2027, 7, 1), shelf_of(False, False).reader()) is None


def test_an_outlook_crosses_winter_only_where_the_check_for_winter_is_passed() -> None:
    trusted, not_trusted = (shelf_of(winter, True).reader() for winter in (True, False))
    autumn, gap = date(2026, 8, 5), date(2026, 11, 15)
    across = outlook_ends(autumn, 43.0, trusted)
    assert (across.on - autumn).days == int(trusted.typical("outlook.longest_days")) - 1
    assert across.beyond == ()
    assert "winter" not in across.because
    assert outlook_ends(gap, 43.0, trusted).on > date(2027, 3, 1)
    before = outlook_ends(autumn, 43.0, not_trusted)
    assert before.on < across.on
    assert "too few bees reared in winter" in before.beyond[0]
    assert "(10 in 100, counted 50 in 100)" in before.beyond[0]
    with pytest.raises(YardError, match="across winter"):
        outlook_ends(gap, 43.0, not_trusted)


def test_what_is_missed_is_said_from_the_shipped_result() -> None:
    """Harris 2010: 42 in 100 of the bees of 11 March were reared in confinement."""
    said = missed_words("winter", season_checks())
    assert "too few bees reared in winter" in said
    assert "counted 42 in 100" in said


def test_too_many_is_said_as_that_and_bees_in_hundreds() -> None:
    invented = checks(False, True)
    many = replace(
        invented.facts["winter"][0], key="march_adults", published=10_040.0, model=16_172.0, inside=False
    )
    said = missed_words("winter", replace(invented, facts={"winter": (many,)}))
    assert said.endswith("too many bees alive in March (16,200, counted 10,000)")


def test_a_situation_never_asked_about_is_said_so() -> None:
    nothing = checks(True, True)
    empty = type(nothing)(nothing.on, nothing.commit, nothing.draws, {})
    assert "was not held against published counts" in missed_words("dearth", empty)


def hungry(bread: float = 0.0, **facts: object):
    """A yard without bloom: what bread it has is soon spent."""
    count = replace(YARD.count, bread=bread, bread_unit="g", frames_of_brood=4.0)
    return replace(YARD, count=count, bloom=(), **facts)  # type: ignore[arg-type]


def test_nothing_is_fitted_across_a_dearth_unless_the_check_is_passed() -> None:
    yard = hungry(inspections=(inspection(28, 6.0, 1.0),))
    assert fitted(yard, reader=shelf_of(False, True).reader()).told.draws
    with pytest.raises(YardError, match="a pollen dearth begins about 1 April 2027") as refused:
        fitted(yard, reader=shelf_of(False, False).reader())
    assert "last inspection the count, with afresh = true" in refused.value.do, "a book joins counts"


@pytest.mark.parametrize("trusted", [True, False])
def test_a_fitted_outlook_stops_its_frames_likewise(trusted: bool) -> None:
    closes = tuple(replace(one, end=(5, 25)) for one in YARD.bloom)
    yard = replace(YARD, bloom=closes, inspections=(inspection(28, 8.0, 5.0),))
    reader = shelf_of(False, trusted).reader()
    streams = Streams.of(np.random.default_rng(3))
    out = fitted_outlook(yard, weather(), reader, fitted(yard, reader=reader), streams, 40)
    days = (out.frames_until - out.dates[0]).days + 1
    assert len(out.adults.middle) == len(out.brood.high) == days
    if trusted:
        assert out.frames_end is None
        assert days == len(out.dates)
    else:
        assert out.frames_end is not None
        assert FIRST < out.frames_until < out.dates[-1]
        assert len(out.need_g.middle) == len(out.dates), "pollen and bread are reckoned on"
