"""What must not change an answer does not: unit, shift, order, names, the way columns are written."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breadline.verdict.reml import MixedFit, reml

from .invented_trials import SHAPES, Trial, trial

TRIALS = st.builds(trial, seed=st.integers(0, 500), shape=st.sampled_from(SHAPES), rows=st.integers(40, 90))
FEW = settings(max_examples=25, deadline=None, derandomize=True)


def fitted(t: Trial) -> MixedFit:
    return reml(t.outcome, t.fixed, t.groups)


def same_variances(one: MixedFit, other: MixedFit, factor: float = 1.0) -> None:
    whole = sum(one.variances.values())
    for name, variance in one.variances.items():
        assert other.variances[name] / factor == pytest.approx(variance, rel=1e-4, abs=1e-6 * whole)
    assert one.at_boundary == other.at_boundary


def same_test(one: MixedFit, other: MixedFit, sign: float = 1.0) -> None:
    a, b = one.effect(2), other.effect(2)
    assert b.t == pytest.approx(sign * a.t, rel=1e-5, abs=1e-7)
    assert b.df == pytest.approx(a.df, rel=1e-4)


@FEW
@given(TRIALS, st.floats(1e-6, 1e6))
def test_another_unit_of_the_outcome(t, factor):
    one, other = fitted(t), fitted(replace(t, outcome=t.outcome * factor))
    assert other.effects / factor == pytest.approx(one.effects, rel=1e-6, abs=1e-8)
    same_variances(one, other, factor**2)
    same_test(one, other)


@FEW
@given(TRIALS, st.tuples(st.floats(-1e4, 1e4), st.floats(-100, 100), st.floats(-100, 100)))
def test_what_the_columns_explain_is_added(t, added):
    one, other = fitted(t), fitted(replace(t, outcome=t.outcome + t.fixed @ np.array(added)))
    assert other.effects - added == pytest.approx(one.effects, abs=1e-6)
    assert other.covariance == pytest.approx(one.covariance, rel=1e-4)
    same_variances(one, other)


@FEW
@given(TRIALS, st.randoms(use_true_random=False))
def test_rows_in_another_order(t, shuffled):
    order = list(range(len(t.outcome)))
    shuffled.shuffle(order)
    groups = {name: labels[order] for name, labels in t.groups.items()}
    one, other = fitted(t), fitted(Trial(t.outcome[order], t.fixed[order], groups))
    assert other.criterion == pytest.approx(one.criterion, abs=1e-7)
    same_variances(one, other)
    same_test(one, other)


@FEW
@given(TRIALS, st.randoms(use_true_random=False))
def test_other_names_of_yards_and_groupings_in_another_order(t, shuffled):
    names = [f"yard {i}" for i in range(200)]
    shuffled.shuffle(names)
    groups = {name: np.array(names)[labels] for name, labels in reversed(t.groups.items())}
    one, other = fitted(t), fitted(replace(t, groups=groups))
    assert list(other.variances) == [*reversed(t.groups), "residual"]
    assert other.criterion == pytest.approx(one.criterion, abs=1e-7)
    assert sorted(one.at_boundary) == sorted(other.at_boundary)
    same_test(one, other)


@FEW
@given(TRIALS, st.lists(st.floats(-3, 3), min_size=3, max_size=3))
def test_columns_written_another_way(t, mixing):
    turn = np.array([[1.0, mixing[0], mixing[1]], [0.0, 2.0, mixing[2]], [0.0, 0.0, -0.5]])
    one, other = fitted(t), fitted(replace(t, fixed=t.fixed @ turn))
    assert turn @ other.effects == pytest.approx(one.effects, rel=1e-5, abs=1e-7)
    assert turn @ other.adjusted_covariance @ turn.T == pytest.approx(
        one.adjusted_covariance, rel=1e-4, abs=1e-9
    )
    told, again = one.f_test(np.eye(3)[1:]), other.f_test(np.eye(3)[1:] @ turn)
    assert (again.f, again.scale, again.df) == pytest.approx((told.f, told.scale, told.df), rel=1e-4)


@FEW
@given(TRIALS)
def test_arms_swapped_turn_the_sign(t):
    swapped = t.fixed.copy()
    swapped[:, 2] = 1.0 - swapped[:, 2]
    same_test(fitted(t), fitted(replace(t, fixed=swapped)), sign=-1.0)


@FEW
@given(TRIALS)
def test_one_column_is_its_t_squared_and_errors_are_never_smaller_than_unadjusted(t):
    fit = fitted(t)
    told, f = fit.effect(2), fit.f_test([[0.0, 0.0, 1.0]])
    assert (f.f, f.df, f.p) == pytest.approx((told.t**2, told.df, told.p), rel=1e-6)
    assert told.df > 0
    assert np.linalg.eigvalsh(fit.covariance).min() > 0
