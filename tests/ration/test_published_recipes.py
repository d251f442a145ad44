"""Recipes and compositions that others printed, against what the analysis makes of them.

Composition: USDA National Nutrient Database for Standard Reference, release 26, read in a copy. Where a
yeast is used it comes from memory (NRC 1998), so those are tests of arithmetic and bear that name.
"""

from __future__ import annotations

import pytest

from breadline.knowledge.shelf import load
from breadline.ration.analysis import analyse
from breadline.ration.bases import AS_FED, AS_FED_OWN, DRY
from breadline.ration.inhibitor import inhibitor_risk
from breadline.ration.rules import salt_pct

from .made_up import ingredient, recipe, shipped

YEAST_FROM_MEMORY = ingredient("yeast_from_memory", 45.9, traits=("yeast",), water=7.0)


def test_two_of_soy_to_three_of_sugar():
    # dry mix of the Encyclopedia of Beekeeping 1985, as quoted by a West Virginia association
    mix = analyse(shipped(soy_flour_defatted=2000, sugar_granulated=3000))
    assert mix.protein(AS_FED).low == pytest.approx(20.58, abs=0.005)
    assert mix.protein(AS_FED_OWN).low == pytest.approx(18.80, abs=0.005)


def test_three_of_soy_three_of_sugar_two_and_a_half_of_water():
    # moist mix of the same source
    mix = analyse(shipped(soy_flour_defatted=3000, sugar_granulated=3000, water=2500))
    assert mix.protein(AS_FED).low == pytest.approx(18.16, abs=0.005)
    assert mix.protein(AS_FED_OWN).low == pytest.approx(16.59, abs=0.005)
    assert mix.amount("water").low == pytest.approx(31.97, abs=0.01)  # the sugar brings 0.02 % of its own


def test_the_lactose_of_a_fifth_of_skim_milk():
    # Haydak's 3:1:1, as quoted by Gregory 1995; USDA 1091 holds 51.98 g of sugars, all but all lactose
    mix = analyse(recipe(
        *((part.ingredient, part.grams) for part in shipped(soy_flour_defatted=3, milk_nonfat_dry=1).parts),
        (YEAST_FROM_MEMORY, 1.0),
    ))  # fmt: skip
    assert mix.amount("lactose").high == pytest.approx(10.40, abs=0.005)


def test_a_recipe_that_states_a_quarter_of_dry_substance():
    # a European beekeeping page: "25 % of dry substance"; isolates 90 %, yeast 40 %, oil 0.92 kg a litre
    isolate = ingredient("isolate", 90.0, water=5.0)
    yeast = ingredient("yeast", 40.0, water=7.0)
    rest = ingredient("acid_spice_and_oil", 0.0, water=0.0)
    yolk, sugar, water = (
        part.ingredient for part in shipped(egg_yolk_dried=1, sugar_granulated=1, water=1).parts
    )
    mix = analyse(recipe((yolk, 2.5), (isolate, 6), (yeast, 18), (sugar, 27), (rest, 4.136), (water, 12)))
    assert mix.protein(DRY).middle == pytest.approx(25.0, abs=1.5)
    assert mix.protein(DRY).middle == pytest.approx(24.0, abs=0.1)
    assert mix.protein(AS_FED).middle == pytest.approx(
        19.2, abs=0.15
    )  # how it took its litres of oil is not said


@pytest.mark.parametrize(
    ("oil", "over"),
    [("canola_oil", 2.080), ("flaxseed_oil", 0.268), ("soybean_oil", 7.505), ("corn_oil", 46.09)],
)
def test_linoleic_over_linolenic_acid_of_the_usda_oils(oil: str, over: float):
    found = analyse(shipped(**{oil: 100.0})).omega
    digits = 2 if over > 10 else 3
    assert round(found.low, digits) == round(found.high, digits) == over


@pytest.mark.parametrize(("sugar", "water", "per_cent"), [(2000, 1000, 33.33), (1000, 1000, 50.00)])
def test_the_water_of_a_syrup_by_weight(sugar: float, water: float, per_cent: float):
    found = analyse(shipped(sugar_granulated=sugar, water=water)).amount("water").low
    assert found == pytest.approx(per_cent, abs=0.02)  # the sugar brings 0.02 % of its own


def test_the_minerals_of_a_fifth_of_soy():
    rest = ingredient("nothing", water=100.0, ash=0.0, sodium=0.0, potassium=0.0)
    mix = analyse(recipe((shipped(soy_flour_defatted=1).parts[0].ingredient, 20), (rest, 80)))
    assert mix.amount("potassium").low == pytest.approx(477, abs=0.5)
    assert mix.amount("ash").low == pytest.approx(1.23, abs=0.005)
    assert mix.amount("sodium").low == pytest.approx(4, abs=0.5)


def test_the_salt_of_a_tenth_of_dried_egg_white():
    rest = ingredient("nothing", water=100.0, sodium=0.0)
    mix = analyse(recipe((shipped(egg_white_dried=1).parts[0].ingredient, 10), (rest, 90)))
    assert mix.amount("sodium").low == pytest.approx(128, abs=0.5)
    assert salt_pct(mix.amount("sodium").low) == pytest.approx(0.325, abs=0.0005)


def test_raw_soy_is_told_from_toasted():
    reader = load().reader()
    raw = inhibitor_risk(analyse(shipped(soy_flour_full_fat_raw=200, sugar_granulated=800)))
    toasted = inhibitor_risk(analyse(shipped(soy_flour_defatted=200, sugar_granulated=800)))
    assert (raw.risk, toasted.risk) == ("raw soy in it", "heated soy only")
    assert raw.sentence(reader).startswith("20 % of it is raw soy")
    assert inhibitor_risk(analyse(shipped(casein=1))).risk == "no soy"


def test_arithmetic_with_a_yeast_from_memory():
    moist = analyse(recipe((YEAST_FROM_MEMORY, 3), *_of(sugar_granulated=3, water=2.5)))
    dry = analyse(recipe((YEAST_FROM_MEMORY, 2), *_of(sugar_granulated=3)))
    haydak = analyse(recipe((YEAST_FROM_MEMORY, 1), *_of(soy_flour_defatted=3, milk_nonfat_dry=1)))
    assert moist.protein(AS_FED).low == pytest.approx(16.20, abs=0.005)
    assert dry.protein(AS_FED).low == pytest.approx(18.36, abs=0.005)
    assert haydak.protein(AS_FED).low == pytest.approx(47.14, abs=0.005)


def test_arithmetic_of_a_cake_whose_recipe_is_from_memory():
    pollen = ingredient("pollen_of_a_fifth", 20.0, traits=("pollen",), water=10.0)
    mix = analyse(recipe((pollen, 1), *_of(soy_flour_defatted=3, sugar_granulated=8, water=4)))
    assert mix.protein(AS_FED).low == pytest.approx(10.90, abs=0.005)
    assert mix.protein(AS_FED_OWN).low == pytest.approx(10.06, abs=0.005)
    assert mix.pollen_share == pytest.approx(1 / 16)


def _of(**grams: float):
    return [(part.ingredient, part.grams) for part in shipped(**grams).parts]
