"""What a fit says, and the outlook that follows from it."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date, timedelta
from functools import cache

import numpy as np
import pytest

from breadline.knowledge.shelf import load
from breadline.need.fit.ahead import fitted_outlook
from breadline.need.fit.last_look import as_last_looked
from breadline.need.fit.told import Foretold
from breadline.need.fit.words import (
    before_after_words,
    effective_words,
    foretold_words,
    headline,
    misfit_words,
    sentences,
)
from breadline.need.outlook import Range
from breadline.need.streams import Streams
from breadline.need.yard import Given
from tests.need.fit_yards import FIRST, YARD, fitted, inspection, weather

LOOKED = replace(YARD, inspections=(inspection(14, 6.5, 3.5), inspection(28, 8, 5)))


@cache
def fit_of_looked():
    """Once, and only where a test asks."""
    return fitted(LOOKED)


def told():
    return fit_of_looked().told


def ahead(yard=LOOKED, fit=None, draws=40):
    fit = fit or fit_of_looked()
    return fitted_outlook(yard, weather(), load().reader(), fit, Streams.of(np.random.default_rng(3)), draws)


def of_place(low: float, middle: float, high: float):
    return replace(told(), after=replace(told().after, site=Range(low, middle, high)))


def test_the_headline_says_rich_or_poor_only_where_the_range_does() -> None:
    assert "for more pollen here than at the usual place: 1.2 to 2.0 times" in headline(
        of_place(1.2, 1.6, 2.0)
    )
    assert "less pollen here than at the usual place: 0.5 to 0.9 times" in headline(of_place(0.5, 0.7, 0.9))
    assert "leave open" in headline(of_place(0.8, 1.2, 1.9))


def test_a_misfit_says_so_first_and_never_what_the_place_gives() -> None:
    off = replace(of_place(1.2, 1.6, 2.0), fits=False, chance_of_misfit=0.0004)
    assert headline(off) == "The model does not fit this yard."
    assert "fewer than 1 yard in 1,000" in misfit_words(off)
    assert "ranges are widened" in misfit_words(off)
    assert sentences(off)[0] == misfit_words(off)
    assert "Widened because the model does not fit" in before_after_words(off)
    few = replace(off, effective=12.3, chance_of_misfit=0.4)
    assert "only 12 of 600 draws" in misfit_words(few)
    assert misfit_words(told()) == ""


def test_before_and_after_are_frames_by_the_counts_definition() -> None:
    said = before_after_words(told())
    assert "with your inspections, the average colony has" in said.lower()
    assert "frames of bees" in said
    assert "From the count of 1 April and 2 inspections up to 29 April." in said


def test_foretold_says_range_count_and_whether_inside() -> None:
    on = date(2027, 4, 29)
    inside = Foretold(on, "bees", 15_200, 11_400, 15_200, 20_900)
    frame = told().cells_a_frame
    outside = Foretold(on, "brood", 2 * frame, frame * 4, frame * 5, frame * 7)
    said = foretold_words(replace(told(), foretold=(inside, outside)))
    assert said == (
        "The inspection of 29 April was foretold from the count and 1 inspection before it: "
        "6 to 11 frames of bees, 8 counted, inside; 4 to 7 frames of brood, 2 counted, outside, "
        "0.4 times the middle."
    )
    assert "from the count alone" in foretold_words(replace(told(), from_inspections=0))


def test_the_effective_number_is_said_in_plain_words() -> None:
    weighed = replace(told(), draws=2000, effective_first=345.4, moved=False)
    assert effective_words(weighed) == (
        "Of 2,000 draws of figures, bloom and count, about 345 agree with your inspections, "
        "and the fit rests on them."
    )
    moved = effective_words(replace(weighed, moved=True, effective=1718.2, effective_first=40.4))
    assert "about 40 agree" in moved
    assert "too few" in moved
    assert "rests on about 1,718 different ones" in moved


def test_the_outlook_begins_on_the_day_of_the_last_inspection() -> None:
    out = ahead()
    assert out.start == FIRST + timedelta(days=28)
    assert out.dates[0] == out.start
    assert out.members == 15 * 40
    days = (YARD.today - out.start).days
    fit_today = told().after.adults
    # The same morning told twice: by the fit, and by the outlook on the evening before.
    assert out.adults.middle[days - 1] == pytest.approx(fit_today.middle[-1], rel=0.03)
    assert out.adults.low[days - 1] == pytest.approx(fit_today.low[-1], rel=0.06)


def test_the_outlook_of_a_yard_with_unlike_weather_stays_on_the_paths_of_the_fit() -> None:
    sky = weather(alike=False)
    fit = fitted(LOOKED, sky=sky)
    assert not fit.ensemble.one_past
    out = fitted_outlook(LOOKED, sky, load().reader(), fit, Streams.of(np.random.default_rng(3)), 40)
    days = (YARD.today - out.start).days
    assert out.adults.middle[days - 1] == pytest.approx(fit.told.after.adults.middle[-1], rel=0.05)


def test_feed_of_the_past_is_in_both_lines_and_feed_to_come_only_in_one() -> None:
    past = replace(LOOKED, given=(Given(FIRST, 450),))
    assert ahead(past, fitted(past)).adults_fed is None
    coming = replace(LOOKED, given=(Given(YARD.today + timedelta(days=3), 450),))
    out = ahead(coming, fitted(coming))
    assert out.adults_fed is not None
    until = (YARD.today - out.start).days + 1
    assert np.array_equal(out.adults.middle[:until], out.adults_fed.middle[:until])


def test_a_misfit_widens_the_outlook_and_is_its_first_note() -> None:
    jump = replace(YARD, inspections=(inspection(14, 6.5, 3.5), inspection(28, 25, 5)))
    fit = fitted(jump)
    assert not fit.told.fits
    far = replace(fit.told.after.adults, high=fit.told.after.adults.high * 50)
    most = replace(fit.told, after=replace(fit.told.after, adults=far))
    assert "to more than 60) today" in before_after_words(most), "no hive has more"
    wide, plain = ahead(jump, fit), ahead()
    assert wide.notes[0].startswith("The model does not fit this yard.")
    spread = [np.log(o.adults.high[60] / o.adults.low[60]) for o in (wide, plain)]
    assert spread[0] > 1.3 * spread[1]


def test_the_advice_goes_by_the_last_look() -> None:
    count = as_last_looked(LOOKED, told()).count
    assert (count.on, count.frames_of_bees, count.frames_of_brood) == (FIRST + timedelta(days=28), 8, 5)
    assert count.bread_unit == "g"
    assert count.bread == pytest.approx(told().after.bread_g.middle[28], abs=1)
    seen = replace(YARD, inspections=(inspection(28, 8, 5, bread=1.5, bread_unit="frames"),))
    assert as_last_looked(seen, told()).count.bread == 1.5
    assert as_last_looked(YARD, None) == YARD


def test_every_sentence_is_finished() -> None:
    for said in (headline(told()), *sentences(told())):
        assert said.endswith("."), said
        assert "nan" not in said
    assert {f.name for f in fields(told())} >= {"before", "after", "foretold", "effective", "fits"}
