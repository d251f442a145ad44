"""Half the difference asks for about four times the colonies: as many as R says."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from breadline.trial.classes import Lines
from breadline.trial.half_rate import as_sharp_colonies, as_sharp_yards
from breadline.trial.planner import Questions, colony_row
from breadline.trial.sets import Noise
from breadline.trial.size import YardDraw

PLAIN = Noise(2.0, 0.0, 0.0, 0.0)  # 2 frames, no baseline, none missing, spread alike in both groups


def dice() -> np.random.Generator:
    return np.random.default_rng(1)


def row(pairs: int):
    asked = Questions(Lines(0.75, 0.5), 1.0)
    return colony_row(pairs, 1, [2 * pairs], PLAIN, asked, np.random.default_rng(1))


# R 4.2.2: d <- power.t.test(n, sd = 2 * sqrt(2), power = .8, sig.level = .05, type = "paired",
# alternative = "one.sided")$delta, and the n of d / 2: 19.02, 43.49, 91.72, 395.89
@pytest.mark.parametrize(
    ("pairs", "told", "half"),
    [(6, 3.353923, 20), (12, 2.167725, 44), (24, 1.479755, 92), (100, 0.708137, 396)],
)
def test_pairs_at_half_the_rate_are_those_of_r(pairs, told, half):
    one = row(pairs)
    assert one.from_zero == pytest.approx(told, abs=1e-5)
    assert as_sharp_colonies(one, PLAIN, 0.5, dice) == half


def test_there_and_back():
    one = row(24)
    back = replace(one, check=92, from_zero=one.from_zero / 2)
    assert as_sharp_colonies(back, PLAIN, 2.0, dice) == 24


# R 4.2.2: the same with type = "two.sample", sd = 1 and a yard a row: n = 4 tells 1.995525, half of it 13.15
def test_yards_at_half_the_rate_are_those_of_r():
    assert as_sharp_yards(YardDraw(4, 4, 1, 1.0, 0.0, 0.0, False), 0.5) == 14


def test_a_size_that_tells_nothing_has_no_number():
    assert as_sharp_colonies(replace(row(24), from_zero=float("inf")), PLAIN, 0.5, dice) is None
