"""Whole bags against every number of bags counted out, each worked by the interior-point peer."""

from __future__ import annotations

import itertools
from dataclasses import replace

import clarabel
import numpy as np
import pytest
from scipy.sparse import csc_matrix, vstack

from breadline.ration.problem import Making, Problem
from breadline.ration.solver import Conflict, Solved, cheapest
from tests.ration.random_problems import random_problem
from tests.ration.test_peer import written_out

BATCH, FILL = 60.0, 0.8


def asked(seed: int) -> Problem:
    """A random question of which two ingredients come by bags of 7 to 25 kg."""
    problem = random_problem(seed)
    rng = np.random.default_rng([seed, 7])
    bags = problem.keys[:2]
    prices = {
        k: replace(p, bag_kg=float(rng.uniform(7.0, 25.0))) if k in bags else p
        for k, p in problem.prices.items()
    }
    return replace(problem, prices=prices, making=Making(BATCH, FILL, frozenset(bags)))


def counted_out(problem: Problem) -> float | None:
    """The cheapest kilogram over all numbers of bags."""
    sizes = [problem.prices[k].bag_kg / BATCH for k in problem.keys[:2]]
    counts = itertools.product(*(range(int(1.0 / size + 1e-9) + 1) for size in sizes))
    costs = [cost for n in counts if (cost := with_bags(problem, np.array(n) * sizes)) is not None]
    return min(costs, default=None)


def with_bags(problem: Problem, bagged: np.ndarray) -> float | None:
    """The cheapest kilogram with so much of the mixer in bags.

    Shares ``y`` of the mix and ``t``, the mixer over the batch: a bag's share is its
    part of the mixer times ``t``, and ``t`` lies between 1 and 1 over the least fill.
    """
    rows = written_out(problem)
    rows = rows / np.maximum(np.abs(rows).max(axis=1), 1e-12)[:, None]
    n = rows.shape[1]
    fixed = np.hstack([np.eye(2), np.zeros((2, n - 2)), -bagged[:, None]])
    one = np.concatenate([np.ones(n), [0.0]])[None, :]
    kept = np.hstack([-rows, np.zeros((len(rows), 1))])
    least = np.hstack([-np.eye(n), np.zeros((n, 1))])
    ends = np.zeros((2, n + 1))
    ends[:, n] = (-1.0, 1.0)
    matrix = vstack([csc_matrix(part) for part in (one, fixed, kept, least, ends)], format="csc")
    limits = np.concatenate([[1.0], np.zeros(2 + len(rows) + n), [-1.0, 1.0 / FILL]])
    costs = np.array([*(problem.price(k) for k in problem.keys), 0.0])
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    cones = [clarabel.ZeroConeT(3), clarabel.NonnegativeConeT(len(limits) - 3)]
    square = csc_matrix((n + 1, n + 1))
    found = clarabel.DefaultSolver(square, costs, matrix, limits, cones, settings).solve()
    if "Infeasible" in str(found.status):
        return None
    assert "Solved" in str(found.status), found.status
    return float(costs @ np.array(found.x))


def test_whole_bags_cost_what_counting_them_all_out_finds():
    kinds = {Solved: 0, Conflict: 0}
    for seed in range(24):
        problem = asked(seed)
        ours, peers = cheapest(problem), counted_out(problem)
        kinds[type(ours)] += 1
        assert isinstance(ours, Solved) == (peers is not None), seed
        if isinstance(ours, Solved):
            assert ours.cost_per_kg == pytest.approx(peers, rel=1e-5), seed
            assert not ours.stopped
    assert min(kinds.values()) >= 3
