"""The belief is calibrated: a short, seeded form of scripts/soak.d/belief_update.py."""

from __future__ import annotations

import numpy as np
import pytest

from belief.calibration import NAMES, band, outside, plain_update, ranks
from breadline.belief.carried import before_own_seasons
from breadline.belief.season_effects import learnt
from breadline.knowledge.shelf import load

REPEATS = 150


def drawn(update):
    reader = load().reader()
    before, worth = before_own_seasons("dearth", reader), reader.span("feed.equivalence")
    return ranks(before, worth, REPEATS, np.random.default_rng(20261125), update)


@pytest.fixture(scope="module")
def limits():
    return band(REPEATS, 1)


def test_truths_lie_anywhere_in_what_was_learnt(limits):
    found = drawn(learnt)
    assert not [name for name in NAMES if outside(found.of[name], limits).any()]


def test_an_update_that_forgets_the_season_is_caught(limits):
    found = drawn(plain_update)
    assert outside(found.of["mean over seasons"], limits).any()


def test_the_band_holds_ninety_nine_in_a_hundred_right_ones(limits):
    """With fresh dice; 4,000 right ones, so 1 in 100 gives 40 and chance 15 either way."""
    rng = np.random.default_rng(8)
    left = sum(bool(outside(rng.uniform(size=REPEATS), limits).any()) for _ in range(4000))
    assert 20 <= left <= 60
