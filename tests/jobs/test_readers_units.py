"""What a reader who chose kilograms is told of a recipe in pounds, and of beetles. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from breadline.jobs.ration_terms import mixing_of
from breadline.jobs.recipe_file import read_recipe
from breadline.jobs.short_path import ShortAnswers, straight_answer, yard_of
from breadline.knowledge.countries import law_of
from breadline.knowledge.shelf import load
from breadline.language import speaking
from breadline.measures import Measures, measuring
from breadline.need.advice import advise
from breadline.ration.batch_words import about
from house import tree

RECIPE = tree.ROOT / "examples" / "first-recipe" / "recipe.toml"
GOOD = {"where": "US", "brood": "well", "mites": "low", "honey": "enough", "bees": "6", "bread": "quarter",
        "flying": "none", "first_pollen": "3"}  # fmt: skip


def test_a_batch_is_weighed_out_in_the_readers_units_and_stays_the_same_batch():
    file = read_recipe(RECIPE)
    own = mixing_of(file)
    with measuring(Measures("g")):
        kilos = mixing_of(file)
    with measuring(Measures("lb")):
        pounds = mixing_of(file)
    assert (kilos.system, pounds.system) == ("kg", "lb")
    assert replace(kilos, system=own.system) == replace(pounds, system=own.system) == own
    assert about(10_000.0, kilos.system).endswith("kg")


@pytest.mark.parametrize("spoken", ["en", "es"])
@pytest.mark.parametrize("units", ["lb", "g"])
def test_the_caution_on_beetles_leads_with_the_readers_unit(units, spoken):
    yard = yard_of(ShortAnswers(**GOOD, today=date(2026, 2, 20)), 0.0)
    yard = replace(yard, health=replace(yard.health, beetles_seen=True))
    with measuring(Measures(units)), speaking(spoken):
        told = advise(yard, None, load().reader(), law_of("US"), None)
        (text,) = [one.text for one in told.cautions if "200 g" in one.text]
    assert (text.index("½ lb") < text.index("200 g")) == (units == "lb")


@pytest.mark.parametrize(
    ("brood", "says"), [("well", "Eggs in every hive"), ("no_eggs", "A hive without eggs")]
)
def test_the_straight_answer_counts_no_hives_that_nobody_counted(brood, says):
    told = straight_answer(ShortAnswers(**GOOD | {"brood": brood}, today=date(2026, 2, 20)))
    assert next(one.detail for one in told.reasons if one.head == "Queens") == says
    assert "of 2 " not in " ".join([told.sentence, *(one.detail for one in told.reasons)])
