"""Who gets what: one line, pieces that people cut, and whole colonies that add up."""

from __future__ import annotations

from math import inf

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.errors import PlanError
from breadline.plan.bands import GETS, Band
from breadline.plan.portions import Step
from breadline.plan.strength_classes import (
    checked_steps,
    colonies_by_share,
    colonies_in,
    cut_for,
    steps_line,
    steps_of,
)
from tests.plan.loads import METRIC, POUND, STEPS, steps


def bands(*given):
    """From (frames, gets, share)."""
    ends = [*(low for low, _, _ in given[1:]), inf]
    return tuple(Band(low, end, gets, share) for (low, gets, share), end in zip(given, ends, strict=True))


@pytest.mark.parametrize(
    ("told", "said"),
    [
        (STEPS, "Under 4 frames of bees: none; 4 to 7½: ½ patty (½ lb); 8 and over: 1 patty (1 lb)."),
        ((Step(0, 0.5), Step(8, 1)), "Under 8 frames of bees: ½ patty (½ lb); 8 and over: 1 patty (1 lb)."),
        (steps(4, 4.5, 0.5, 0), "Under 4 frames of bees: none; 4: ½ patty (½ lb); 4½ and over: none."),
        ((Step(0, 2),), "Every colony: 2 patties (2 lb)."),
        ((Step(0, 0),), "Every colony: none."),
    ],
)  # fmt: skip
def test_the_classes_are_one_line(told, said):
    assert steps_line(told, POUND) == said


def test_the_line_in_grams():
    assert steps_line(STEPS, METRIC).endswith("4 to 7½: ½ patty (200 g); 8 and over: 1 patty (400 g).")


@pytest.mark.parametrize(
    "wrong",
    [(), (Step(1, 0),), (Step(0, 0), Step(0, 1)), steps(8, 4, 0.5, 1), (Step(0, 0.3),), (Step(0, -1),),
     tuple(Step(n, 1) for n in range(5)), (Step(0, float("nan")),)],
)  # fmt: skip
def test_classes_that_cannot_be_are_refused(wrong):
    with pytest.raises(PlanError, match="Two Oaks"):
        checked_steps(wrong, "Two Oaks")


def test_the_searchs_classes_become_pieces_and_strong_colonies_may_get_none():
    chosen = bands((0.0, "none", 0.2), (4.0, "full", 0.5), (9.0, "none", 0.3))
    assert steps_of(chosen, 460.0, POUND) == (Step(0.0, 0.0), Step(4.0, 1.0), Step(9.0, 0.0))


def test_neighbours_that_get_the_same_become_one_class():
    """Half of a quarter patty cannot be cut, so the half class gets none as the weak do."""
    chosen = bands((0.0, "none", 0.2), (4.0, "half", 0.5), (9.0, "full", 0.3))
    small = steps_of(chosen, 120.0, POUND)
    assert small == (Step(0.0, 0.0), Step(9.0, 0.25))
    assert colonies_by_share(small, chosen, 10) == (7, 3)


SHARES = st.lists(st.floats(0.01, 1.0), min_size=1, max_size=3)


@given(SHARES, st.integers(0, 3000), st.permutations(GETS))
def test_colonies_by_share_add_up_and_are_within_one_of_their_share(shares, colonies, gets):
    total = sum(shares)
    chosen = bands(*((3.0 * n, gets[n], share / total) for n, share in enumerate(shares)))
    told = steps_of(chosen, 500.0, POUND)
    counts = colonies_by_share(told, chosen, colonies)
    assert sum(counts) == colonies
    assert len(told) == len(counts) == len(chosen)
    assert all(abs(n - band.share * colonies) < 1 + 1e-6 for n, band in zip(counts, chosen, strict=True))


@given(st.lists(st.floats(0, 30), max_size=60))
def test_colonies_counted_one_by_one_add_up(frames):
    counts = colonies_in(STEPS, frames)
    assert sum(counts) == len(frames)
    assert counts[0] == sum(f < 4 for f in frames)
    assert counts[2] == sum(f >= 8 for f in frames)


@pytest.mark.parametrize(("frames", "cut"), [(0, 0), (3.9, 0), (4, 0.5), (7.9, 0.5), (8, 1), (30, 1)])
def test_a_colony_on_the_border_is_in_the_class_above(frames, cut):
    assert cut_for(STEPS, frames) == cut
