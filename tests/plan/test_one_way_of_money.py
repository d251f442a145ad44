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


def test_with_cents_and_below_nothing():
    assert order_list._to_the_cent(48.0, "EUR") == "48.00 EUR"
    assert money.told(5.5, "EUR") == "5.50 EUR"
    assert money.about(-20.0, "EUR") == "−20 EUR"
    assert money.about(-20.0, "US$") == "−US$20"
    assert of_money("+7", "$") == "+$7"
