"""What must hold of every cheapest mix, whatever is on offer."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from breadline.ration.analysis import analyse
from breadline.ration.problem import Making
from breadline.ration.rows import rows_of
from breadline.ration.solver import Solved, cheapest
from tests.ration.random_problems import random_problem

seeds = st.integers(0, 3000)
few = settings(max_examples=40, deadline=None, derandomize=True)


def cost(problem) -> float:
    found = cheapest(problem)
    return found.cost_per_kg if isinstance(found, Solved) else float("inf")


@few
@given(seeds)
def test_shares_sum_to_one_and_every_target_is_kept(seed):
    solved = cheapest(random_problem(seed))
    assume(isinstance(solved, Solved))
    assert sum(solved.shares.values()) == pytest.approx(1.0)
    assert min(solved.shares.values()) > 0.0
    mix = np.array([solved.shares.get(k, 0.0) for k in solved.problem.keys])
    for row in rows_of(solved.problem):
        assert float(row.at(row.bound) @ mix) >= -1e-6 * max(1.0, np.abs(row.at(row.bound)).max())


@few
@given(seeds, st.floats(0.01, 0.5), st.integers(0, 50))
def test_cost_never_falls_when_a_target_tightens(seed, by, which):
    problem = random_problem(seed)
    targets = list(problem.targets)
    target = targets[which % len(targets)]
    tighter = (
        (
            replace(target, least=target.least * (1 + by))
            if target.least
            else replace(target, most=(target.most or 0) / (1 + by))
        )
        if not (target.least and target.unit.startswith("%") and target.least * (1 + by) > 100.0)
        else target
    )
    targets[which % len(targets)] = tighter
    before, after = cost(problem), cost(replace(problem, targets=tuple(targets)))
    assert after >= before * (1 - 1e-7)


@few
@given(seeds, st.floats(0.01, 100.0))
def test_all_prices_times_so_much_cost_so_much_more(seed, times):
    problem = random_problem(seed)
    dearer = {k: replace(p, per_kg=p.per_kg * times) for k, p in problem.prices.items()}
    first, then = cost(problem), cost(replace(problem, prices=dearer))
    assert then == pytest.approx(first * times, rel=1e-6)


@few
@given(seeds, st.integers(0, 20))
def test_one_more_on_offer_never_makes_it_dearer(seed, which):
    problem = random_problem(seed)
    left_out = problem.keys[which % len(problem.keys)]
    assume(all(left_out not in t.keys for t in problem.targets))
    fewer = tuple(i for i in problem.ingredients if i.key != left_out)
    assume(fewer)
    ratios = [t for t in problem.targets if t.to]
    assume(
        all(
            any((i.content(t.to) is None or i.content(t.to).high > 0) for i in fewer)
            for t in ratios
            if t.to != "protein"
        )
    )
    assert cost(problem) <= cost(replace(problem, ingredients=fewer)) * (1 + 1e-7)


@few
@given(seeds)
def test_a_safe_recipe_costs_no_less_than_one_that_counts_half_way(seed):
    problem = random_problem(seed)
    assert cost(replace(problem, counted="safe")) >= cost(replace(problem, counted="middle")) * (1 - 1e-7)


@few
@given(seeds, st.lists(st.floats(0.0, 1.0), min_size=14, max_size=14))
def test_a_safe_recipe_keeps_its_protein_and_its_methionine_wherever_the_true_content_lies(seed, where):
    problem = replace(random_problem(seed), counted="safe")
    solved = cheapest(problem)
    assume(isinstance(solved, Solved))
    true = tuple(
        replace(i, protein=replace(i.protein, low=at, high=at))
        for i, w in zip(problem.ingredients, where, strict=False)
        for at in [i.protein.low + w * (i.protein.high - i.protein.low)]
    )
    mix = np.array([solved.shares.get(k, 0.0) for k in problem.keys])
    for row in rows_of(replace(problem, ingredients=true)):
        if row.target.of in ("protein", "met"):
            assert float(row.at(row.bound) @ mix) >= -1e-5


@few
@given(seeds)
def test_the_analysis_of_the_recipe_agrees_on_protein_and_pollen(seed):
    solved = cheapest(replace(random_problem(seed), counted="safe"))
    assume(isinstance(solved, Solved))
    there = analyse(solved.recipe)
    assert there.shares == pytest.approx(dict(solved.shares))
    for each in solved.reached:
        if each.target.of in there.amounts and each.target.basis == "as fed":
            assert each.value.low == pytest.approx(there.amount(each.target.of).low, abs=1e-6)
            assert each.value.high == pytest.approx(there.amount(each.target.of).high, abs=1e-6)


@settings(few, max_examples=12)
@given(seeds, st.integers(1, 6))
def test_fewer_ingredients_never_cost_less(seed, most):
    problem = random_problem(seed)
    limited = cheapest(replace(problem, making=Making(most_ingredients=most, time_limit_s=5.0)))
    if isinstance(limited, Solved):
        assert len(limited.shares) <= most
        assert limited.cost_per_kg >= cost(problem) * (1 - 1e-6)
