"""Fits at a boundary are said; models that the data cannot carry are refused in words."""

from __future__ import annotations

import numpy as np
import pytest

from breadline.errors import FitError
from breadline.verdict.reml import reml, reml_many

from .invented_trials import trial

YARD = np.repeat(np.arange(6), 5)
FED = (YARD % 2).astype(float)
FIXED = np.column_stack([np.ones(30), FED])


def alike_yards(seed: int):
    """Yards whose means differ less than their colonies would let them by chance."""
    within = np.random.default_rng(seed).normal(size=(6, 5))
    within -= within.mean(axis=1, keepdims=True)
    return 8.0 + 0.4 * FED + within.reshape(-1)


def test_yards_that_do_not_differ_are_said_and_give_no_degrees_of_freedom_of_colonies():
    fit = reml(alike_yards(1), FIXED, {"yard": YARD})
    assert fit.variances["yard"] == 0.0
    assert fit.at_boundary == ("yard",)
    assert fit.settled
    assert fit.effect(1).df == pytest.approx(4), "28 would take every colony for an independent one"


def test_one_of_two_groupings_may_be_at_the_boundary():
    half = 10 * YARD + np.tile([0, 0, 1, 1, 1], 6)
    y = alike_yards(2) + np.array([2.0, -2.0])[half % 10] * np.tile([1.5, 1.5, 1, 1, 1], 6)
    fit = reml(y, FIXED, {"yard": YARD, "half": half})
    assert fit.at_boundary == ("yard",)
    assert fit.variances["half"] > 1.0


def test_many_hold_fits_at_the_boundary_and_inside():
    rng = np.random.default_rng(3)
    y = rng.normal(size=(60, 6))[:, YARD] * rng.choice([0.0, 2.0], size=(60, 1)) + rng.normal(size=(60, 30))
    many = reml_many(y, FIXED, {"yard": YARD}, np.array([0.0, 1.0]))
    assert many.settled.all()
    assert 5 < np.sum(many.variances["yard"] == 0.0) < 55
    assert (many.df < 12).all()


@pytest.mark.parametrize("ratio", [1e-6, 1e-3, 1e3, 1e6])
def test_yards_that_differ_hardly_or_hugely_are_no_special_case(ratio):
    rng = np.random.default_rng(4)
    y = np.sqrt(ratio) * rng.normal(size=6)[YARD] + rng.normal(size=30)
    fit = reml(y, FIXED, {"yard": YARD})
    assert fit.settled
    if ratio > 1:
        assert fit.effect(1).df == pytest.approx(4.0, rel=1e-3)


@pytest.mark.parametrize(
    ("fixed", "groups", "said"),
    [
        (FIXED, {"colony": np.arange(30)}, "cannot be told apart"),
        (FIXED, {"yard": YARD, "place": YARD + 7}, "cannot be told apart"),
        (FIXED, {"all": np.zeros(30, int)}, "follow from the columns"),
        (
            (YARD[:, None] == np.arange(6)).astype(float),
            {"yard": YARD},
            "follow from the columns",
        ),
        (FIXED, {"arm": YARD % 2}, "follow from the columns"),
        (np.column_stack([FIXED, 2.0 * FED - 1.0]), {"yard": YARD}, "column 3 follows"),
        (FIXED, {"yard": np.array([None, *YARD[1:]], dtype=object)}, "no label"),
        (FIXED, {"yard": YARD[:-1]}, "labels for 30 rows"),
    ],
    ids=["colony alone", "twice", "one level", "yard as columns", "arm", "column", "unlabelled", "short"],
)
def test_what_cannot_be_told_apart_is_refused(fixed, groups, said):
    with pytest.raises(FitError, match=said):
        reml(alike_yards(5), fixed, groups)


@pytest.mark.parametrize(
    ("outcome", "said"),
    [
        (np.full(30, 8.0), "explain every value"),
        (8.0 + FED, "explain every value"),
        (np.where(np.arange(30) == 3, np.nan, 8.0 + FED), "no number"),
        (np.arange(6.0)[YARD] ** 2, "nothing varies within"),
    ],
    ids=["all equal", "arms only", "missing", "yards only"],
)
def test_an_outcome_that_leaves_nothing_to_estimate_is_refused(outcome, said):
    with pytest.raises(FitError, match=said):
        reml(outcome, FIXED, {"yard": YARD})


def test_too_few_rows_are_refused():
    with pytest.raises(FitError, match="rows for"):
        reml(np.arange(3.0), np.eye(3)[:, :2], {"yard": np.array([0, 0, 1])})


def test_the_work_grows_with_components_not_with_their_square():
    t = trial(1, "yards and arms", rows=50)
    one = reml(t.outcome, t.fixed, t.groups)
    yards = 200
    again = np.random.default_rng(0).normal(size=(yards, 50)) + t.outcome
    groups = {
        name: (np.arange(yards)[:, None] * 1000 + labels).reshape(-1) for name, labels in t.groups.items()
    }
    many = reml(again.reshape(-1), np.tile(t.fixed, (yards, 1)), groups)
    assert many.settled, "10,000 rows: a matrix of rows by rows would hold 800 MB"
    assert many.effect(2).se < one.effect(2).se
