"""The compiled walk over plans that share their beginning, beside the one in NumPy."""

from __future__ import annotations

import numpy as np
import pytest

from breadline.need.season_tree import FIELDS, NEVER, walk
from need.test_season_tree import DAYS, LEGS, WATCH, WAYS, ends_as_alone, yard


@pytest.mark.parametrize(("way", "on"), WAYS)
def test_a_way_that_was_branched_off_ends_as_one_run_alone(way, on):
    ends_as_alone("lanes", way, on)


def test_both_engines_see_the_same():
    block = yard()
    lanes, plain = (walk(block, np.ones((DAYS, 1)), LEGS, WATCH, e) for e in ("lanes", "reference"))
    for name in FIELDS:
        assert getattr(lanes, name) == pytest.approx(getattr(plain, name), rel=1e-9, abs=1e-9), name
    assert (lanes.bare_on < NEVER).any()
    assert (lanes.crowded_on < NEVER).any()
