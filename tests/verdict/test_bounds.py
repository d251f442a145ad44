"""Unknown ends: the bounds hold every filling, and too many of them are no fair comparison."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breadline.errors import TrialError
from breadline.verdict.ancova import contrast, fit
from breadline.verdict.bounds import bounds, unfair_missing
from tests.verdict.test_ancova import FED_LESS_CHECK, ends, same, trials


@settings(max_examples=30, deadline=None)
@given(trials(), st.integers(0, 10**6))
def test_no_filling_falls_outside(data, seed):
    rng = np.random.default_rng(seed)
    missing = rng.random(len(data.arm)) < 0.2
    found = bounds(data, missing, FED_LESS_CHECK, 0.0, 20.0)
    for _ in range(5):
        filled = np.where(missing, rng.choice([0.0, 20.0, 7.5], len(missing)), data.outcome)
        estimate = contrast(fit(replace(data, outcome=filled)), FED_LESS_CHECK).estimate
        assert found.worst.estimate - 1e-9 <= estimate <= found.best.estimate + 1e-9


@settings(max_examples=10, deadline=None)
@given(trials())
def test_with_nothing_missing_both_are_the_estimate(data):
    found = bounds(data, np.zeros(len(data.arm), bool), FED_LESS_CHECK, 0.0, 20.0)
    one = contrast(fit(data), FED_LESS_CHECK)
    same(one, found.worst)
    same(one, found.best)
    assert found.interval(0.9) == pytest.approx(one.interval(0.9))


def test_two_arms_by_hand():
    data = ends([4, 6, 0, 8, 10, 0], [0, 0, 0, 1, 1, 1])
    found = bounds(data, np.array([0, 0, 1, 0, 0, 1], bool), FED_LESS_CHECK, 0.0, 12.0)
    assert found.worst.estimate == pytest.approx((8 + 10 + 0) / 3 - (4 + 6 + 12) / 3)
    assert found.best.estimate == pytest.approx((8 + 10 + 12) / 3 - (4 + 6 + 0) / 3)


# 10 colonies an arm unless said; counted by hand
@pytest.mark.parametrize(
    ("started", "gone", "unfair"),
    [
        ((20, 20), (0, 0), False),
        ((20, 20), (2, 2), False),
        ((20, 20), (3, 2), True),
        ((20, 20), (1, 0), False),
        ((20, 20), (2, 0), True),
        ((10, 90), (1, 1), False),
        ((10, 90), (1, 0), True),
        ((100, 100), (10, 1), False),
        ((30, 30, 30), (0, 0, 3), True),
    ],
)
def test_when_missing_ends_are_too_many(started, gone, unfair):
    arm = np.repeat(np.arange(len(started)), started)
    missing = np.concatenate([np.arange(n) < g for n, g in zip(started, gone, strict=True)])
    assert unfair_missing(arm, missing) is unfair


def test_bounds_need_room():
    with pytest.raises(TrialError, match="least"):
        bounds(ends([1, 2, 3, 5], [0, 0, 1, 1]), np.zeros(4, bool), FED_LESS_CHECK, 2.0, 2.0)
