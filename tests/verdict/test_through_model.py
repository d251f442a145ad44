"""What a trial says of a feed's pollen-equivalence, through the season model."""

from __future__ import annotations

import numpy as np
import pytest

from breadline.errors import TrialError
from breadline.verdict.through_model import (
    FedYard,
    Observed,
    equivalence,
    grid_of,
    on_grid,
    shown_by,
    smoothed,
)
from tests.plan.reference_yards import reference

GRID = grid_of(1.5, 61)
EVEN = np.gradient(GRID) / np.gradient(GRID).sum()


def test_draws_become_weights_that_keep_their_mean():
    draws = np.array([0.0, 0.1, 0.37, 1.2])
    weight = on_grid(draws, GRID)
    assert weight.sum() == pytest.approx(1.0)
    assert weight @ GRID == pytest.approx(draws.mean())


def test_lumps_of_a_few_draws_are_no_modes():
    draws = np.abs(np.random.default_rng(2).lognormal(-1.0, 0.6, 200)) * (np.arange(200) > 30)
    rough = on_grid(draws, GRID)
    even = smoothed(rough, GRID, 3.0)
    assert even.sum() == pytest.approx(1.0)
    assert even[0] == pytest.approx(rough[0])
    flat = Observed(0.3, 50.0, 0.15)
    nothing, other = sorted(equivalence(GRID, even, GRID, flat).modes, key=lambda mode: mode.middle)
    assert nothing.share == pytest.approx(rough[0], abs=0.03)
    assert len(equivalence(GRID, rough, GRID, flat).modes) > 2
    assert other.low < np.exp(-1.0) < other.high


def test_where_the_model_rises_the_posterior_is_the_normal_one_by_hand():
    """Log ratio = ε, a flat belief before: normal around the observed one with both errors added."""
    found = equivalence(GRID, EVEN, GRID, Observed(0.7, 0.09, 0.12))
    (mode,) = found.modes
    assert mode.middle == pytest.approx(0.7, abs=0.02)
    spread = np.hypot(0.09, 0.15)  # the model's own error is not believed below 0.15
    assert mode.high - mode.low == pytest.approx(2 * 1.645 * spread, rel=0.06)
    assert mode.share == pytest.approx(1.0, abs=1e-4)


def test_a_larger_error_of_the_model_counts():
    narrow, wide = (equivalence(GRID, EVEN, GRID, Observed(0.7, 0.09, m)).modes[0] for m in (0.15, 0.4))
    assert wide.high - wide.low > narrow.high - narrow.low


def test_two_equivalences_that_show_the_same_are_told_apart():
    """A curve that rises and falls: the trial cannot say on which side of its top the feed is."""
    shown = 1.2 * np.sin(np.pi * GRID / 1.5)
    found = equivalence(GRID, EVEN, shown, Observed(0.6, 0.05, 0.15))
    one, other = sorted(found.modes, key=lambda mode: mode.middle)
    assert one.middle == pytest.approx(0.25, abs=0.05)
    assert other.middle == pytest.approx(1.25, abs=0.05)
    assert one.high < other.low
    assert one.share + other.share == pytest.approx(1.0, abs=0.02)


def test_a_loss_points_at_a_feed_worth_nothing():
    found = equivalence(GRID, EVEN, 0.8 * GRID, Observed(-0.5, 0.1, 0.15))
    assert found.modes[0].middle < 0.15
    assert found.beyond


@pytest.fixture(scope="module")
def yards():
    block = reference("dearth", draws=40)
    days = block.drivers.put_on_g.shape[0]
    return [FedYard(block, block.drivers.put_on_g, np.zeros(days), 20)]


def test_the_model_shows_nothing_for_a_feed_worth_nothing_and_more_for_a_better_one(yards):
    grid = grid_of(0.6, 4)
    shown = shown_by(yards, grid)
    assert shown[0] == 0.0
    assert (np.diff(shown) > 0).all()


def test_a_yard_that_was_fed_alike_in_both_arms_shows_no_difference(yards):
    (yard,) = yards
    same = FedYard(yard.block, yard.fed_g, yard.fed_g, 20)
    assert shown_by([same], grid_of(0.6, 3)) == pytest.approx(0.0)


def test_yards_count_by_their_colonies(yards):
    (yard,) = yards
    idle = FedYard(yard.block, yard.check_g, yard.check_g, 60)
    grid = np.array([0.0, 0.5])
    alone, diluted = shown_by(yards, grid)[1], shown_by([yard, idle], grid)[1]
    ratio = (20 * np.exp(alone) + 60) / 80
    assert diluted == pytest.approx(np.log(ratio))


def test_a_trial_without_a_yard_is_refused():
    with pytest.raises(TrialError, match="no colony to run"):
        shown_by([], GRID)
