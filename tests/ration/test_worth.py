"""An analysis never sets what a feed is worth; real pollen may shift it, by no more than the contrast."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.knowledge.shelf import load
from breadline.ration.analysis import analyse
from breadline.ration.worth import worth_shift

from .made_up import ingredient, recipe, shipped

POLLEN = ingredient("some_pollen", 22.0, traits=("pollen",), water=8.0)


def shift_of(pollen: float, soy: float = 0.0):
    sugar = shipped(sugar_granulated=1).parts[0].ingredient
    meal = shipped(soy_flour_defatted=1).parts[0].ingredient
    parts = [(POLLEN, pollen), (meal, soy), (sugar, 1.0)]
    return worth_shift(analyse(recipe(*((k, g) for k, g in parts if g > 0))), load().reader())


def test_without_pollen_no_analysis_shifts_anything():
    reader = load().reader()
    rich, poor = (worth_shift(analyse(shipped(**{key: 1.0})), reader) for key in ("casein", "cornstarch"))
    assert rich == poor
    assert (rich.mean, rich.sd) == (0.0, 0.0)
    assert "not at all" in rich.sentence


def test_with_pollen_it_is_the_whole_contrast_and_no_more():
    whole = shift_of(1.0)
    assert (whole.mean, whole.sd) == pytest.approx((0.05, 0.10), abs=0.0005)
    assert "5 % up, anywhere from 11 % down to 24 % up" in whole.sentence


@given(st.floats(0.0, 50.0), st.floats(0.0, 50.0))
def test_the_shift_grows_with_pollen_and_stops_at_the_contrast(pollen: float, soy: float):
    shift = shift_of(pollen, soy)
    assert 0.0 <= shift.mean <= 0.05
    assert shift.mean <= shift_of(pollen + 1.0, soy).mean + 1e-12


def test_a_little_pollen_counts_in_proportion():
    assert 0.0 < shift_of(0.04).part < 0.5 < shift_of(0.09).part < 1.0


def test_a_trace_is_told_in_words_that_say_something():
    assert "too little to shift that belief by even 1 %" in shift_of(0.0005).sentence
    assert "1 % down to 1 % up" in shift_of(0.005).sentence
