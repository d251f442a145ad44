"""Bought feeds by their label, what they cost, and feeds side by side. All feeds here are invented."""

from __future__ import annotations

import pytest

from breadline.errors import RecipeError
from breadline.knowledge.amino_pattern import pattern
from breadline.knowledge.ingredient import Content, Price
from breadline.knowledge.label import Label
from breadline.knowledge.label_text import Said
from breadline.ration.analysis import analyse
from breadline.ration.analysis_words import cost_sentence, label_sentences
from breadline.ration.compare import LINES, label_column, recipe_column, side_by_side
from breadline.ration.cost import recipe_cost
from breadline.ration.label import BoughtFeed, guaranteed, read_label
from breadline.ration.recipe import Recipe

from .made_up import shipped

FOUR = Price(4.0, "US$", 2024)


def bought(protein="min 15 %", basis="as fed", name="Invented", price=None, pollen=None, factor=6.25, **says):
    label = Label(name.lower(), name, {"protein": protein, **says}, basis, factor)
    return BoughtFeed(label, price, pollen)


def test_as_fed_with_a_moisture_is_a_range_of_dry_matter():
    reading = read_label(bought(moisture="max 25 %", price=FOUR))
    assert reading.protein_as_fed == Content(15.0, 15.0)
    assert (reading.protein_dry.low, reading.protein_dry.high) == (15.0, pytest.approx(20.0))
    assert reading.at_least
    assert (reading.cost.dry_matter.low, reading.cost.dry_matter.high) == (4.0, pytest.approx(4 / 0.75))
    assert reading.cost.protein.high == pytest.approx(4 / 0.15)
    assert "15 to 20 % of dry matter" in label_sentences(reading)[0]


def test_dry_with_a_moisture_is_a_range_as_fed_and_so_is_what_protein_costs():
    reading = read_label(bought("min 20 %", "dry matter", moisture="max 25 %", price=FOUR))
    assert (reading.protein_as_fed.low, reading.protein_as_fed.high) == (pytest.approx(15.0), 20.0)
    assert (reading.cost.protein.low, reading.cost.protein.high) == (
        pytest.approx(20.0),
        pytest.approx(4 / 0.15),
    )


def test_without_a_moisture_the_other_basis_is_left_open_and_said_so():
    reading = read_label(bought(price=FOUR))
    told = label_sentences(reading)
    assert "not stated" in told[0]
    assert "of dry matter" in told[0]
    assert "its water" in told[-1]
    dry = read_label(bought(basis="dry matter", price=FOUR))
    assert dry.cost.protein is None  # it may be all water


def test_a_label_cannot_tell_amino_acids_sugar_or_pollen():
    told = label_sentences(read_label(bought()))
    for part in ("amino acids", "how it keeps", "salt", "ω6 and ω3", "toasted", "real pollen"):
        assert part in told[-1]
    stated = label_sentences(read_label(bought(pollen=4.0)))
    assert "4 %" in stated[1]
    assert "pollen" not in stated[-1]
    assert "No real pollen" in label_sentences(read_label(bought(pollen=0.0)))[1]


@pytest.mark.parametrize(
    ("feed", "said"),
    [
        (bought("min 115 %"), "is over 100 %"),
        (bought("min 60 %", fat="min 50 %"), "sum to at least"),
        (bought("max 15 %"), "guarantees no protein"),
        (bought("min 15"), "has no unit"),
        (bought(basis=""), "states no basis"),
        (bought(factor=None), "does not say how protein was worked out"),
        (bought(pollen=120.0), "120 % is not possible"),
        (bought(price=Price(0.0, "US$", 2024)), "is no price"),
        (bought(price=Price(-2.0, "US$", 2024)), "is no price"),
    ],
)
def test_what_no_label_says_is_refused(feed: BoughtFeed, said: str):
    with pytest.raises(RecipeError, match=said):
        read_label(feed)


