"""Loads are the sum of their yards plus the spare, and the borders are one line."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from fractions import Fraction
from math import ceil, inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.errors import PlanError
from breadline.knowledge.shelf import load as shelf
from breadline.need.yard import Place
from breadline.plan.bands import Band
from breadline.plan.combining import Pair
from breadline.plan.mixing_days import mixing_days
from breadline.plan.paper import MOST_YARDS, Load, usual_spare
from breadline.plan.portions import Step
from breadline.plan.truck_days import Drive, round_visits, truck_days
from breadline.ration.batch import batch_of
from tests.plan.loads import METRIC, POUND, load, steps, visit
from tests.ration.mixing_room import CREW, DRY_FALL

COUNT = st.integers(0, 400)
QUARTERS = st.integers(0, 24).map(lambda n: n / 4)


@given(st.lists(st.tuples(COUNT, COUNT, COUNT), min_size=1, max_size=9), QUARTERS, QUARTERS, st.floats(0, 1))
def test_a_load_is_the_sum_of_its_yards_rounded_up_and_the_spare(counts, one, other, spare):
    visits = tuple(visit(counts=each, steps=steps(4.0, 8.0, one, other)) for each in counts)
    exact = sum(h * Fraction(one) + f * Fraction(other) for _, h, f in counts)
    on_truck = Load(visits, spare, 1)
    assert on_truck.for_hives == ceil(exact)
    assert on_truck.patties == on_truck.for_hives + on_truck.spare_patties
    assert float(exact) * (1 + spare) <= on_truck.patties + 1e-6
    assert on_truck.patties < float(exact) * (1 + spare) + 1


@given(st.lists(st.tuples(st.floats(0, 20), st.integers(0, 24)), min_size=1, max_size=9))
def test_syrup_is_the_sum_of_its_yards_and_the_spare(amounts):
    visits = tuple(visit(syrup_each_l=each, light=n) for each, n in amounts)
    on_truck = Load(visits, 0.1, 1)
    assert on_truck.syrup_l == pytest.approx(sum(each * n for each, n in amounts))
    assert on_truck.syrup_spare_l == pytest.approx(on_truck.syrup_l / 10)


def test_the_rest_of_a_patty_that_is_opened_anyway_is_spare():
    """Two hives of a quarter each: half a patty is left of one, where a twentieth was to be spare."""
    two = Load((visit(counts=(0, 2), steps=(Step(0.0, 0.0), Step(4.0, 0.25))),), 0.05, 1)
    assert (two.for_hives, two.spare_patties, two.spare_words) == (1, 0, "what is left over is spare")
    whole = replace(two, visits=(visit(counts=(0, 2), steps=(Step(0.0, 0.0), Step(4.0, 0.5))),))
    assert (whole.for_hives, whole.spare_patties, whole.spare_words) == (1, 1, "1 spare")


def test_nothing_for_the_hives_needs_no_spare():
    on_truck = Load((visit(counts=(24, 0, 0)),), 0.05, 1)
    assert (on_truck.patties, on_truck.spare_patties) == (0, 0)


@pytest.mark.parametrize(
    "wrong",
    [{"counts": (-1, 0, 0)}, {"counts": (1, 2)}, {"light": 99}, {"round": 0}, {"days": 0},
     {"syrup_each_l": 200.0}, {"dry_sugar_each_g": 60_000.0}],
)  # fmt: skip
def test_a_visit_that_cannot_be_is_refused(wrong):
    with pytest.raises(PlanError, match="Tarweed Flat"):
        visit(**wrong)


def test_a_load_of_two_days_two_patties_or_no_yards_is_refused():
    for visits in ((visit(), visit(1, on=date(2026, 8, 26))), (visit(), visit(1, METRIC)), ()):
        with pytest.raises(PlanError, match="load"):
            Load(visits, 0.05, 1)
    with pytest.raises(PlanError, match="spare"):
        Load((visit(),), 5.0, 1)


@given(st.integers(1, 41), st.integers(1, 3))
def test_every_visit_is_on_one_load_in_order_and_sheets_are_filled_evenly(yards, rounds):
    visits = [
        visit(n, yard=f"yard {n}", round=r, on=date(2026, 8, 25) + timedelta(days=14 * r))
        for r in range(1, rounds + 1)
        for n in range(yards)
    ]
    loads = truck_days(visits, 0.05)
    assert [v for one in loads for v in one.visits] == visits
    sizes = [len(one.visits) for one in loads if one.round == 1]
    assert max(sizes) <= MOST_YARDS
    assert max(sizes) - min(sizes) <= 1
    assert {one.of_rounds for one in loads} == {rounds}
    assert [one.part for one in loads if one.round == 1] == list(range(1, len(sizes) + 1))


def test_a_days_yards_are_driven_in_the_keepers_order_or_round_from_the_shop():
    visits = [visit(n, place=Place(38.0 + 0.1 * (n * 3 % 5), -121.0)) for n in range(5)]
    own = truck_days(visits, 0.0, Drive(own=("Old Orchard", "Quarry, not today", "Tarweed Flat")))[0]
    assert [v.yard for v in own.visits][:2] == ["Old Orchard", "Tarweed Flat"]
    assert own.order == "Driven in your own order."
    north = [v.place.latitude for v in truck_days(visits, 0.0, Drive(shop=Place(37.9, -121.0)))[0].visits]
    assert north in (sorted(north), sorted(north, reverse=True))
    assert truck_days(visits, 0.0)[0].order == ""


def test_yards_on_different_rounds_on_one_day_are_one_truck():
    def on(day: int) -> date:
        return date(2026, 8, 25) + timedelta(days=day)

    early = [visit(0, round=n, on=on(14 * (n - 1))) for n in (1, 2, 3)]
    late = [visit(1, round=n, on=on(14 * n)) for n in (1, 2)]
    near = [visit(2, round=1, on=on(3)), visit(2, round=2, on=on(24))]
    loads = truck_days([*early, *late, *near], 0.05)
    assert [(one.round, one.on, [v.yard for v in one.visits]) for one in loads] == [
        (1, on(0), ["Tarweed Flat"]), (1, on(3), ["Water Tank"]),
        (2, on(14), ["Tarweed Flat", "Lower Ditch"]), (3, on(24), ["Water Tank"]),
        (3, on(28), ["Tarweed Flat", "Lower Ditch"]),
    ]  # fmt: skip
    assert {one.of_rounds for one in loads} == {3}
    assert [one.of_all for one in loads] == [3, 2, None, None, None], "each told as its own yards have it"
    assert loads[2].own == ((2, 3), (1, 2))
    assert [(day.round, day.on) for day in mixing_days(loads, 2)] == [(1, on(-2)), (2, on(12)), (3, on(22))]


def test_one_feed_in_two_patties_is_two_trucks():
    loads = truck_days([visit(), visit(1, METRIC)], 0.05)
    assert [one.patty for one in loads] == [METRIC, POUND]


BANDS = (Band(0.0, 4.0, "none", 0.125), Band(4.0, 8.0, "half", 0.375), Band(8.0, inf, "full", 0.5))


def test_a_plans_pieces_become_visits_with_cuts_that_people_make():
    days = [date(2026, 8, 25), date(2026, 9, 8), date(2026, 9, 22)]
    made = round_visits(visit(), BANDS, list(zip(days, (460.0, 240.0, 130.0), strict=True)))
    assert [(v.round, v.on) for v in made] == list(enumerate(days, start=1))
    assert [[step.cut for step in v.steps] for v in made] == [[0.0, 0.5, 1.0], [0.0, 0.25, 0.5], [0.0, 0.25]]
    assert [v.counts for v in made] == [(3, 9, 12), (3, 9, 12), (12, 12)]
    assert made[2].line == "Under 8 frames of bees: none; 8 and over: ¼ patty (¼ lb)."


def test_a_piece_too_small_to_cut_and_days_out_of_order_are_refused():
    with pytest.raises(PlanError, match="quarter patty"):
        round_visits(visit(), BANDS, [(date(2026, 8, 25), 90.0)])
    with pytest.raises(PlanError, match="follow each other"):
        round_visits(visit(), BANDS, [(date(2026, 8, 25), 460.0), (date(2026, 8, 25), 460.0)])


def test_a_mixing_day_asks_the_batch_for_all_patties_of_its_round():
    loads = truck_days([visit(n, yard=f"yard {n}") for n in range(10)], 0.05)
    (day,) = mixing_days(loads, 2)
    assert day.on == date(2026, 8, 23)
    assert day.patties == sum(one.patties for one in loads)
    batch = batch_of(DRY_FALL, day.asked_of(CREW))
    assert batch.pieces >= day.patties
    assert batch.mixing.piece_g == POUND.mass_g


def test_a_mixing_day_names_few_yards_and_counts_many():
    few = mixing_days(truck_days([visit(), visit(1)], 0.05), 0)[0]
    assert few.meant_for == "Tarweed Flat and Lower Ditch, round 1"
    assert mixing_days((load(6),), 0)[0].meant_for == "6 yards, round 2"
    assert mixing_days((load(1),), 0)[0].meant_for == "Tarweed Flat, round 2"


def test_no_mixing_day_for_a_round_without_patties_and_none_of_two_patties():
    bare = Load((visit(counts=(24, 0, 0)),), 0.05, 1)
    assert mixing_days((bare,), 1) == ()
    with pytest.raises(PlanError, match="two kinds"):
        mixing_days((load(1), load(1, METRIC)), 1)
    with pytest.raises(PlanError, match="0 to 60"):
        mixing_days((load(1),), -1)


def test_the_shipped_spare_is_a_judgement_and_says_so():
    reader = shelf().reader()
    assert usual_spare(reader) == reader.typical("paper.spare_share")
    assert reader.figure("paper.spare_share").read == "judged"


def test_colonies_named_for_combining_are_carried():
    pair = Pair(4.0, ("T07", "T08"))
    joined = replace(visit(), combine=(pair,))
    assert joined.pair_of("T07") == joined.pair_of("T08") == pair
    assert joined.pair_of("T09") is None
