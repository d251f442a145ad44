"""What a plan takes, as its page and the terminal tell it, against its order list: feed, syrup and money."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from breadline.jobs.rounds_needs import needs, needs_words, order_words
from breadline.jobs.rounds_paper import Printing, papers
from breadline.jobs.rounds_words import break_even_of
from breadline.jobs.rounds_yard_paper import yard_paper
from breadline.plan.cuts import GRAMS_A_POUND
from breadline.plan.money import Amount
from breadline.plan.money import told as money_told
from breadline.plan.targets import HoneyFlow
from breadline.ration.measures import GALLON_L
from breadline.sheets.order_list import order_list_data
from jobs.first_rounds import TEXT, YARD, told_of

LIGHT = TEXT.replace("honey_lb = 30 ", "honey_lb = 8 ").replace("fee = 190 ", "fee = 900 ")


@pytest.fixture(scope="module")
def light():
    return told_of(LIGHT)


def listed(told):
    return papers([yard_paper(told, told.plans[told.best_at])], Printing(YARD.today)).order


def test_syrup_stands_in_what_to_order_as_on_the_order_list(light):
    best, order = light.plans[light.best_at], listed(light)
    (syrup,) = (item for item in order.items if item.litres is not None)
    of = needs(light, best)
    assert of.beside == (syrup,)
    assert (of.total, of.cost) == (order.cost, order.items[0].cost)
    assert of.total == pytest.approx(of.cost + of.sugar_cost)
    said, row = order_words(light, best), order_list_data(order, "lb", YARD.today, "us-letter")["buy"]
    (line,) = (one for one in row["rows"] if one[0] == syrup.name)
    assert (
        f"; {line[1]} of syrup, 67 % sugar, about {money_told(syrup.cost, 'US$')} at the 2026 quote" in said
    )
    assert f"in all {money_told(order.cost, 'US$')}." in said
    assert f"; {line[1]} of syrup, 67 % sugar" in needs_words(light, best)


def test_the_cost_a_colony_says_how_much_of_that_syrup_is_in_it(light):
    best, order = light.plans[light.best_at], listed(light)
    (syrup,) = (item for item in order.items if item.litres is not None)
    # By hand: US$0.40 a pound, 1.32 kg a litre.
    by_hand = syrup.litres * 1.32 * 1000.0 / GRAMS_A_POUND * 0.40
    assert needs(light, best).sugar_cost == pytest.approx(by_hand)
    said = order_words(light, best)
    assert f"Syrup and sugar are {money_told(by_hand / 40, 'US$')} a colony of that" in said
    assert f"in the cost a colony stands {money_told(best.cost.syrup, 'US$')}" in said
    assert best.cost.syrup < by_hand / 40


def test_without_its_weight_a_litre_costs_by_the_weight_that_its_litres_are_worked_out_with():
    told = told_of(LIGHT.replace("kg_a_litre = 1.32\n", ""))
    (syrup,) = (item for item in listed(told).items if item.litres is not None)
    pounds = syrup.litres * 1.3 * 1000.0 / GRAMS_A_POUND
    assert syrup.cost == pytest.approx(pounds * 0.40)
    assert syrup.litres / GALLON_L == pytest.approx(round(syrup.litres / GALLON_L)), "whole gallons"
    assert listed(told).cost is not None


def test_sugar_whose_price_nobody_gave_is_asked_for(light):
    best = light.plans[light.best_at]
    paper = yard_paper(light, best)
    cold = replace(paper, visits=tuple(replace(v, syrup_each_l=0.0, dry_sugar_each_g=900.0, light=v.colonies)
                                       for v in paper.visits))  # fmt: skip
    order = papers([cold], Printing(YARD.today)).order
    (sugar,) = (item for item in order.items if item.beside)
    assert (sugar.cost, order.cost) == (None, None)


def test_where_stores_are_plenty_nothing_of_syrup_is_told():
    told = told_of(TEXT.replace("honey_lb = 30 ", "honey_lb = 90 ").replace("fee = 190 ", "fee = 900 "))
    best = told.plans[told.best_at]
    assert best.plan.pieces
    assert not needs(told, best).beside
    assert "syrup" not in order_words(told, best).lower()


def test_the_break_even_of_a_plan_for_a_flow_is_in_the_keepers_own_unit(light):
    """NZ$6 a kilogram: kilograms there, pounds here, and never both."""
    flow = HoneyFlow(date(2026, 4, 10), date(2026, 5, 20), 30.0, Amount(6.0, "US$", 2026))
    best = light.plans[light.best_at]
    said = {}
    for units in ("g", "lb"):
        patty = replace(light.allowed.patty, units=units)
        of = replace(
            light, plan=replace(light.plan, target=flow), allowed=replace(light.allowed, patty=patty)
        )
        said[units] = break_even_of(of, best)
    assert "kg" in said["g"]
    assert "lb" not in said["g"]
    assert "lb" in said["lb"]
    assert "kg" not in said["lb"]


def test_half_a_kilogram_of_the_order_is_not_rounded_away(light):
    """21 patties of 500 g are 10.5 kg on the order list, and so where the plan is chosen; not 10."""
    best = light.plans[light.best_at]
    patty = replace(light.allowed.patty, units="g")
    metric = replace(light, allowed=replace(light.allowed, patty=patty))
    order = listed(light)
    row = order_list_data(order, "g", YARD.today, "a4")["rounds"]["sum"]
    kg = order.feed_g / 1000.0
    assert abs(kg - round(kg)) > 0.05, "a case with a part of a kilogram"
    assert f"{order.patties} patties, {row[5]}" == needs_words(metric, best).split("; ")[0]
    assert row[5] == f"{kg:.1f} kg"
