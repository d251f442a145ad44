"""A permutation draws labels as they were drawn: check hives apart in their rows, where they were kept so."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import product

import numpy as np
from scipy import stats

from breadline.trial.classes import Lines
from breadline.trial.colonies import CHECK, Became, Ended, Started
from breadline.trial.design import Allocation, CheckArm, Design, Outcome, Unit
from breadline.trial.draw import Groups, draw_colonies
from breadline.trial.matching import Candidate, colony_sets
from breadline.trial.rows import apart_in_rows
from breadline.verdict.ends_of import ends_of
from breadline.verdict.permutation import permutation_tests
from breadline.verdict.within_rows import _tried, rules_of

PAIRS, LONG = 8, 8  # of colonies; places of a row
PLACES = [(1 + n // LONG, 1 + n % LONG) for n in range(2 * PAIRS)]


def designed(arms: np.ndarray, block: np.ndarray) -> Design:
    started = tuple(
        Started(f"h{n}", "y", f"set {block[n]}", int(arms[n]), None, row, place)
        for n, (row, place) in enumerate(PLACES)
    )
    return Design(
        Outcome.FRAMES, CheckArm.SAME_CARE, Unit.COLONY, Allocation.DRAWN, ("check", "fed"), 1,
        Lines(1.0, 1.0), date(2026, 9, 1), started, seed=5, staggered=True, apart=("y",),
    )  # fmt: skip


def p_of(design: Design, outcome: np.ndarray, draws: int = 999) -> tuple[float, float]:
    came = ends_of(
        design, tuple(Ended(f"h{n}", Became.GRADED, float(v)) for n, v in enumerate(outcome + 9.0))
    )
    rules = rules_of(design, came)
    found = permutation_tests(came.ends, (0.0,), np.random.default_rng(1), draws, rules)[0]
    return found.p_above, found.p_below


def allowed(block: np.ndarray) -> np.ndarray:
    """Every draw of one check colony a pair that stands apart in the rows."""
    found = []
    for which in product((0, 1), repeat=PAIRS):
        arms = np.ones(2 * PAIRS, dtype=np.int64)
        for pair, one in enumerate(which):
            arms[np.flatnonzero(block == pair)[one]] = CHECK
        found.append(arms)
    arms = np.array(found)
    standing = designed(arms[0], block).started
    return arms[apart_in_rows(standing, arms)]


def test_feed_that_does_nothing_is_told_above_no_more_often_than_one_in_twenty() -> None:
    """Over every draw that could have fallen, ends differing along the rows."""
    rng = np.random.default_rng(3)
    patterns = {
        "alternating": np.array([place % 2 for _, place in PLACES], dtype=float),
        "twos": np.array([(place - 1) // 2 % 2 for _, place in PLACES], dtype=float),
        "ends": np.array([place in (1, LONG) for _, place in PLACES], dtype=float),
    }
    for outcome in patterns.values():
        block = rng.permutation(np.repeat(np.arange(PAIRS), 2))
        seen = allowed(block)
        noisy = outcome + rng.normal(0, 0.05, len(outcome))
        p = np.array([p_of(designed(arms, block), noisy) for arms in seen])
        assert np.all(np.mean(p <= 0.05 + 1e-9, axis=0) <= 0.05 + 1e-9)
        assert np.min(p) <= 1 / len(seen) + 1e-9  # and not by never telling


def test_where_rows_did_not_decide_the_draw_labels_fall_freely() -> None:
    block = np.repeat(np.arange(PAIRS), 2)
    design = designed(allowed(block)[0], block)
    rng = np.random.default_rng(5)
    outcome = rng.normal(0, 1, 2 * PAIRS)
    came = ends_of(design, tuple(Ended(f"h{n}", Became.GRADED, v) for n, v in enumerate(outcome + 9.0)))
    assert len(rules_of(design, came)) == 1
    for other in (replace(design, seed=None), replace(design, apart=()),
                  replace(design, allocation=Allocation.UNKNOWN)):  # fmt: skip
        assert rules_of(other, came) == ()


def test_what_is_tried_at_random_agrees_with_what_is_all_looked_at(monkeypatch) -> None:
    block = np.repeat(np.arange(PAIRS), 2)
    design = designed(allowed(block)[3], block)
    outcome = np.random.default_rng(6).normal(0, 1, 2 * PAIRS)
    exact = p_of(design, outcome)
    monkeypatch.setattr("breadline.verdict.within_rows.LISTED", 10)
    tried = p_of(design, outcome, 9_999)
    assert np.allclose(exact, tried, atol=0.02)


def test_a_draw_that_rows_leave_too_few_ways_is_drawn_freely() -> None:
    """Five pairs of neighbours in one row keep apart in fewer than 20 ways: too few to tell."""
    colonies = [Candidate(str(n), "y", 20.0 - n, 1, n + 1) for n in range(10)]
    sets = colony_sets(colonies, 5, 2)
    arms = np.array(
        [
            [CHECK if (n % 2 == 0) == which[n // 2] else 1 for n in range(10)]
            for which in product((True, False), repeat=5)
        ]
    )
    ways = int(apart_in_rows(colonies, arms).sum())
    drawn = draw_colonies(colonies, sets, [str(n) for n in range(10)], Groups(2, 1), np.random.default_rng(1))
    assert ways < 20
    assert drawn.staggered is False
    assert "freely" in drawn.said[0]


def test_labels_tried_freely_are_kept_each_as_often() -> None:
    block = np.repeat(np.arange(PAIRS), 2)
    seen = allowed(block)
    design = designed(seen[0], block)
    came = ends_of(design, tuple(Ended(f"h{n}", Became.GRADED, 9.0) for n in range(2 * PAIRS)))
    rule = rules_of(design, came)[0]
    sets = [np.flatnonzero(block == b) for b in range(PAIRS)]
    labels = came.ends.arm == 1
    found = _tried(rule, labels, sets, (100 * len(seen), 10**9), np.random.default_rng(7))
    assert found is not None
    number = {(row == 1).tobytes(): n for n, row in enumerate(seen)}
    counts = np.bincount([number[row.tobytes()] for row in found], minlength=len(seen))
    assert stats.chisquare(counts).pvalue > 1e-3
    assert _tried(rule, labels, sets, (1000, 2_000), np.random.default_rng(7)) is None  # it would take more


def test_where_trying_would_not_do_exchanges_agree_with_what_is_all_looked_at(monkeypatch) -> None:
    block = np.repeat(np.arange(PAIRS), 2)
    design = designed(allowed(block)[3], block)
    outcome = np.random.default_rng(6).normal(0, 1, 2 * PAIRS)
    exact = p_of(design, outcome)
    monkeypatch.setattr("breadline.verdict.within_rows.LISTED", 10)
    monkeypatch.setattr("breadline.verdict.within_rows.CELLS", 1_000)
    assert np.allclose(exact, p_of(design, outcome, 9_999), atol=0.02)
