"""The search for whole things: it stops when told, says the gap, and is proven by counting."""

from __future__ import annotations

import itertools
import time
from dataclasses import replace

import numpy as np
import pytest

from breadline.knowledge.ingredients import ingredients
from breadline.ration.bases import AS_FED
from breadline.ration.problem import Making, Problem
from breadline.ration.search import _lowest
from breadline.ration.solved_words import conflict_sentences
from breadline.ration.solver import Conflict, Solved, cheapest, first_look, so_far
from breadline.ration.standing import standing
from breadline.ration.targets import nutrient, protein, share
from tests.ration.larder import BEAN, LARDER, PRICES, SUGAR, WATER, YEAST, price, problem

MAKING = Making(batch_kg=140.0, fill_least=0.9, whole_bags=frozenset({"bean", "sugar"}))


def test_every_number_of_bags_counted_out_finds_none_cheaper():
    """Bean, yeast and sugar all by the bag: few enough to count every batch."""
    making = Making(batch_kg=200.0, fill_least=0.7, whole_bags=frozenset({"bean", "yeast", "sugar"}))
    asked = problem(
        ingredients=(BEAN, YEAST, SUGAR),
        targets=(protein(AS_FED, least=12.0), share("yeast", least=10.0)),
        making=making,
    )
    solved = cheapest(asked)
    per_bean = 45 * 6.25 / 5.71
    costs = {}
    for bean, yeast, sugar in itertools.product(range(11), range(9), range(11)):
        kg = np.array([20.0 * bean, 25.0 * yeast, 20.0 * sugar])
        whole = kg.sum()
        if not 140.0 <= whole <= 200.0:
            continue
        if (kg @ [per_bean, 40.0, 0.0]) / whole >= 12.0 and kg[1] / whole >= 0.10:
            costs[bean, yeast, sugar] = (kg @ [1.5, 3.0, 1.1]) / whole
    assert solved.cost_per_kg == pytest.approx(min(costs.values()), abs=1e-9)
    assert (solved.bags.get("bean", 0), solved.bags["yeast"], solved.bags["sugar"]) in costs


def test_the_cheapest_of_all_threes_is_found():
    asked = problem(making=Making(most_ingredients=5))
    best = min(
        found.cost_per_kg
        for keys in itertools.combinations([i.key for i in LARDER if i.key not in ("bean", "sugar")], 3)
        if isinstance(
            found := cheapest(
                problem(ingredients=tuple(i for i in LARDER if i.key in (*keys, "bean", "sugar")))
            ),
            Solved,
        )
    )
    assert cheapest(asked).cost_per_kg <= best + 1e-6


def test_progress_is_told_and_ends_where_the_result_is():
    told = []
    solved = cheapest(problem(making=MAKING), watch=told.append)
    assert told
    assert all(a.cost >= b.cost - 1e-9 for a, b in itertools.pairwise(told))
    assert all(0.0 <= p.gap <= 1.0 and p.seconds >= 0.0 for p in told)
    assert told[-1].cost >= solved.cost_per_kg - 1e-9
    assert solved.gap == 0.0
    assert not solved.stopped


def test_every_recipe_told_on_the_way_keeps_all_that_is_asked_and_costs_what_is_said():
    """Counted out by the larder's own figures, not by the model's rows."""
    making = replace(MAKING, whole_bags=frozenset({"bean", "yeast", "sugar"}), most_ingredients=5)
    asked, told = problem(making=making), []
    solved = cheapest(asked, watch=told.append)
    assert len({tuple(p.shares_of_mixer.items()) for p in told}) > 1
    for progress in told:
        kg = {key: 140.0 * share for key, share in progress.shares_of_mixer.items()}
        whole = sum(kg.values())
        assert 126.0 - 1e-6 <= whole <= 140.0 + 1e-6
        assert len(kg) <= 5
        for key in making.whole_bags & set(kg):
            assert kg[key] / PRICES[key].bag_kg == pytest.approx(round(kg[key] / PRICES[key].bag_kg))
        paid = sum(kg[k] * PRICES[k].per_kg for k in kg if k != "water")
        assert progress.cost == pytest.approx(paid / whole)
        assert _percent(kg, "water", "high") == pytest.approx(16.0, abs=4.0 + 1e-5)
        assert kg.get("bean", 0.0) <= 0.25 * whole + 1e-5
        assert kg["sugar"] >= 0.40 * whole - 1e-5
    assert told[-1].cost == pytest.approx(solved.cost_per_kg)
    assert told[-1].shares_of_mixer == pytest.approx(solved.shares_of_mixer)
    assert so_far(asked, told[-1]).bags == solved.bags


