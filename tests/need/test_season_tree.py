"""Ways that share their beginning end as ways that were run one by one."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from breadline.need.season import Block, lived
from breadline.need.season_tree import KINDS, Leg, Times, Watch, walk
from need.colonies import colony, drawn, place

MEMBERS, DAYS = 40, 70
WATCH = Watch(3, 0.011, 0.006, 0.4, 4000.0, 0.1, 9000.0, (50, 60), 4.0)
# Way 0: nothing. Way 1: 300 g on days 10 and 24. Way 2: on day 10 only. Way 3: by rule on day 30.
LEGS = (
    Leg(0, 10, keep=0),
    Leg(10, 30, keep=1),
    Leg(30, DAYS, way=0),
    Leg(10, 24, start=0, keep=2, grams=300.0),
    Leg(24, DAYS, way=2),
    Leg(24, DAYS, start=2, grams=300.0, way=1),
    Leg(30, DAYS, start=1, grams=300.0, by_rule=True, way=3),
)


def yard() -> Block:
    par, const = drawn(MEMBERS)
    here = place(par, days=DAYS, pollen=0.05, start="2027-02-01", flight_h=3.0)
    start = colony(par, const, adults=9000.0, brood=4000.0, bread_g=200.0)
    return Block(start, here, par, const, np.full(MEMBERS, 0.4))


def fed(block: Block, *days: int):
    put = np.zeros(DAYS)
    put[list(days)] = 300.0
    wanted = ("adults", "brood", "eaten_g")
    return lived(replace(block, drivers=replace(block.drivers, put_on_g=put)), wanted)


WAYS = [(0, ()), (1, (10, 24)), (2, (10,)), (3, (30,))]


@pytest.mark.parametrize(("way", "on"), WAYS)
def test_a_way_that_was_branched_off_ends_as_one_run_alone(way, on):
    ends_as_alone("reference", way, on)


def ends_as_alone(engine, way, on):
    """The compiled walk is asked the same, where numba is."""
    block = yard()
    ends = walk(block, np.ones((DAYS, 1)), LEGS, WATCH, engine)
    alone = fed(block, *on)
    assert ends.adults[way] == pytest.approx(alone.adults[-1], rel=1e-10)
    assert ends.brood[way] == pytest.approx(alone.brood[-1], rel=1e-10)
    assert ends.eaten_g[way] == pytest.approx(alone.eaten_g.sum(0), rel=1e-9, abs=1e-9)
    assert ends.bee_days[way] == pytest.approx(alone.adults[WATCH.today :].sum(0), rel=1e-10)
    assert ends.cell_days[way] == pytest.approx(alone.brood[WATCH.today :].sum(0), rel=1e-10)


def times_of(first: float, second: float, turns: int) -> Times:
    """The first kind of time up to day ``turns``, the second from then on."""
    kind = np.where(np.arange(DAYS) < turns, 0, 1)[:, None]
    return Times(kind, np.repeat([[first], [second], [0.0]], MEMBERS, axis=1))


def test_feed_that_is_worth_the_same_in_all_kinds_of_time_ends_as_before():
    block, go = yard(), np.ones((DAYS, 1))
    plain, split = walk(block, go, LEGS, WATCH), walk(block, go, LEGS, WATCH, times=times_of(0.4, 0.4, 20))
    assert np.array_equal(plain.adults, split.adults)
    assert split.eaten_g == pytest.approx(plain.eaten_g)
    assert split.eaten_by_kind_g.shape[0] == KINDS
    early = fed(block, 10, 24).eaten_g[:20].sum(0)
    assert split.eaten_first_g[1] == pytest.approx(early)
    assert split.eaten_second_g[1] == pytest.approx(plain.eaten_g[1] - early)


def test_feed_eaten_while_it_is_worth_nothing_does_nothing():
    """Day 24 is of the second kind: with nothing there, only the piece of day 10 tells."""
    block, go = yard(), np.ones((DAYS, 1))
    late = walk(block, go, LEGS, WATCH, times=times_of(0.0, 0.4, DAYS))
    assert late.adults[1] == pytest.approx(late.adults[0], rel=1e-12)
    half = walk(block, go, LEGS, WATCH, times=times_of(0.4, 0.0, 24))
    both = walk(block, go, LEGS, WATCH)
    assert half.adults[1] == pytest.approx(half.adults[2], rel=1e-12)
    assert (half.adults[1] < both.adults[1]).mean() > 0.9


def test_the_compiled_walk_and_the_other_agree_where_worth_changes():
    block, go, times = yard(), np.ones((DAYS, 1)), times_of(0.5, 0.1, 20)
    one, two = walk(block, go, LEGS, WATCH, times=times), walk(block, go, LEGS, WATCH, "reference", times)
    for name in ("adults", "brood", "eaten_first_g", "eaten_second_g", "drawn_g"):
        assert getattr(one, name) == pytest.approx(getattr(two, name), rel=1e-10), name


def test_a_piece_by_rule_stays_off_where_the_rule_says_so():
    block = yard()
    ends = walk(block, np.zeros((DAYS, 1)), LEGS, WATCH)
    assert (ends.adults[3] == ends.adults[0]).all()
    assert (ends.eaten_g[3] == 0).all()


def test_stores_that_feed_and_nectar_spare_are_not_drawn_on():
    block = yard()
    flying = np.full((DAYS, 1), 4.0)
    in_flow = replace(block, drivers=replace(block.drivers, nectar=np.full((DAYS, 1), 0.5), flight_h=flying))
    assert (walk(in_flow, np.ones((DAYS, 1)), LEGS, WATCH).drawn_g == 0).all()
    ends = walk(block, np.ones((DAYS, 1)), LEGS, WATCH)
    used = 0.011 * ends.bee_days + 0.006 * ends.cell_days - 0.4 * ends.eaten_g
    assert ends.drawn_g == pytest.approx(used, rel=1e-6)


FLOW_DAY = 40


def one_day_of_nectar(bee_g: float, engine="quickest"):
    """A day of half the best nectar, three of four hours of flying; what is used each day, and field bees."""
    block, nectar = yard(), np.zeros((DAYS, 1))
    nectar[FLOW_DAY] = 0.5
    block = replace(block, drivers=replace(block.drivers, nectar=nectar))
    watch = replace(WATCH, flow=(FLOW_DAY, FLOW_DAY), nectar_bee_g=bee_g)
    ends = walk(block, np.ones((DAYS, 1)), LEGS[:3], watch, engine)
    course = fed(block)
    used = 0.011 * course.adults + 0.006 * course.brood
    used[: WATCH.today] = 0.0
    return ends, used, ends.flow_field[0]


@pytest.mark.parametrize("bee_g", [0.02, 0.08, 0.5])
def test_nectar_of_a_flying_day_fills_what_was_taken_and_no_more(bee_g):
    """By hand: 3 h are three quarters of a day; what they eat in the last one comes out of the stores."""
    ends, used, field = one_day_of_nectar(bee_g)
    brought = bee_g * field * 0.5 * 0.75
    before, after = used[:FLOW_DAY].sum(0), used[FLOW_DAY + 1 :].sum(0)
    filled = before + 0.25 * used[FLOW_DAY] - np.maximum(0.0, brought - 0.75 * used[FLOW_DAY])
    filled = np.maximum(0.0, filled)
    assert ends.drawn_g[0] == pytest.approx(np.maximum(before, filled + after), rel=1e-6)


@pytest.mark.parametrize("engine", ["quickest", "reference"])
def test_a_rainy_day_of_a_flow_is_eaten_out_of_the_stores(engine):
    block = yard()
    wet = replace(block.drivers, nectar=np.full((DAYS, 1), 0.5), flight_h=np.zeros((DAYS, 1)))
    ends = walk(
        replace(block, drivers=wet), np.ones((DAYS, 1)), LEGS, replace(WATCH, nectar_bee_g=0.5), engine
    )
    used = 0.011 * ends.bee_days + 0.006 * ends.cell_days - 0.4 * ends.eaten_g
    assert ends.drawn_g == pytest.approx(used, rel=1e-6)


@pytest.mark.parametrize("engine", ["quickest", "reference"])
def test_each_member_eats_and_brings_by_its_own_figure(engine):
    """Two figures side by side are what two walks with one figure each have."""
    block, go = yard(), np.ones((DAYS, 1))
    block = replace(block, drivers=replace(block.drivers, nectar=np.full((DAYS, 1), 0.5)))
    members = block.equivalence.size
    odd = np.arange(members) % 2 == 1
    both = {name: np.where(odd, high, low) for name, low, high in FIGURES}
    mixed = walk(block, go, LEGS, replace(WATCH, **both), engine).drawn_g
    low, high = (walk(block, go, LEGS, replace(WATCH, **{one[0]: one[k] for one in FIGURES}), engine).drawn_g
                 for k in (1, 2))  # fmt: skip
    assert mixed == pytest.approx(np.where(odd, high, low), rel=1e-12)
    part = replace(WATCH, **both).of(np.flatnonzero(odd))
    assert (part.sugar_bee_g == 0.014).all()


FIGURES = (("sugar_bee_g", 0.008, 0.014), ("sugar_cell_g", 0.002, 0.012), ("nectar_bee_g", 0.02, 0.16))


def test_a_colony_that_was_bare_before_the_flow_stays_bare():
    """What counts is how far stores were down at most: a flow brings nobody back."""
    ends, used, _ = one_day_of_nectar(100.0)
    assert (ends.drawn_g[0] >= used[:FLOW_DAY].sum(0) - 1e-6).all()
    bare = np.cumsum(used, axis=0) > WATCH.honey_g
    first = np.where(bare.any(axis=0), bare.argmax(axis=0), DAYS)
    soon = first < FLOW_DAY
    assert (ends.bare_on[0][soon] == first[soon]).all()


def test_both_walks_fill_stores_alike():
    one, two = (one_day_of_nectar(0.08, engine)[0] for engine in ("quickest", "reference"))
    assert one.drawn_g == pytest.approx(two.drawn_g, rel=1e-10)
