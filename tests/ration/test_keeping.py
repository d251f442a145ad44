"""How a mix keeps, from its sugar and its water."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import Content
from breadline.knowledge.shelf import load
from breadline.ration.analysis import analyse
from breadline.ration.keeping import activity_of_syrup, keeping

from .made_up import ingredient, recipe, shipped


def of(**grams: float):
    return keeping(analyse(shipped(**grams)), load().reader())


@given(st.floats(0.0, 5.0), st.floats(0.01, 1.0))
def test_more_sugar_never_leaves_more_free_water(sugar: float, more: float):
    assert activity_of_syrup(sugar + more, 1.0, 6.47) < activity_of_syrup(sugar, 1.0, 6.47) <= 1.0


def test_water_alone_is_all_active():
    assert activity_of_syrup(0.0, 1.0, 6.47) == 1.0


def test_a_sugary_patty_holds_back_bacteria_and_a_moist_one_does_not():
    patty, moist = (
        of(soy_flour_defatted=20, sugar_granulated=55, water=22),
        of(soy_flour_defatted=30, water=40),
    )
    assert (patty.step, moist.step) == ("syrup-like", "wet")
    assert "Bacteria do not grow" in patty.sentence
    assert "freeze" in patty.sentence
    assert "Bacteria, yeasts and moulds grow" in moist.sentence


def test_sugar_that_does_not_dissolve_dries_the_mix_no_further():
    assert of(sugar_granulated=80, water=20).activity == of(sugar_granulated=70, water=30).activity


def test_a_dry_mix_has_no_solution_to_reckon():
    dry = of(soy_flour_defatted=40, sugar_granulated=60)
    assert (dry.activity, dry.step) == (None, "dry")
    assert "Activity" not in dry.sentence


def test_sugar_that_was_not_reported_makes_a_range_and_is_named():
    meal = ingredient("bean_meal", 40.0, water=10.0, fat=5.0, ash=5.0)
    water = shipped(water=1).parts[0].ingredient
    found = keeping(analyse(recipe((meal, 50), (water, 50))), load().reader())
    assert found.activity.low < found.activity.high == pytest.approx(1.0)
    assert found.blank == ("bean meal",)
    assert found.step == "wet"  # by what may be, not by what one hopes


def test_water_that_is_a_range_is_taken_at_its_wettest():
    meal = replace(ingredient("bean_meal", 40.0, sugars=20.0), nutrients={
        "sugars": Content(20.0, 20.0), "water": Content(15.0, 30.0)})  # fmt: skip
    found = keeping(analyse(recipe((meal, 1))), load().reader())
    assert found.activity.high == pytest.approx(activity_of_syrup(20.0, 30.0, 6.47))
    assert found.activity.low == pytest.approx(activity_of_syrup(20.0, 15.0, 6.47))


def test_no_water_is_no_syrup():
    with pytest.raises(RecipeError, match="is no syrup"):
        activity_of_syrup(1.0, 0.0, 6.47)