def _percent(kg, of, end):
    held = {i.key: getattr(i.nutrients[of], end) for i in LARDER if of in i.nutrients}
    return sum(kg[k] * held.get(k, 0.0) for k in kg) / sum(kg.values())


def test_a_start_that_keeps_not_all_is_passed_over_and_its_cost_never_told():
    """Water and sugar alone cost next to nothing and hold no protein."""
    told = []
    solved = cheapest(problem(making=MAKING), start={"sugar": 0.4, "water": 0.6},
                      watch=told.append)  # fmt: skip
    assert min(p.cost for p in told) == pytest.approx(solved.cost_per_kg)


def hard():
    """Many like ingredients, few of which may go in: long to prove."""
    rng = np.random.default_rng(2)
    many = tuple(_like_bean(n, float(p), rng) for n, p in enumerate(rng.uniform(20.0, 60.0, 80)))
    prices = PRICES | {
        i.key: price(0.02 * i.protein.low + rng.uniform(0.5, 0.6), 7.3 + 0.1 * n) for n, i in enumerate(many)
    }
    keys = tuple(i.key for i in many)
    making = Making(397.0, 1.0, frozenset(keys), most_ingredients=14, least_if_used=1.0, time_limit_s=0.6)
    return problem(share(keys, least=35.0), ingredients=(*LARDER, *many), prices=prices, making=making)


def _like_bean(n, protein_pct, rng):
    parts = {
        name: replace(content, low=content.low * by, high=content.low * by)
        for (name, content), by in zip(BEAN.nutrients.items(), rng.uniform(0.5, 1.5, 7), strict=True)
    }
    protein = replace(BEAN.protein, low=protein_pct, high=protein_pct)
    return replace(BEAN, key=f"k{n}", name=f"K{n}", protein=protein, nutrients=parts)


def test_a_search_cut_short_says_by_how_much_it_may_be_off():
    solved = cheapest(hard())
    assert isinstance(solved, Solved)
    assert solved.stopped
    assert 0.0 < solved.gap < 1.0
    assert solved.seconds < 2.0
    longer = cheapest(replace(hard(), making=replace(hard().making, time_limit_s=2.0)))
    assert longer.cost_per_kg >= solved.cost_per_kg * (1.0 - solved.gap) - 1e-9


def test_a_first_recipe_is_there_at_once_and_costs_no_less_than_the_last():
    told = []
    solved = cheapest(hard(), watch=told.append)
    assert told[0].seconds < 1.0
    assert told[0].cost >= solved.cost_per_kg - 1e-9


def test_a_first_look_does_not_ask_why_there_is_no_mix():
    asked = problem(making=Making(batch_kg=15.0, whole_bags=frozenset({"bean", "sugar"})))
    none = first_look(asked, seconds=0.5)
    assert isinstance(none, Conflict)
    assert (none.proven, none.members, none.gives) == (False, (), ())
    assert isinstance(cheapest(asked), Conflict)


def test_it_stops_when_told_to_and_keeps_the_mix_it_has():
    told = []
    asked = replace(hard(), making=replace(hard().making, time_limit_s=20.0))
    solved = cheapest(asked, watch=told.append, stop=lambda: bool(told))
    assert solved.seconds < 5.0
    assert solved.stopped
    assert solved.cost_per_kg <= told[0].cost * (1.0 + 1e-6)


def no_first_mix():
    """Only bags, of odd weights, that fill the mixer to the gram and meet two contents: long to find."""
    rng = np.random.default_rng(5)
    many = tuple(_like_bean(n, float(p), rng) for n, p in enumerate(rng.uniform(20.0, 60.0, 40)))
    prices = {i.key: price(2.0, round(w, 3)) for i, w in zip(many, rng.uniform(1.0, 4.0, 40), strict=True)}
    making = Making(97.531, 1.0, frozenset(prices), time_limit_s=20.0)
    targets = (protein(AS_FED, least=40.0, most=40.0001), nutrient("fat", "as fed", least=1.2, most=1.20001))
    return problem(ingredients=many, prices=prices, targets=targets, making=making)


