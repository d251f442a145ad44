"""Money is written one way, on pages, charts, paper and at the terminal. Amounts made up."""

from __future__ import annotations

import pytest

from breadline.measures import of_money
from breadline.pictures import check_group_chart
from breadline.plan import money, stop
from breadline.ration import plain_words
from breadline.sheets import order_list
from breadline.verdict import amounts

WAYS = (
    lambda of: money.told(48.0, of),
    lambda of: money.about(48.0, of),
    lambda of: stop.money_words(48.0, of),
    lambda of: check_group_chart._money(48.0, of),
    lambda of: plain_words.money(48.0, of),
    lambda of: amounts.money(48.0, of, 1.0, signed=False),
    lambda of: amounts.as_paid(money.Amount(48.0, of, 2026)),
)


@pytest.mark.parametrize("way", WAYS)
@pytest.mark.parametrize(
    ("of", "said"), [("EUR", "48 EUR"), ("kr", "48 kr"), ("US$", "US$48"), ("€", "€48"), ("NZ$", "NZ$48")]
)
def test_a_sign_stands_before_the_number_and_a_code_behind_it(way, of, said):
    assert way(of) == said


@pytest.mark.parametrize(
    ("amount", "by_sheet", "by_search"),
    [(10.5, "US$11", "US$11"), (12.5, "US$13", "US$13"), (0.125, "US$0.13", "US$0"),
     (105.0, "US$105", "US$110"), (1005.0, "US$1,010", "US$1,010"), (-12.5, "−US$13", "−US$13")],
)  # fmt: skip
def test_a_half_is_rounded_as_in_verdicts(amount, by_sheet, by_search):
    assert money.told(amount, "US$") == by_sheet
    assert money.about(amount, "US$") == by_search
    if abs(amount) >= 10.0:
        assert amounts.money(amount, "US$", 10.0 if amount > 999 else 1.0, signed=False) == by_sheet


def test_with_cents_and_below_nothing():
    assert order_list._to_the_cent(48.0, "EUR") == "48.00 EUR"
    assert money.told(5.5, "EUR") == "5.50 EUR"
    assert money.about(-20.0, "EUR") == "−20 EUR"
    assert money.about(-20.0, "US$") == "−US$20"
    assert of_money("+7", "$") == "+$7"
