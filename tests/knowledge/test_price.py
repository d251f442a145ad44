"""A price is above 0, of a year, in somebody's money."""

from __future__ import annotations

import pytest

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import Price
from breadline.knowledge.price import price_of_bag, price_per_kg


def test_a_bag_of_25_kg_at_40():
    assert price_of_bag("soy", 40.0, 25.0, "US$", 2026) == Price(1.6, "US$", 2026, 25.0)


@pytest.mark.parametrize("amount", [0.0, -3.0, float("nan"), float("inf")])
def test_no_price_is_nought_or_below(amount):
    with pytest.raises(RecipeError, match="soy, price"):
        price_per_kg("soy", amount, "US$", 2026)
    with pytest.raises(RecipeError, match="soy, price"):
        price_of_bag("soy", amount, 25.0, "US$", 2026)


@pytest.mark.parametrize("bag", [0.0, -25.0, float("nan")])
def test_no_bag_weighs_nothing(bag):
    with pytest.raises(RecipeError, match="soy, bag"):
        price_of_bag("soy", 40.0, bag, "US$", 2026)
    with pytest.raises(RecipeError, match="soy, bag"):
        price_per_kg("soy", 1.6, "US$", 2026, bag)


def test_money_and_year_are_named():
    with pytest.raises(RecipeError, match="whose money"):
        price_per_kg("soy", 1.6, " ", 2026)
    with pytest.raises(RecipeError, match="26 is not a year"):
        price_per_kg("soy", 1.6, "US$", 26)