def test_a_usual_guarantee_is_a_least_of_protein_and_a_most_of_water():
    label = guaranteed("invented", "Invented", "as fed", {"protein": 15.0, "fat": 3.0, "water": 25.0})
    assert label.says == {"protein": Said(15, None), "fat": Said(3, None), "water": Said(None, 25)}
    assert read_label(BoughtFeed(label)).protein_dry.high == pytest.approx(20.0)
    with pytest.raises(RecipeError, match="is not guaranteed"):
        guaranteed("invented", "Invented", "as fed", {"lactose": 1.0})


def test_protein_on_a_factor_of_its_own_is_turned_into_crude_protein():
    reading = read_label(bought("50 %", factor=5.71))
    assert reading.protein_as_fed.low == pytest.approx(50 * 6.25 / 5.71)
    assert not reading.at_least
    assert label_sentences(reading)[0].startswith("Its label states 55 % crude protein as fed")


def priced(**prices: Price) -> Recipe:
    parts = shipped(soy_flour_defatted=20, sugar_granulated=50, water=30).parts
    return Recipe("Own patty", parts, prices)


def test_a_recipe_costs_what_its_parts_cost_and_water_is_free():
    mine = priced(soy_flour_defatted=Price(2.0, "US$", 2024), sugar_granulated=Price(1.0, "US$", 2025))
    cost = recipe_cost(mine, analyse(mine))
    assert cost.feed.low == pytest.approx(0.9)
    assert cost.protein.low == pytest.approx(0.9 / (0.2 * 0.5146), rel=1e-3)
    assert cost.unpriced == ()
    assert "prices of 2024 and 2025" in cost_sentence(cost, "kg")


def test_a_part_without_a_price_leaves_the_cost_open_upwards():
    mine = priced(soy_flour_defatted=Price(2.0, "US$", 2024))
    told = cost_sentence(recipe_cost(mine, analyse(mine)), "kg")
    assert "at least US$0.40" in told
    assert "Sugar, granulated without a price" in told
    assert recipe_cost(priced(), analyse(priced())) is None


def test_prices_in_two_moneys_are_refused():
    mine = priced(soy_flour_defatted=Price(2.0, "US$", 2024), sugar_granulated=Price(1.0, "C$", 2024))
    with pytest.raises(RecipeError, match=r"C\$ and US\$"):
        recipe_cost(mine, analyse(mine))


def columns():
    mine = priced()
    labels = (bought(name="zeta", price=FOUR), bought("min 20 %", name="Alpha", moisture="max 20 %"))
    return [
        *(label_column(read_label(x)) for x in labels),
        recipe_column(mine, analyse(mine), pattern()),
    ]


def test_feeds_stand_by_name_unless_the_user_orders_them():
    by_name = side_by_side(columns())
    assert [c.name for c in by_name.columns] == ["Alpha", "Own patty", "zeta"]
    assert by_name.order == "by name"
    own = side_by_side(columns(), ("zeta", "Own patty", "Alpha"))
    assert [c.name for c in own.columns] == ["zeta", "Own patty", "Alpha"]
    assert own.order == "your own order"


def test_what_cannot_be_said_stays_empty():
    alpha, mine, zeta = side_by_side(columns()).columns
    assert set(alpha.values) == set(LINES)
    assert alpha.values["useful protein as fed"] is None
    assert zeta.values["water"] is None
    assert zeta.values["real pollen"] is None
    assert mine.values["useful protein as fed"].high < mine.values["crude protein as fed"].high
    assert mine.values["real pollen"] == Content(0.0, 0.0)


def test_a_name_twice_and_an_order_that_does_not_fit_are_refused():
    with pytest.raises(RecipeError, match="stands there twice"):
        side_by_side([*columns(), columns()[0]])
    with pytest.raises(RecipeError, match='"Own patty" is left out'):
        side_by_side(columns(), ("zeta", "Alpha"))
    with pytest.raises(RecipeError, match='"Nobody" is none of the feeds'):
        side_by_side(columns(), ("zeta", "Alpha", "Own patty", "Nobody"))
    with pytest.raises(RecipeError, match='"zeta" is there twice'):
        side_by_side(columns(), ("zeta", "zeta", "Own patty", "Alpha"))
