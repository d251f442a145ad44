"""The mixing room reads what it must mind; a refused feed gets no sheet."""

from __future__ import annotations

import pytest

from breadline.errors import RecipeError
from breadline.knowledge.countries import law_of
from breadline.knowledge.shelf import load
from breadline.ration.rules import Circumstances, rules_for
from breadline.sheets.batch_cautions import NO_DRUGS, mixing_room_lines
from tests.ration.made_up import SOY, SUGAR, ingredient, recipe


def lines(*kinds, **known):
    mix = recipe(*((kind, 1.0) for kind in kinds))
    return mixing_room_lines(rules_for(mix, {}, Circumstances(**known), law_of("US"), load().reader()))


def test_allergens_and_dust_are_told_and_advice_on_the_recipe_is_not():
    told = lines(SOY, SUGAR)
    assert any("allergens" in line for line in told)
    assert any("mask" in line and "sparks" in line for line in told)
    assert not any("six weeks" in line for line in told)
    assert told[-1] == NO_DRUGS


def test_a_caution_comes_first():
    assert "live yeast" in lines(ingredient("baker", traits=("live yeast", "powder")), SUGAR)[0]


def test_a_refused_feed_gets_no_sheet():
    with pytest.raises(RecipeError, match="pollen"):
        lines(ingredient("bought_pollen", 20.0, traits=("pollen",)), SUGAR)
