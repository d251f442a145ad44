"""The solver against one of another family: an interior-point method, on rows written out again here."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import clarabel
import numpy as np
import pytest
from scipy.sparse import csc_matrix, vstack

from breadline.knowledge.ingredient import Content
from breadline.ration.problem import Problem
from breadline.ration.rows import DRY_LEAST
from breadline.ration.solver import Conflict, Solved, cheapest
from breadline.ration.targets import PROTEIN, SHARE
from tests.ration.random_problems import random_problem

SHORT = 200  # the long form is in scripts/soak.d/ration_solver.py
KEPT = 1e-7  # of a row of size one: HiGHS lets no more through


def written_out(problem: Problem) -> np.ndarray:
    """Rows that must add up to nought or more, by plain loops over the ingredients; not the solver's own."""
    rows = []
    for target in problem.targets:
        for side in ("least", "most"):
            bound = getattr(target, side)
            if bound is None:
                continue
            row = []
            for i in problem.ingredients:
                times = 100.0 if target.to == PROTEIN else 1.0
                worst = []
                for there in truths(problem, i, target):
                    top_low, top_high = ends(problem, there, target.of, target)
                    low, high = below(problem, there, target)
                    least = side == "least"
                    worst.append(top_low * times - bound * high if least else bound * low - top_high * times)
                row.append(min(worst))
            rows.append(row)
    for basis in {t.basis for t in problem.targets} - {"", "as fed"}:
        target = [t for t in problem.targets if t.basis == basis][-1]
        end = 1 if target.least is not None else 0
        rows.append([below(problem, i, target)[end] - DRY_LEAST for i in problem.ingredients])
    return np.array(rows)


def truths(problem, i, target):
    """An amino acid in the protein moves with it: the ingredient as it may be at some places in between."""
    if target.to != PROTEIN or problem.counted == "middle":
        return [i]
    low, high = i.protein.low, i.protein.high
    places = [low + part * (high - low) for part in (0.0, 0.3, 0.7, 1.0)]
    return [replace(i, protein=Content(p, p)) for p in places]


def below(problem, i, target):
    if target.to:
        return ends(problem, i, target.to, target)
    if target.basis in ("", "as fed"):
        return 1.0, 1.0
    low, high = 1.0, 1.0
    for name in ("water", "sugars") if target.basis == "sugar-free dry matter" else ("water",):
        part = ends(problem, i, name, target)
        low, high = low - part[1] / 100.0, high - part[0] / 100.0
    return max(0.0, low), max(0.0, high)


def ends(problem, i, name, target):
    """Low and high of one thing in one ingredient, the rule for blanks written out again."""
    if name == SHARE:
        return (100.0, 100.0) if i.key in target.keys else (0.0, 0.0)
    if name == "met":
        if not i.acid_shares:
            return i.amino_acids["met"].low, i.amino_acids["met"].high
        low, high = i.acid_shares["met"] * i.protein.low, i.acid_shares["met"] * i.protein.high
        return ((low + high) / 2.0,) * 2 if problem.counted == "middle" else (low, high)
    if name == PROTEIN:
        turn = 6.25 / i.nitrogen_factor if target.factor == "N × 6.25" else 1.0
        low, high = i.protein.low * turn, i.protein.high * turn
        return ((low + high) / 2.0,) * 2 if problem.counted == "middle" else (low, high)
    if name in i.nutrients:
        return i.nutrients[name].low, i.nutrients[name].high
    taken = sum(i.nutrients[n].low for n in ("water", "fat", "ash", "sugars") if n in i.nutrients)
    weighs = i.protein.low * min(1.0, 5.70 / i.nitrogen_factor)  # crude protein counts more than it weighs
    left = max(0.0, 100.0 - weighs - taken)
    return 0.0, room(i, name, left)


def room(i, name, left):
    """The most an unreported content can be: fatty acids within fat, minerals within ash."""
    if name in ("linoleic", "linolenic"):
        other = "linolenic" if name == "linoleic" else "linoleic"
        fat = i.nutrients["fat"].high if "fat" in i.nutrients else left
        return max(0.0, fat - (i.nutrients[other].low if other in i.nutrients else 0.0))
    if name in ("sodium", "potassium"):
        other = "potassium" if name == "sodium" else "sodium"
        ash = i.nutrients["ash"].high if "ash" in i.nutrients else left
        return 1000.0 * max(0.0, ash - (i.nutrients[other].low / 1000.0 if other in i.nutrients else 0.0))
    return left


