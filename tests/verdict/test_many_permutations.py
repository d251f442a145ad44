"""The permutation of many trials at once gives the classes that the program's own gives one by one."""

from __future__ import annotations

import numpy as np
import pytest

from breadline.trial.classes import LEVEL, Lines, class_of_interval
from breadline.verdict.classes import weaker_of_both
from breadline.verdict.ends import Ends
from breadline.verdict.many_trials import ManyTrials, many_contrasts
from breadline.verdict.permutation_class import class_by_permutation

from .calibration import CELLS, MARGIN, drawn
from .many_permutations import printed_classes

TRIALS, DRAWS = 50, 9_999


def one_by_one(many: ManyTrials, lines: Lines, rng: np.random.Generator) -> list:
    low, high = many_contrasts(many).interval(LEVEL)
    found = []
    for t, outcome in enumerate(many.outcome):
        there = np.isfinite(outcome)
        ends = Ends(outcome[there], many.arm[there], many.block[there], many.baseline[t, there][:, None])
        model = class_of_interval(float(low[t]), float(high[t]), lines)
        found.append(weaker_of_both(model, class_by_permutation(ends, lines, rng, DRAWS)))
    return found


@pytest.mark.parametrize("name", ["deaths, 20 %", "missing ends, 5 %", "unequal arms, 6 and 94"])
def test_classes_of_many_are_those_of_each(name: str) -> None:
    cell = next(one for one in CELLS if one.name == name)
    rng = np.random.default_rng(6)
    many, lines = drawn(cell, TRIALS, rng), Lines(1.2, MARGIN)
    each = one_by_one(many, lines, rng)
    found = printed_classes(many, many_contrasts(many), lines, rng, DRAWS)
    differ = sum(a is not b for a, b in zip(each, found, strict=True))
    assert differ <= 2  # p within what 9,999 draws know of it
    assert len(set(each)) > 1
