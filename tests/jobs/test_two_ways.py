"""Prices in moneys with no cents, and numbers that can be read in two ways, are asked and never guessed."""

from __future__ import annotations

from datetime import date

import pytest

from breadline.errors import PlanError, RecipeError, TrialError
from breadline.jobs.check_group_size_form import text_of as size_text
from breadline.jobs.rounds_file import plan_from_text
from breadline.jobs.rounds_form_merge import asked_text
from breadline.jobs.two_ways import two_readings
from breadline.language import speaking
from breadline.web.recipe_form import Typed
from jobs.test_rounds_file import EXAMPLE, plan


@pytest.mark.parametrize("money", ["CLP", "ARS", "MXN", "$"])
def test_a_price_in_a_money_whose_size_nobody_knows_is_taken(money):
    asked = plan(EXAMPLE.replace('money = "US$"', f'money = "{money}"', 1).replace("1.45", "3500", 1))
    assert asked.feeds[0].price.amount == pytest.approx(3500 / 0.45359237)
    dear = plan(
        EXAMPLE.replace('money = "US$"', f'money = "{money}"', 1).replace("fee = 190", "fee = 4500000")
    )
    assert dear.target.fee.amount == 4_500_000


@pytest.mark.parametrize("money", ["US$", "usd", "EUR", "€", "GBP", "£", "NZ$", "AU$", "A$", "CA$"])
def test_where_things_cost_some_units_a_price_in_cents_is_asked_about(money):
    with pytest.raises(PlanError, match=r"in cents, write 1\.45"):
        plan(EXAMPLE.replace('money = "US$"', f'money = "{money}"', 1).replace("1.45", "145", 1))


@pytest.mark.parametrize(("text", "money", "spoken", "readings"), [
    ("3.500", "CLP", "en", ("3500", "3.5")),
    ("3.500", "US$", "en", None),
    ("3.500", "US$", "es", ("3500", "3.5")),
    ("1,500", "US$", "en", ("1500", "1.5")),
    ("12.345", "ARS", "en", ("12345", "12.3450")),  # written as before it would be asked about again
    ("0.500", "CLP", "en", None),
    ("3.50", "CLP", "en", None),
    ("3500", "CLP", "es", None),
])  # fmt: skip
def test_three_digits_behind_one_sign_may_be_thousands(text, money, spoken, readings):
    with speaking(spoken):
        assert two_readings(text, money) == readings


@pytest.mark.parametrize("key", ["feed.price", "work.wage", "target.fee"])
def test_rounds_ask_which_number_was_meant(key):
    with pytest.raises(PlanError, match=r'"3\.500" can be read in two ways') as told:
        asked_text("frames", {"money": "CLP", key: "3.500"})
    assert told.value.where == key
    assert "Write 3500." in told.value.do
    assert "Write 3.5" in told.value.do


def in_pesos(price: str) -> str:
    return EXAMPLE.replace('money = "US$"', 'money = "CLP"', 1).replace("price = 1.45", f"price = {price}", 1)


def test_a_plan_file_asks_too_and_takes_what_it_says_to_write():
    """TOML itself reads 3.500 as 3.5, whatever the keeper meant."""
    for typed, whole, part in (("3.500", "3500", "3.5"), ("12.345", "12345", "12.3450")):
        with pytest.raises(PlanError, match=f'"{typed}" can be read in two ways') as told:
            plan(in_pesos(typed))
        assert "line" in told.value.where
        assert "price" in told.value.where
        for written, amount in ((whole, float(typed) * 1000), (part, float(typed))):
            assert f"Write {written}" in told.value.do
            assert plan(in_pesos(written)).feeds[0].price.amount == pytest.approx(amount / 0.45359237)


@pytest.mark.parametrize(
    ("key", "line"), [("fee", "fee = 190"), ("wage", "wage = 20"), ("mile", "mile = 0.70")]
)
def test_of_every_price_in_it(key, line):
    of = EXAMPLE.replace('money = "US$"', 'money = "CLP"', 1)
    assert line in of
    with pytest.raises(PlanError, match="two ways") as told:
        plan(of.replace(line, f"{key} = 45.000", 1))
    assert key in told.value.where


def test_in_dollars_a_point_is_a_point_and_in_spanish_it_is_asked():
    fine = EXAMPLE.replace("price = 1.45", "price = 1.455", 1)
    assert plan(fine).feeds[0].price.amount == pytest.approx(1.455 / 0.45359237)
    with speaking("es"), pytest.raises(PlanError):
        plan(fine)
    assert plan(EXAMPLE.replace("grade = 8 ", "grade = 8.000 ", 1)).target.grade == 8.0, "no price"


def test_what_a_program_wrote_or_a_book_kept_is_not_asked_about():
    for as_is in ({"by_hand": False}, {"read_back": True}):
        asked = plan_from_text(in_pesos("3.500"), date(2026, 1, 20), **as_is)
        assert asked.feeds[0].price.amount == pytest.approx(3.5 / 0.45359237)


def test_so_do_recipes_and_the_size_of_a_check_group():
    sent = {"money": "CLP", "price-0-of": "sugar", "price-0-price": "3.500", "price-0-per": "kg"}
    with pytest.raises(RecipeError, match="two ways") as told:
        Typed(sent).tables({}, ("money", "price"))
    assert told.value.where == "price-0-price"
    kept = Typed(sent | {"price-0-price": "3500"}).tables({}, ("money", "price"))
    assert kept["price"][0]["price"] == 3500
    with pytest.raises(TrialError, match="two ways"):
        size_text({"money": "CLP", "cost": "3.500"}, [], date(2026, 1, 20))