def by_interior_point(problem: Problem) -> float | None:
    """Cost of the cheapest mix, or ``None`` where a proof says that there is none."""
    rows = written_out(problem)
    size = np.abs(rows).max(axis=1)
    rows = rows / np.where(size > 0.0, size, 1.0)[:, None]
    n = rows.shape[1]
    matrix = vstack([csc_matrix(np.ones((1, n))), csc_matrix(-rows), csc_matrix(-np.eye(n))], format="csc")
    limits = np.concatenate([[1.0], np.zeros(len(rows) + n)])
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    costs = np.array([problem.price(k) for k in problem.keys])
    cones = [clarabel.ZeroConeT(1), clarabel.NonnegativeConeT(len(rows) + n)]
    found = clarabel.DefaultSolver(csc_matrix((n, n)), costs, matrix, limits, cones, settings).solve()
    if "Infeasible" in str(found.status):
        return None
    if "Solved" not in str(found.status):  # at odds by a hair: neither a mix nor a proof in its precision
        missed = least_missed(rows)
        assert missed > KEPT, f"{found.status}, and a mix misses by no more than {missed:g}"
        return None
    return float(costs @ np.array(found.x))


def least_missed(rows: np.ndarray) -> float:
    """By how much the nearest mix misses in all, the peer asked again with room in every row of size one."""
    r, n = rows.shape
    first = np.concatenate([np.ones(n), np.zeros(r)])[None, :]
    matrix = np.vstack([first, -np.hstack([rows, np.eye(r)]), -np.eye(n + r)])
    limits = np.concatenate([[1.0], np.zeros(r + n + r)])
    settings = clarabel.DefaultSettings()
    settings.verbose = False
    cones = [clarabel.ZeroConeT(1), clarabel.NonnegativeConeT(r + n + r)]
    size, costs = csc_matrix((n + r, n + r)), np.concatenate([np.zeros(n), np.ones(r)])
    found = clarabel.DefaultSolver(size, costs, csc_matrix(matrix), limits, cones, settings).solve()
    assert str(found.status) == "Solved", found.status
    return float(found.obj_val)


def test_where_the_peer_has_neither_mix_nor_proof_it_says_how_far_the_nearest_mix_misses():
    """A conflict by less than a millionth; and one mix that can be had and one that cannot, by hand."""
    irreducible(1596)
    assert least_missed(np.array([[1.0, 0.0], [0.0, 1.0]])) == pytest.approx(0.0, abs=1e-7)
    assert least_missed(np.array([[-0.25, -1.0]])) == pytest.approx(0.25, abs=1e-7)


@cache
def both(seed: int) -> tuple[float | None, float | None]:
    """What we and the peer come to."""
    problem = random_problem(seed)
    ours = cheapest(problem)
    assert isinstance(ours, Solved | Conflict)
    return ours.cost_per_kg if isinstance(ours, Solved) else None, by_interior_point(problem)


@pytest.mark.parametrize("seed", range(SHORT))
def test_both_find_the_same_cost_or_both_find_none(seed):
    agree(seed)


def agree(seed):
    ours, peers = both(seed)
    assert (ours is None) == (peers is None)
    assert ours is None or ours == pytest.approx(peers, rel=2e-6)


@pytest.mark.parametrize("seed", range(SHORT))
def test_the_peer_finds_a_conflict_set_irreducible(seed):
    irreducible(seed)


def irreducible(seed):
    """All members together have no mix; without any one of them there is one."""
    problem = random_problem(seed)
    conflict = cheapest(problem)
    if isinstance(conflict, Solved):
        assert by_interior_point(problem) is not None
        return
    assert conflict.proven
    assert conflict.irreducible
    members = [one_sided(m) for m in conflict.members]
    assert by_interior_point(replace(problem, targets=tuple(members))) is None
    for left_out in members:
        rest = tuple(m for m in members if m is not left_out)
        if rest:
            assert by_interior_point(replace(problem, targets=rest)) is not None


def test_in_steps_the_nearest_mix_gives_no_more_than_any_one_target_would_alone():
    """And where one target gives, it gives just what it must."""
    single = 0
    for seed in range(SHORT):
        conflict = cheapest(random_problem(seed))
        if isinstance(conflict, Solved):
            continue
        given = sum(abs(g.bound - g.reached) / g.target.step(g.side) for g in conflict.gives)
        for member in (m for m in conflict.members if m.enough):
            alone = abs(member.target.bound(member.side) - member.alone) / member.target.step(member.side)
            assert given <= alone * (1 + 1e-5) + 1e-6, seed
            if len(conflict.gives) == 1 and conflict.gives[0].target == member.target:
                assert given == pytest.approx(alone, rel=1e-4), seed
                single += 1
    assert single >= 1


def one_sided(member):
    """A member of a conflict as a target of its one side."""
    return replace(member.target, **{"most" if member.side == "least" else "least": None})


def test_the_random_problems_are_of_both_kinds():
    none = sum(both(seed)[1] is None for seed in range(SHORT))
    assert 0.2 * SHORT <= none <= 0.8 * SHORT
