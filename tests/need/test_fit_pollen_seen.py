"""Pollen seen today, and streams of chance, in a fit to inspections."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from breadline.knowledge.shelf import load
from breadline.need.fit.ahead import fitted_outlook
from breadline.need.outlook import Outlook
from breadline.need.streams import Streams
from breadline.need.yard import Forage, Yard
from tests.need.fit_yards import YARD, fitted, inspection, weather

LOOKED = replace(YARD, inspections=(inspection(14, 6.5, 3.5), inspection(28, 8, 5)))


def ahead(yard: Yard) -> Outlook:
    streams = Streams.of(np.random.default_rng(3))
    return fitted_outlook(yard, weather(), load().reader(), fitted(yard), streams, 40)


def test_no_pollen_seen_today_is_none_in_the_days_around_it_and_the_calendar_later() -> None:
    by_calendar, seen = ahead(LOOKED), ahead(replace(LOOKED, forage=Forage(coming_in="none")))
    today = (YARD.today - seen.start).days
    # Income is told as the mean of seven days; the eye is sure for five, both ways, and gone after ten.
    assert seen.income_g.high[today] == 0
    assert by_calendar.income_g.middle[today] > 0
    late = slice(today + 60, today + 80)
    ratio = seen.income_g.middle[late] / by_calendar.income_g.middle[late]
    assert ratio == pytest.approx(np.ones(20), abs=0.35)
    assert any("as seen today" in note for note in seen.notes)
    assert not any("as seen today" in note for note in by_calendar.notes)


def test_the_fit_itself_knows_the_days_before_the_look() -> None:
    by_calendar, seen = fitted(LOOKED), fitted(replace(LOOKED, forage=Forage(coming_in="none")))
    assert seen.told.before.bread_g.middle[-1] < by_calendar.told.before.bread_g.middle[-1]
    early = 20  # the look was 49 days after the count
    assert seen.told.before.bread_g.middle[early] == by_calendar.told.before.bread_g.middle[early]


def test_plenty_differs_from_bloom_shift_to_bloom_shift_and_stays_with_it_after_the_fit() -> None:
    fit = fitted(replace(LOOKED, forage=Forage(coming_in="plenty")))
    assert fit.ensemble.seen is not None
    assert len(set(fit.ensemble.seen.strength)) == len(fit.ensemble.shifts_days)


def test_other_inspections_meet_the_same_draws_before_the_fit() -> None:
    other = replace(YARD, inspections=(inspection(20, 9, 6, bread=400.0),))
    one, two = fitted(LOOKED).told.before, fitted(other).told.before
    for name in ("adults", "brood", "bread_g"):
        assert np.array_equal(getattr(one, name).middle, getattr(two, name).middle)
    assert one.site == two.site
