"""Sums that owners repeat to each other, as they were published or worked by hand."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from math import ceil

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.plan.break_even import (
    break_even,
    check_words,
    cost_of_pounds,
    more_in_a_hundred,
    price_of_a_check,
)
from breadline.plan.targets import HoneyFlow, KeepAlive, Splits
from plan.spring_yard import contract, dollars


@pytest.mark.parametrize(("cost", "points"), [(15.0, 8.0), (18.0, 9.6), (22.0, 11.7)])
def test_points_that_pay_at_the_fee_of_2023(cost, points):
    """Cost over fee, at the US$188 that NASS printed for 2023; by hand."""
    assert more_in_a_hundred(cost, 188.0) == pytest.approx(points, abs=0.05)


def test_fourteen_pounds_of_a_quote():
    cost = cost_of_pounds(14.0, 1.45)
    assert cost == pytest.approx(20.30)
    assert more_in_a_hundred(cost, 188.0) == pytest.approx(10.8, abs=0.05)
    said = break_even(contract(), cost, "US$", 2023)
    assert said == (
        "Feeding at US$20 a colony pays if 11 more in a hundred colonies make grade, "
        "at US$188 a colony (2023)."
    )


def test_what_it_takes_is_never_told_as_less():
    """US$2 at US$188 is 1.06 in a hundred: one more does not pay it; by hand."""
    assert "pays if 2 more in a hundred" in break_even(contract(), 2.0, "US$", 2023)


@pytest.mark.parametrize(
    ("points", "lost", "net"), [(10.0, 376.0, -16.0), (20.0, 752.0, -392.0), (0.0, 0.0, 360.0)]
)
def test_what_twenty_unfed_colonies_cost(points, lost, net):
    """20 unfed, fee US$188, US$18 of feed a colony; by hand."""
    of = price_of_a_check(20, points, 188.0, 18.0)
    assert (of.lost, of.saved, of.net) == pytest.approx((lost, 360.0, net))


def test_what_a_check_group_costs_in_words():
    said = check_words(20, 10.0, price_of_a_check(20, 10.0, 188.0, 18.0), "US$")
    assert said == (
        "20 colonies left unfed: if feeding lifts 10 in a hundred over the line it costs US$16; "
        "if it does nothing you keep US$360."
    )


@pytest.mark.parametrize(("price_lb", "pounds"), [(2.0, 9), (1.5, 12)])
def test_honey_that_pays_for_eighteen_dollars(price_lb, pounds):
    flow = HoneyFlow(date(2027, 5, 1), date(2027, 6, 1), 30.0, dollars(price_lb / 0.45359237))
    assert f"({pounds} lb) more honey" in break_even(flow, 18.0, "US$", 2026)


def test_splits_that_pay():
    """C$225 a nuc of 2021 at C$18 a colony: one for 12 to 13 colonies."""
    said = break_even(Splits(date(2027, 5, 1), 4.0, 6.0, dollars(225.0, 2021)), 18.0, "C$", 2021)
    assert "every 12 colonies fed, at C$225 a split (2021)" in said


@pytest.mark.parametrize(("cost", "colonies"), [(20.0, 7), (55.0, 2), (75.0, 2), (2.185, 68)])
def test_a_split_is_never_told_to_pay_for_more_colonies_than_it_does(cost, colonies):
    said = break_even(Splits(date(2027, 5, 1), 4.0, 6.0, dollars(150.0)), cost, "US$", 2026)
    assert f"every {colonies} colonies fed" in said
    assert colonies * cost <= 150.0 < (colonies + 1) * cost


@pytest.mark.parametrize(
    ("cost", "fee", "told"),
    [
        (4.504, 45.0, "Feeding at US$4.50 a colony pays if 10 more in a hundred"),  # 10.009 of the bare sum
        (4.506, 45.0, "Feeding at US$4.51 a colony pays if 11 more in a hundred"),
        (18.0, 190.0, "Feeding at US$18 a colony pays if 10 more in a hundred"),
        (18.4, 44.6, "Feeding at US$18.40 a colony pays if 42 more in a hundred"),  # 18 of 45 are 40
        (10.49, 10.5, "Feeding at US$10.49 a colony pays if 100 more in a hundred"),  # 10 of 11 are 91
        (45.4, 45.0, "Feeding at US$45.40 a colony pays never: it is more than the US$45.00"),
    ],
)
def test_a_break_even_is_what_a_reader_works_out_from_the_money_as_it_is_told(cost, fee, told):
    assert told in break_even(contract(fee=fee), cost, "US$", 2023)


@given(st.integers(1, 30000), st.integers(1, 30000))
def test_a_break_even_never_tells_fewer_than_it_takes_and_agrees_with_its_own_money(cost, fee):
    said = break_even(contract(fee=fee / 100), cost / 100, "US$", 2023)
    a, b = (float(one.replace(",", "")) for one in re.findall(r"US\$([\d,]+(?:\.\d\d)?)", said)[:2])
    found = re.search(r"if (\d+) more", said)
    if found is None:
        assert cost > fee
        assert a > b
    else:
        n = int(found[1])
        assert n * fee >= 100 * cost, "fewer than it takes"
        assert n == 1 or (n - 1) * fee < 100 * cost
        assert n == max(1, ceil(100 * a / b - 1e-9))


def test_a_break_even_of_splits_and_of_honey_is_of_the_money_as_it_is_told():
    splits = Splits(date(2027, 5, 1), 4.0, 6.0, dollars(150.4))
    said = break_even(splits, 50.2, "US$", 2026)  # three of them cost 150.60; 150 by 50 would be 3
    assert "at US$50.20 a colony pays if one split more comes of every 2 colonies fed, at US$150.40" in said
    flow = HoneyFlow(date(2027, 5, 1), date(2027, 6, 1), 30.0, dollars(2.004))
    said = break_even(flow, 16.45, "US$", 2026, "g")
    assert "at US$16.45 a colony pays if it brings 8.2 kg more honey a colony, at US$2.00 a kg" in said


def test_a_cost_above_the_fee_never_pays():
    assert "never" in break_even(contract(fee=10.0), 18.0, "US$", 2023)


def test_what_a_colony_below_the_line_is_paid_is_no_gain():
    """US$190 at the line and US$120 below it leave US$70: US$7 of cost is 10 in a hundred; by hand."""
    of = replace(contract(fee=190.0), below=dollars(120.0, 2023))
    said = break_even(of, 7.0, "US$", 2023)
    assert "10 more in a hundred colonies make grade, at US$70 a colony over one below the line" in said
    assert "never" in break_even(replace(of, below=dollars(190.0, 2023)), 7.0, "US$", 2023)


def test_where_a_sample_decides_it_is_seasons_that_are_counted():
    said = break_even(contract("sample_average", fee=190.0), 19.0, "US$", 2023)
    assert "by its average, if the sample makes it in 10 more of a hundred seasons" in said


def test_a_split_that_costs_more_than_it_brings():
    split = Splits(date(2027, 5, 1), 4.0, 6.0, dollars(10.0))
    assert "never" in break_even(split, 25.0, "US$", 2026)
    assert "a colony gives 1.5 splits more" in break_even(split, 15.0, "US$", 2026)


def test_honey_in_the_keepers_own_unit_only():
    flow = HoneyFlow(date(2027, 5, 1), date(2027, 6, 1), 30.0, dollars(2.0 / 0.45359237))
    pounds, kilograms = (break_even(flow, 18.0, "US$", 2026, units) for units in ("lb", "g"))
    assert "9 lb more honey a colony, at US$2.00 a lb (2026)" in pounds
    assert "kg" not in pounds
    assert "4.1 kg more honey" in kilograms
    assert "lb" not in kilograms


def test_colonies_that_live():
    said = break_even(KeepAlive(date(2027, 5, 1), 3.0, dollars(150.0)), 15.0, "US$", 2026)
    assert "10 more in a hundred colonies live" in said
