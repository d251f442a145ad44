"""The class by permutation: by hand in small draws, and near the model's in large ones."""

from __future__ import annotations

import numpy as np
import pytest

from breadline.trial.classes import LEVEL, Lines, Told, class_of_interval
from breadline.verdict.ancova import contrast, fit
from breadline.verdict.permutation_class import class_by_permutation, told_by_permutation
from tests.verdict.test_ancova import FED_LESS_CHECK, ends

LINES = Lines(break_even=0.75, margin=0.5)


def trial(benefit: float, noise: float, arms=(30, 60)):
    rng = np.random.default_rng(77)
    arm = np.repeat([0, 1], arms)
    block = np.arange(len(arm)) % 3
    baseline = rng.normal(8, 2, len(arm))
    return ends(baseline + benefit * arm + noise * rng.normal(size=len(arm)), arm, block, baseline)


@pytest.mark.parametrize(
    ("benefit", "noise", "letter"),
    [(2.0, 0.5, "A"), (0.75, 0.8, "B"), (0.4, 0.3, "C"), (0.0, 0.3, "D"), (-1.0, 0.3, "F"), (0.4, 3.0, "G")],
)
def test_it_is_the_class_of_the_model_where_the_model_is_right(benefit, noise, letter):
    data = trial(benefit, noise)
    assert class_by_permutation(data, LINES, np.random.default_rng(5), draws=1999).value == letter
    assert class_of_interval(*contrast(fit(data), FED_LESS_CHECK).interval(LEVEL), LINES).value == letter


def test_six_yards_can_just_tell_and_five_cannot():
    rng = np.random.default_rng(1)
    apart = ends([1, 2, 3, 7, 8, 9], [0, 0, 0, 1, 1, 1])  # 1 of 20 arrangements: 0.05
    assert told_by_permutation(apart, LINES, rng) == Told(True, True, False, False, False)
    fewer = ends([1, 2, 7, 8, 9], [0, 0, 1, 1, 1])  # 1 of 10
    assert told_by_permutation(fewer, LINES, rng) == Told(False, False, False, False, False)
    assert class_by_permutation(fewer, LINES, rng).value == "G"


def test_without_a_price_above_nothing_is_above_break_even():
    free = Lines(break_even=0.0, margin=0.5)
    apart = ends([1, 2, 3, 7, 8, 9], [0, 0, 0, 1, 1, 1])
    assert class_by_permutation(apart, free, np.random.default_rng(1)).value == "A"


@pytest.mark.parametrize(("benefit", "within"), [(-1.0, False), (0.0, True), (1.0, False)])
def test_within_the_margin_means_on_both_sides(benefit, within):
    told = told_by_permutation(trial(benefit, 0.3), LINES, np.random.default_rng(5), draws=1999)
    assert told.within_margin is within
