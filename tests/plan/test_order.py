"""What is ordered is the sum of the loads, in whole bags, with its money and year or with none."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.errors import PlanError
from breadline.knowledge.ingredient import Price
from breadline.language import speaking
from breadline.plan.cuts import GRAMS_A_POUND, Patty
from breadline.plan.money import Amount
from breadline.plan.order import FeedToOrder, Part, SyrupToOrder, order
from breadline.plan.paper import Load, RoundVisit
from breadline.plan.portions import Step
from breadline.plan.truck_days import truck_days
from breadline.ration.measures import GALLON_L
from tests.plan.loads import METRIC, POUND, visit

READY = FeedToOrder("Ready patty", Price(3.0, "US$", 2026, 20.0))
SYRUP = SyrupToOrder("Syrup 2:1", Amount(0.9, "US$", 2026))


def loads(rounds=3, yards=4, patty=POUND, syrup=0.0):
    first = date(2026, 8, 25)
    return truck_days(
        [
            visit(n, patty, round=r, on=first + timedelta(days=14 * r), syrup_each_l=syrup, light=5)
            for r in range(1, rounds + 1)
            for n in range(yards)
        ],
        0.05,
    )


@given(st.integers(1, 5), st.integers(1, 20), st.floats(0, 8))
def test_every_round_has_its_loads_and_what_one_leaves_goes_on_the_next(rounds, yards, syrup):
    on_trucks = loads(rounds, yards, METRIC, syrup)
    asked = order(on_trucks, READY, SYRUP)
    loaded = sum(load.patties for load in on_trucks)
    given = sum(visit.patties for load in on_trucks for visit in load.visits)
    assert sum(need.patties for need in asked.rounds) == loaded
    assert 1.05 * given <= asked.patties + 1e-6
    assert asked.patties <= loaded
    assert loaded - asked.patties < len(on_trucks) + 1, "less than a patty a load goes on to the next"
    assert asked.items[0].grams == pytest.approx(asked.patties * 400.0)
    exact = sum(load.syrup_l + load.syrup_spare_l for load in on_trucks)
    poured = sum(item.litres or 0.0 for item in asked.items)
    assert poured == pytest.approx(sum(need.syrup_l for need in asked.rounds))
    assert -1e-3 <= poured - exact < rounds  # up to the whole litre, each round


def test_whole_boxes_hold_what_is_needed_and_one_less_would_not():
    (item,) = order(loads(), READY).items
    assert item.packs * item.pack_g >= item.grams > (item.packs - 1) * item.pack_g
    assert item.cost == pytest.approx(item.packs * 20.0 * 3.0)
    assert item.ready


def test_a_round_worked_by_hand():
    """Four yards of 8 half and 13, 14, 15, 16 full colonies: 74 patties, and 4 spare at one in twenty."""
    need = order(loads(1), READY).rounds[0]
    assert (need.for_hives, need.spare, need.yards, need.fed) == (74, 4, 4, 90)
    assert need.feed_g == pytest.approx(78 * GRAMS_A_POUND)
    assert (need.first, need.last) == (date(2026, 9, 8), date(2026, 9, 8))


def test_six_rounds_of_half_a_patty_take_four():
    """By hand: 6 × ½ and a twentieth are 3.15 patties; six trucks of one each would be six."""
    two = (Step(0.0, 0.0), Step(4.0, 0.25))
    visits = [visit(round=r + 1, on=date(2026, 8, 25) + timedelta(days=10 * r), counts=(0, 2), steps=two)
              for r in range(6)]  # fmt: skip
    asked = order(truck_days(visits, 0.05), READY)
    assert [need.patties for need in asked.rounds] == [1] * 6
    assert (asked.patties, asked.feed_g) == (4, pytest.approx(4 * GRAMS_A_POUND))
    assert asked.items[0].grams == pytest.approx(4 * GRAMS_A_POUND)


def test_a_mixed_feed_is_ordered_by_ingredient():
    parts = (Part("Soy", 0.3, Price(2.0, "US$", 2026, 25.0)), Part("Oil", 0.03, Price(4.0, "US$", 2025)))
    asked = order(loads(), FeedToOrder("Own mix", parts=parts))
    feed_kg = asked.patties * GRAMS_A_POUND / 1000
    soy, oil = asked.items
    assert soy.grams == pytest.approx(300 * feed_kg)
    assert oil.cost == pytest.approx(0.03 * feed_kg * 4.0)
    assert asked.cost == pytest.approx(soy.cost + oil.cost)
    assert asked.years == (2025, 2026)


def test_sugar_for_syrup_made_at_home():
    home = SyrupToOrder("syrup", sugar_kg_per_l=0.9, sugar=Price(1.1, "US$", 2026, 25.0))
    asked = order(loads(1, syrup=4.0), READY, home)
    litres = asked.rounds[0].syrup_l
    assert litres / GALLON_L == pytest.approx(round(litres / GALLON_L))
    assert asked.items[1].grams == pytest.approx(900 * litres)


def test_dry_sugar_is_ordered_by_the_price_of_sugar():
    cold = (Load((visit(light=6, dry_sugar_each_g=1000.0),), 0.1, 1),)
    home = SyrupToOrder("syrup", sugar_kg_per_l=0.9, sugar=Price(1.1, "US$", 2026, 25.0))
    dry = order(cold, READY, home).items[1]
    assert (dry.name, dry.packs) == ("Dry sugar", 1)
    assert dry.grams == pytest.approx(6 * 1000.0 * 1.1)
    assert order(cold, READY).items[1].cost is None


def test_no_sum_without_every_price_or_across_money():
    assert order(loads(), FeedToOrder("Unpriced")).cost is None
    pounds = SyrupToOrder("Syrup", Amount(0.9, "£", 2026))
    assert order(loads(syrup=4.0), READY, pounds).cost is None
    assert order(loads(syrup=4.0), READY, SYRUP).cost is not None


def test_syrup_in_the_plan_that_nobody_named_is_refused():
    with pytest.raises(PlanError, match="which syrup"):
        order(loads(syrup=4.0), READY)


def test_a_syrup_price_without_a_year_is_refused():
    with pytest.raises(PlanError, match="year"):
        order(loads(syrup=4.0), READY, SyrupToOrder("Syrup", Amount(0.9, "US$", 0)))


def test_no_loads_need_no_order():
    assert order((), READY).items == ()


def test_five_rounds_of_half_a_patty_are_three_patties():
    patty = Patty(400.0, "g")
    visits = [RoundVisit("Home", n, date(2026, 3, 1) + timedelta(7 * n), (Step(0.0, 0.25),), (2,), patty, 7)
              for n in range(1, 6)]  # fmt: skip
    asked = order([Load((visit,), 0.05, 5) for visit in visits], READY)
    assert (asked.patties, asked.items[0].grams) == (3, 1200.0)  # 1.0 kg and a twentieth


def test_two_feeds_of_one_order_are_joined_in_the_reader_s_language():
    both = (READY, FeedToOrder("Barn mix"))
    assert order(loads(), both).feed == "Ready patty and Barn mix"
    with speaking("es"):
        assert order(loads(), both).feed == "Ready patty y Barn mix"
