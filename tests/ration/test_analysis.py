"""What a mix contains; a blank becomes a range and is named."""

from __future__ import annotations

import pytest

from breadline.errors import RecipeError
from breadline.ration.analysis import analyse
from breadline.ration.bases import AS_FED, AS_FED_OWN, DRY, SUGAR_FREE

from .made_up import SOY, SUGAR, WATER, ingredient, recipe


def test_two_parts_of_soy_to_three_of_sugar():
    mix = analyse(recipe((SOY, 2000), (SUGAR, 3000)))
    assert mix.protein(AS_FED).low == pytest.approx(20.58, abs=0.005)
    assert mix.protein(AS_FED_OWN).high == pytest.approx(18.80, abs=0.005)
    assert mix.protein(AS_FED).exact


def test_a_moist_mix_reads_higher_on_dry_matter_and_highest_without_sugar():
    mix = analyse(recipe((SOY, 3000), (SUGAR, 3000), (WATER, 2500)))
    assert mix.protein(AS_FED).low == pytest.approx(18.16, abs=0.005)
    assert mix.protein(AS_FED_OWN).low == pytest.approx(16.59, abs=0.005)
    assert mix.amount("water").low == pytest.approx(31.97, abs=0.01)  # sugar brings 0.02
    assert mix.protein(AS_FED).low < mix.protein(DRY).low < mix.protein(SUGAR_FREE).low


def test_a_blank_is_a_range_up_to_what_is_left_and_is_named():
    meal = ingredient("bean_meal", 40.0, 6.25, ("soy",), water=10.0, fat=5.0, ash=4.0, fibre=6.0)
    mix = analyse(recipe((meal, 500), (WATER, 500)))
    assert mix.amount("sugars").low == 0.0
    assert mix.amount("sugars").high == pytest.approx(19.26)  # half of 75 - 40 × 5.70 / 6.25
    assert mix.amounts["sugars"].blank == ("bean meal",)
    assert mix.amount("potassium").high == pytest.approx(2000.0)  # all of its ash
    assert mix.amount("linoleic").high == pytest.approx(2.5)  # all of its fat
    assert mix.amount("fat").exact


def test_lactose_comes_from_milk_only():
    meal = ingredient("bean_meal", 40.0, 6.25, ("soy",), water=10.0)
    powder = ingredient("milk_powder", 36.0, 6.38, ("dairy",), water=4.0, sugars=50.0)
    assert analyse(recipe((meal, 1))).amount("lactose").high == 0.0
    assert analyse(recipe((powder, 1))).amount("lactose").high == pytest.approx(50.0)


def test_no_linolenic_acid_means_no_ratio_and_a_blank_means_no_upper_limit():
    oil = ingredient("oil", fat=100.0, linoleic=60.0, linolenic=0.0)
    unknown = ingredient("seed_oil", fat=100.0, linoleic=60.0)
    none, open_ended = analyse(recipe((oil, 1))).omega, analyse(recipe((unknown, 1))).omega
    assert (none.low, none.high) == (None, None)
    assert open_ended.high is None
    assert open_ended.low == pytest.approx(60.0 / 40.0)
    assert open_ended.blank == ("seed oil",)


def test_a_part_without_a_weight_is_refused_with_its_name():
    with pytest.raises(RecipeError, match=r"Soy flour, defatted: 0 g is no amount"):
        analyse(recipe((SOY, 0.0)))
    with pytest.raises(RecipeError, match="no ingredient"):
        analyse(recipe())
    with pytest.raises(RecipeError, match="nan g is no amount"):
        analyse(recipe((SOY, float("nan"))))


def test_water_alone_has_no_dry_matter_to_be_a_per_cent_of():
    with pytest.raises(RecipeError, match="no dry matter"):
        analyse(recipe((WATER, 1.0))).protein(DRY)


def test_a_blank_beside_crude_protein_gets_the_room_that_the_protein_does_not_weigh():
    meal = ingredient("wheat_meal", 80.0, water=8.0, fat=2.0, ash=1.0, fibre=0.5, sugars=0.0)
    starch = analyse(recipe((meal, 1))).amounts["starch"]
    assert starch.content.high == pytest.approx(100.0 - 80.0 * 5.70 / 6.25 - 11.5)
