"""The order list is one page, its sums are those of the rounds, and every price has its year."""

from __future__ import annotations

import re
from datetime import date

import pytest

from breadline.errors import RecordError
from breadline.knowledge.ingredient import Price
from breadline.plan.money import Amount
from breadline.plan.order import FeedToOrder, Part, SyrupToOrder, order
from breadline.sheets.order_list import MOST_ROUNDS, order_list, order_list_data
from tests.plan.loads import METRIC, POUND
from tests.plan.test_order import READY, SYRUP, loads
from tests.sheets.read_back import MARKUP, PAPERS, SCRIPTS, claims_ua, kinds, places, read, sizes, words

ON = date(2026, 8, 10)
LONG = "Defatted toasted soy flour of the second grade, low fat, as the mill in the valley bags it"
MIXED = FeedToOrder(
    LONG, parts=tuple(Part(f"{n} {LONG}", 0.1, Price(123.45, "US$", 2026, 22.68)) for n in range(14))
)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("units", ["lb", "g"])
@pytest.mark.parametrize(
    ("rounds", "feed"), [(1, READY), pytest.param(8, MIXED, marks=pytest.mark.soak), (MOST_ROUNDS, MIXED)]
)
def test_it_is_one_page_of_the_paper_with_every_line(rounds, feed, units, paper):
    asked = order(loads(rounds, 9, POUND if units == "lb" else METRIC, 4.0), feed, SYRUP)
    pdf = order_list(asked, units, ON, paper)
    (page,) = read(pdf).pages
    assert [round(side) for side in page.mediabox[2:]] == list(PAPERS[paper])
    text = words(pdf)
    assert all(item.name[:12] in text for item in asked.items)
    wide, high = PAPERS[paper]
    assert all(20 < x < wide - 20 and 20 < y < high - 20 for _, x, y, _ in places(pdf))


def test_it_says_what_to_order_and_what_each_round_takes():
    text = words(order_list(order(loads(3, 4, POUND, 3.8), READY, SYRUP), "lb", ON, "us-letter"))
    for said in (
        "Order list · Monday 10 August 2026", "Ready patty, 3 rounds", "8 September to 6 October 2026.",
        "To order, spare included", "6 boxes of 44 lb", "US$60.00 a box (2026)", "US$360",
        "at your 2026 prices", "By round", "1 8 September 2026 4 90 74 + 4 78 lb", "In all 222 + 12 234 lb",
        "Patties of 1 lb", "Ordered by",
    ):  # fmt: skip
        assert said in text


def test_the_printed_rounds_add_up_to_the_printed_sum():
    data = order_list_data(order(loads(5, 7, METRIC, 3.3), READY, SYRUP), "g", ON, "a4")
    rows, total = data["rounds"]["rows"], data["rounds"]["sum"]
    for column in (5, 6):
        numbers = [float(re.sub(r"[^\d.]", "", row[column])) for row in rows]
        assert sum(numbers) == pytest.approx(float(re.sub(r"[^\d.]", "", total[column])))
    patties = [tuple(map(int, row[4].split(" + "))) for row in rows]
    assert " + ".join(str(sum(pair)) for pair in zip(*patties, strict=True)) == total[4]
    assert data["buy"]["rows"][1][1] == total[6]


@pytest.mark.parametrize(("money", "said"), [("€", "€0.90 a L (2026)"), ("kr", "0.90 kr a L (2026)")])
def test_a_price_has_its_money_unit_and_year(money, said):
    asked = order(loads(1, 2, METRIC, 4.0), READY, SyrupToOrder("Syrup", Amount(0.9, money, 2026)))
    assert said in words(order_list(asked, "g", ON, "a4"))


def test_a_gallon_costs_as_much_as_its_litres():
    """0.90 a litre times 3.785411784 litres is 3.41 a gallon."""
    asked = order(loads(1, 2, POUND, 4.0), READY, SYRUP)
    assert "US$3.41 a gal (2026)" in words(order_list(asked, "lb", ON, "us-letter"))


def test_a_missing_price_is_asked_for_and_no_total_is_made_up():
    text = words(order_list(order(loads(), FeedToOrder("Unpriced mix")), "lb", ON, "a4"))
    assert "No total: ask a price for Unpriced mix." in text
    foreign = SyrupToOrder("Syrup", Amount(0.9, "£", 2025))
    text = words(order_list(order(loads(syrup=4.0), READY, foreign), "lb", ON, "a4"))
    assert "different money" in text


def test_where_one_price_is_missing_the_rest_is_summed():
    """A syrup without a price: the patties' boxes stand in the sum, the syrup does not."""
    asked = order(loads(syrup=4.0), READY, SyrupToOrder("Syrup"))
    (patties,) = (item for item in asked.items if item.cost is not None)
    said = order_list_data(asked, "lb", ON, "a4")["buy"]["total"]
    assert said.startswith("No total: ask a price for Syrup. Without it ")
    number = re.search(r"Without it [^\d]*([\d,.]+)", said)
    assert number is not None
    assert float(number[1].rstrip(".,").replace(",", "")) == pytest.approx(patties.cost, abs=0.5)
    assert "2026" in said
    assert (
        "Without" not in order_list_data(order(loads(), FeedToOrder("Mix")), "lb", ON, "a4")["buy"]["total"]
    )


def test_nothing_planned_and_too_much_are_refused():
    with pytest.raises(RecordError, match="no round"):
        order_list(order((), READY), "lb", ON, "a4")
    with pytest.raises(RecordError, match="part of the plan"):
        order_list(order(loads(MOST_ROUNDS + 1, 1), READY), "lb", ON, "a4")
    with pytest.raises(RecordError, match="a4 or us-letter"):
        order_list(order(loads(), READY), "lb", ON, "legal")


def test_what_the_user_wrote_is_never_markup():
    text = words(order_list(order(loads(), FeedToOrder(MARKUP[:40])), "lb", ON, "a4"))
    assert text.count('#panic("no") $x$ *bold* _it_') == 3  # title, line, total


@pytest.mark.parametrize("name", SCRIPTS)
def test_names_in_any_script_still_make_a_page(name):
    assert len(read(order_list(order(loads(), FeedToOrder(name)), "lb", ON, "a4")).pages) == 1


def test_it_is_tagged_and_legible():
    pdf = order_list(order(loads(8), READY), "lb", ON, "a4")
    assert {"/H1", "/H2", "/Table", "/TH", "/TD"} <= kinds(pdf)
    assert claims_ua(pdf)
    assert min(sizes(pdf)) >= 8.0
