"""How firmly a recipe stands: each claim is checked by asking the solver again, or by hand."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from breadline.ration.bases import AS_FED
from breadline.ration.ends import ends
from breadline.ration.model import Model
from breadline.ration.problem import Making
from breadline.ration.rows import rows_of
from breadline.ration.solver import Solved, cheapest
from breadline.ration.standing import standing
from breadline.ration.targets import protein, ratio, share
from tests.ration.larder import BEAN, LARDER, PRICES, SUGAR, WATER, YEAST, price, problem

ASKED = [
    problem(),
    problem(ratio("linoleic", "linolenic", most=4.0), share("yeast", most=8.0)),
    problem(counted="middle"),
]
NAMES = ["usual", "ratio", "middle"]


def eased(asked, binding):
    """The question with one binding target a step easier."""
    by = -binding.step if binding.side == "least" else binding.step
    moved = replace(binding.target, **{binding.side: binding.bound + by})
    return replace(asked, targets=tuple(moved if t == binding.target else t for t in asked.targets))


@pytest.mark.parametrize("asked", ASKED, ids=NAMES)
def test_giving_way_by_a_step_saves_what_is_said(asked):
    solved = cheapest(asked)
    bindings = standing(solved).bindings
    assert any(b.saving > 0.0 for b in bindings)
    for binding in bindings:
        again = cheapest(eased(asked, binding))
        assert solved.cost_per_kg - again.cost_per_kg == pytest.approx(binding.saving, abs=1e-7)


@pytest.mark.parametrize("asked", ASKED, ids=NAMES)
def test_no_step_saves_more_than_the_dual_of_its_row_allows(asked):
    """Cost is convex in a bound as fed: the first hair of a step saves most."""
    solved = cheapest(asked)
    rows = rows_of(asked)
    model = Model(asked, rows)
    found = model.solve()
    for binding in standing(solved).bindings:
        at = next(i for i, r in enumerate(rows) if r.target == binding.target and r.side == binding.side)
        if binding.target.basis != "as fed" and binding.target.of != "share":
            continue
        dual = abs(found.duals[at]) / model.scale[at]
        assert binding.saving <= dual * binding.step + 1e-7


@pytest.mark.parametrize("asked", ASKED, ids=NAMES)
def test_just_inside_its_price_range_a_recipe_is_cheapest_and_just_outside_it_is_not(asked):
    solved = cheapest(asked)
    for each in standing(solved).price_ranges:
        if each.price == 0.0:
            continue  # water
        assert each.low <= each.price <= each.high
        for end, out in ((each.low, 0.999), (each.high, 1.001)):
            if end == 0.0 or np.isinf(end):
                continue
            assert excess(asked, solved, each.key, end / out) <= 1e-7
            assert excess(asked, solved, each.key, end * out) > 1e-9, (each, out)


def excess(asked, solved, key, per_kg):
    """What this recipe costs beyond the cheapest at another price of one ingredient. [money/kg]"""
    prices = dict(asked.prices) | {key: price(per_kg)}
    mine = sum(share * (prices[k].per_kg if k in prices else 0.0) for k, share in solved.shares.items())
    return mine - cheapest(replace(asked, prices=prices)).cost_per_kg


def test_a_price_range_worked_by_hand():
    """The protein of a bean at 49.256 % against a yeast at 40 %: kilogram for kilogram of sugar replaced."""
    asked = problem(
        ingredients=(BEAN, YEAST, SUGAR),
        targets=(protein(AS_FED, least=10.0),),
        prices={"bean": price(2.0), "yeast": price(3.0), "sugar": price(1.0)},
    )
    bean = next(r for r in standing(cheapest(asked)).price_ranges if r.key == "bean")
    # (p − 1) / 49.256 = (3 − 1) / 40
    assert bean.high == pytest.approx(1.0 + 2.0 * (45 * 6.25 / 5.71) / 40.0)


def test_the_next_best_is_the_cheapest_that_leaves_one_ingredient_out():
    asked = problem()
    solved = cheapest(asked)
    best = standing(solved).next_best
    costs = {}
    for key in solved.shares:
        rest = tuple(i for i in asked.ingredients if i.key != key)
        keep = tuple(t for t in asked.targets if key not in t.keys)
        there = cheapest(replace(asked, ingredients=rest, targets=keep))
        if isinstance(there, Solved) and len(keep) == len(asked.targets):
            costs[key] = there.cost_per_kg
    assert best.without not in best.solved.shares
    assert best.solved.cost_per_kg <= min(costs.values()) + 1e-9
    assert best.dearer == pytest.approx(best.solved.cost_per_kg / solved.cost_per_kg - 1.0)


def test_two_oils_that_differ_by_nothing_but_a_cent_are_a_near_tie():
    twin = replace(LARDER[4], key="oil_c", name="Oil_c")
    asked = problem(ingredients=(*LARDER, twin), prices=PRICES | {"oil_c": price(2.01)})
    best = standing(cheapest(asked)).next_best
    assert best.without == "oil_a"
    assert "oil_c" in best.solved.shares
    assert best.near_tie
    assert not replace(best, dearer=0.011).near_tie


def test_where_every_ingredient_is_needed_there_is_no_next_best():
    few = problem(ingredients=(SUGAR, WATER), targets=(share("water", 10.0, 10.0),))
    assert standing(cheapest(few)).next_best is None


def test_a_whole_bag_recipe_has_savings_ranges_and_a_next_best_too():
    making = Making(batch_kg=140.0, fill_least=0.9, whole_bags=frozenset({"bean", "sugar"}))
    asked = problem(making=making)
    solved = cheapest(asked)
    there = standing(solved)
    assert there.within_time
    for binding in there.bindings:
        again = cheapest(eased(asked, binding))
        assert solved.cost_per_kg - again.cost_per_kg == pytest.approx(binding.saving, abs=1e-5)
    for each in there.price_ranges:
        if each.used and each.price:
            assert each.low is not None
            assert each.low <= each.price * (1 + 1e-6)
            assert each.high >= each.price * (1 - 1e-6)
    assert there.next_best.solved.cost_per_kg >= solved.cost_per_kg - 1e-6


def test_what_bags_and_a_number_of_ingredients_cost_is_found_by_solving_without():
    making = Making(
        batch_kg=140.0, fill_least=0.9, whole_bags=frozenset({"bean", "sugar"}), most_ingredients=4
    )
    asked = problem(making=making)
    solved = cheapest(asked)
    savings = {each.limit: each.saving for each in standing(solved).limits}
    opened = cheapest(replace(asked, making=making.without("whole bags")))
    fifth = cheapest(replace(asked, making=replace(making, most_ingredients=5)))
    assert savings["whole bags"] == pytest.approx(solved.cost_per_kg - opened.cost_per_kg, abs=1e-5)
    assert savings["most ingredients"] == pytest.approx(solved.cost_per_kg - fifth.cost_per_kg, abs=1e-5)
    assert max(savings.values()) > 0.01


def test_a_safe_recipe_survives_both_ends_and_a_half_way_one_says_what_it_misses():
    safe = ends(cheapest(problem()))
    assert safe.survives
    assert safe.spread == ("yeast",)
    assert safe.middle is not None
    assert [m.end for m in safe.middle_misses] == ["low"]
    half = ends(cheapest(problem(counted="middle")))
    assert not half.survives
    assert half.misses[0].reached < half.misses[0].bound
