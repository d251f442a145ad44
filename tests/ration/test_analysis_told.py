"""All that an analysis says of a recipe, in its order."""

from __future__ import annotations

from dataclasses import replace

import pytest

from breadline.knowledge.amino_pattern import pattern
from breadline.knowledge.ingredient import Price
from breadline.knowledge.shelf import load
from breadline.ration.analysis_told import told_of

from .made_up import SHIPPED, shipped


def told(recipe):
    return told_of(recipe, pattern(), load().reader())


def test_contents_come_first_and_what_it_is_not_worth_comes_last():
    sentences = told(shipped(soy_flour_defatted=3, sugar_granulated=6, water=2)).sentences("kg")
    assert "crude protein as fed" in sentences[0]
    assert sentences[-1].startswith("An analysis does not say what a feed is worth to a colony.")


def test_without_prices_nothing_is_said_of_cost_and_with_them_it_is():
    mix = shipped(soy_flour_defatted=3, sugar_granulated=6, water=2)
    priced = replace(mix, prices={"soy_flour_defatted": Price(1.0, "US$", 2025)})
    assert not any("costs" in sentence for sentence in told(mix).sentences("kg"))
    assert any("It costs at least" in sentence for sentence in told(priced).sentences("kg"))


@pytest.mark.parametrize("key", sorted(SHIPPED))
def test_every_shipped_ingredient_can_be_told_of_alone(key: str):
    found = told(shipped(**{key: 1000.0}))
    words = " ".join(found.sentences("kg"))
    assert (found.amino is None) == (SHIPPED[key].protein.high == 0)
    assert not any(odd in words for odd in ("nan", "inf ", "None", "-0"))
    for amount in found.analysis.amounts.values():
        assert 0 <= amount.content.low <= amount.content.high
    if found.amino:
        assert 0 <= found.amino.useful_protein.low <= found.amino.useful_protein.high
