"""Money and shares as people say them, checked by hand."""

from __future__ import annotations

import pytest

from breadline.knowledge.ingredient import Content
from breadline.ration.plain_words import listed, money, percent, price, prices, small_money


def test_a_price_is_told_of_a_pound_or_of_a_kilogram():
    # 0.45359237 kg to a pound: 1.79 × 0.45359237 = 0.8119
    assert (price(1.79, "US$", "lb"), price(1.79, "US$", "kg")) == ("US$0.81", "US$1.79")


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [(18.32, 21.04, "€18 to €21"), (5.1, 5.23, "€5.10 to €5.23"), (6.9, 57.5, "€6.90 to €58")],
)
def test_both_ends_of_a_price_are_as_fine_as_the_coarser(low, high, said):
    assert prices(Content(low, high), "€", "kg") == said


@pytest.mark.parametrize(
    ("per_kg", "said"),
    [(0.0005, "less than ¼ cent"), (0.0026, "¼ cent"), (0.005, "½ cent"), (0.0099, "1 cent"),
     (0.03, "3 cents"), (0.24, "US$0.24")],
)  # fmt: skip
def test_a_little_money_is_told_in_cents(per_kg, said):
    assert small_money(per_kg, "US$", "kg") == said


def test_money_without_cents_keeps_one_figure():
    assert small_money(0.0437, "kr", "kg") == "0.04 kr"
    assert small_money(0.0002, "£", "kg") == "less than £0.001"


def test_money_is_written_where_its_unit_is_written():
    assert (money(1.239, "€"), money(310.4, "€"), money(12.0, "kr")) == ("€1.24", "€310", "12.00 kr")


@pytest.mark.parametrize(
    ("share", "said"), [(0.292, "29 %"), (0.0263, "2.6 %"), (0.01, "1 %"), (0.0003, "under 0.1 %")]
)
def test_shares_are_whole_from_ten_per_cent_on(share, said):
    assert percent(share) == said


def test_names_with_commas_are_kept_apart():
    assert listed(("soy", "oil")) == "soy and oil"
    assert listed(("Soy flour, defatted", "oil", "Sugar, granulated")) == (
        "Soy flour, defatted; oil; and Sugar, granulated"
    )