def test_it_stops_when_told_to_before_there_is_any_mix():
    asked, begun = [], time.monotonic()
    none = cheapest(no_first_mix(), stop=lambda: bool(asked.append(1)) or len(asked) > 1)
    assert time.monotonic() - begun < 2.0
    assert isinstance(none, Conflict)
    assert (none.proven, none.stopped, none.nearest) == (False, True, None)
    assert "before the search was stopped" in conflict_sentences(none)[0]


def test_a_search_begins_at_the_recipe_it_is_given():
    first = cheapest(hard())
    told = []
    cheapest(hard(), start=first.shares_of_mixer, watch=told.append, stop=lambda: bool(told))
    assert told[0].cost <= first.cost_per_kg * (1 + 1e-6)


def test_bags_too_large_for_the_mixer_are_a_conflict_and_no_wrong_recipe():
    making = Making(batch_kg=15.0, whole_bags=frozenset({"bean", "sugar"}))
    assert isinstance(cheapest(problem(making=making)), Conflict)


def test_a_mix_that_is_free_leaves_nothing_to_save():
    asked = problem(ingredients=(WATER, SUGAR), targets=(), making=Making(most_ingredients=1))
    solved = cheapest(asked)
    assert (solved.cost_per_kg, solved.gap) == (0.0, 0.0)
    assert standing(solved).next_best is None or standing(solved).next_best.dearer == 0.0


def test_arithmetic_of_the_bound_where_a_batch_need_not_fill_the_mixer():
    """0.09 saved in all, at a rate of 2 a kilogram: nine tenths of a mixer save 0.1 a kilogram so."""
    assert _lowest(2.0, -0.09, fill_least=0.9) == pytest.approx(1.9)
    assert _lowest(2.0, 0.09, fill_least=0.9) == pytest.approx(2.09)


def test_the_mix_that_a_search_begins_at_does_not_lead_it_astray():
    """Soy, sugar and yeast by bags of 50 lb in a mixer of 300, counted out by the table's own figures."""
    table, pound = ingredients(), 0.45359237
    paid = {"soy_flour_defatted": 38.0, "sugar_granulated": 31.0, "yeast_brewers_dried": 95.0}
    prices = {key: price(of / 50.0 / pound, 50.0 * pound) for key, of in paid.items()}
    prices["syrup_2_1"] = price(0.45 / pound)
    asked = Problem(
        tuple(table[key] for key in prices), prices,
        (protein(AS_FED, least=18.0), nutrient("water", "as fed", most=17.0),
         share("yeast_brewers_dried", least=5.0)),
        Making(300.0 * pound, whole_bags=frozenset(paid), time_limit_s=5.0),
    )  # fmt: skip
    costs = {}
    for soy, sugar, yeast in itertools.product(range(7), range(7), range(1, 7)):
        syrup = 300.0 - 50.0 * (soy + sugar + yeast)
        if syrup < 0.0:
            continue
        mix = dict(zip(prices, (50.0 * soy, 50.0 * sugar, 50.0 * yeast, syrup), strict=True))
        crude = (
            sum(lb * table[k].protein.low * 6.25 / table[k].nitrogen_factor for k, lb in mix.items()) / 300.0
        )
        wet = sum(lb * table[k].nutrients["water"].high for k, lb in mix.items()) / 300.0
        if crude >= 18.0 and wet <= 17.0:
            costs[soy, sugar, yeast] = 38.0 * soy + 31.0 * sugar + 95.0 * yeast + 0.45 * syrup
    cheapest_of_all = min(costs.values()) / 300.0 / pound
    dear = {"sugar_granulated": 0.5, "yeast_brewers_dried": 0.5}
    for start in (None, dear):
        solved = cheapest(asked, start=start)
        assert solved.cost_per_kg == pytest.approx(cheapest_of_all, abs=1e-9)
        assert (solved.gap, solved.stopped) == (0.0, False)
