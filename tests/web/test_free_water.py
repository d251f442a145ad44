"""What costs nothing and what is no year, on the page of a recipe. Invented."""

from __future__ import annotations

import pytest

from breadline.errors import RecipeError
from breadline.jobs.recipe_file import recipe_from_text
from breadline.web.recipe_form import Typed, text_of

SENT = {
    "name": "Syrup and yeast", "money": "NZ$", "year": "2026",
    "part-0-ingredient": "yeast_brewers_dried", "part-0-amount": "1",
    "part-0-unit": "kg", "part-1-ingredient": "water", "part-1-amount": "1", "part-1-unit": "kg",
    "price-0-of": "yeast_brewers_dried", "price-0-price": "6", "price-0-per": "kg",
    "price-1-of": "water", "price-1-price": "0", "price-1-per": "kg",
}  # fmt: skip
SECTIONS = ("name", "money", "year", "part", "price")


def read(**typed: str):
    tables = Typed(SENT | typed).tables({}, SECTIONS)
    return recipe_from_text(text_of(tables), "recipe")


@pytest.mark.parametrize("nothing", ["0", "0.0", ""])
def test_water_for_nothing_is_water_without_a_price(nothing):
    assert [one.of for one in read(**{"price-1-price": nothing}).quotes] == ["yeast_brewers_dried"]


@pytest.mark.parametrize("price", ["-6", "0"])
def test_of_all_else_a_price_of_nought_or_below_is_refused(price):
    with pytest.raises(RecipeError, match=price):
        read(**{"price-0-price": price})


@pytest.mark.parametrize("typed", [{}, {"price-0-price": ""}])
def test_what_is_no_year_is_refused_also_where_no_price_goes_by_it(typed):
    with pytest.raises(RecipeError, match="year"):
        read(year="20x", **typed)
