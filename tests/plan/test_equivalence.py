"""The belief, passed through the season model, comes back as it went in."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from breadline.belief.gain import SITUATIONS, gain_draws
from breadline.errors import OurFault
from breadline.knowledge.shelf import load
from breadline.plan.equivalence import FeedWorth, feed_worth, shown
from plan.reference_yards import DRAWS, reference


@pytest.fixture(scope="module", params=SITUATIONS)
def found(request):
    """Reference run, worth and reader of each situation."""
    reader = load().reader()
    block = reference(request.param, reader=reader)
    gain = gain_draws(request.param, reader, np.random.default_rng(2), DRAWS)
    return block, feed_worth(block, request.param, gain, reader), reader


def simulated(block, worth):
    fed, unfed = shown(block, worth.equivalence), shown(block, np.zeros(DRAWS))
    return np.log(worth.laid_on(fed.adults, fed.eaten_g) / unfed.adults)


def test_simulating_the_belief_gives_back_its_median_and_its_90_percent_range(found):
    block, worth, reader = found
    span = reader.span(f"belief.{worth.situation}_gain")
    low, middle, high = np.quantile(simulated(block, worth), (0.05, 0.5, 0.95))
    assert middle == pytest.approx(span.typical, abs=0.02)
    assert low == pytest.approx(span.low, abs=0.04)
    assert high == pytest.approx(span.high, abs=0.04)


def test_each_draw_comes_back_by_itself(found):
    block, worth, _ = found
    assert simulated(block, worth) == pytest.approx(worth.gain, abs=1e-9)


def test_a_feed_that_does_nothing_or_harm_is_worth_no_pollen_and_keeps_its_loss(found):
    _, worth, _ = found
    no_good = worth.gain <= 0
    assert no_good.any()
    assert (worth.equivalence[no_good] == 0).all()
    assert worth.remainder[no_good] == pytest.approx(worth.gain[no_good])
    assert worth.adds_nothing == pytest.approx(no_good.mean())


def test_where_the_model_reaches_a_gain_it_shows_it_by_itself(found):
    _, worth, _ = found
    left = np.abs(worth.remainder[worth.reached])
    assert np.quantile(left, 0.95) < 0.005
    assert left.max() < 0.05, (
        "a colony that starves at one equivalence and lives at the next has a step there"
    )


def test_where_it_does_not_the_rest_stays_a_gain_and_is_said(found):
    _, worth, reader = found
    short = (worth.gain > 0) & ~worth.reached
    assert (worth.remainder[short] > 0).all()
    assert worth.equivalence.max() <= reader.span("feed.equivalence").high
    assert bool(round(20 * worth.beyond)) == any(
        "more than this season model can show" in n for n in worth.notes
    )


def test_no_smaller_equivalence_would_show_the_gain(found):
    block, worth, _ = found
    less = np.where(worth.reached, 0.6 * worth.equivalence, 0.0)
    fed, unfed = shown(block, less), shown(block, np.zeros(DRAWS))
    falls_short = np.log(fed.adults / unfed.adults) < worth.gain + 0.005
    assert falls_short[worth.reached].mean() > 0.98


def test_in_a_dearth_most_of_the_belief_is_shown_by_the_model_and_in_a_flow_little():
    reader = load().reader()
    worth = {
        s: feed_worth(reference(s), s, gain_draws(s, reader, np.random.default_rng(2), DRAWS), reader)
        for s in ("dearth", "pollen")
    }
    assert worth["dearth"].beyond < 0.2 < worth["pollen"].beyond


def test_a_colony_that_was_not_fed_has_neither_loss_nor_gain():
    worth = FeedWorth(
        "dearth",
        *(np.array(v) for v in ([-0.2, 0.5], [0.0, 1.0], [-0.2, 0.1], [False, False], [400.0, 400.0])),
    )
    bees = np.array([10_000.0, 10_000.0])
    assert worth.laid_on(bees, np.zeros(2)).tolist() == bees.tolist()
    half = worth.laid_on(bees, np.array([200.0, 200.0]))
    assert half == pytest.approx(bees * np.exp([-0.1, 0.05]))
    assert worth.laid_on(bees, np.array([4000.0, 4000.0])) == pytest.approx(bees * np.exp([-0.2, 0.1]))


def test_a_curve_that_falls_again_is_crossed_where_it_rises(monkeypatch):
    """Hand-made: the log ratio rises to 0.3 at 0.4 g/g and sinks to nothing at 1.1; 0.15 is met at 0.2."""
    from breadline.plan import equivalence as module

    def bent(block, worth):
        ratio = np.where(worth <= 0.4, 0.75 * worth, 0.3 - (worth - 0.4) * 3 / 7)
        return module.Shown(10_000.0 * np.exp(ratio), np.full(worth.shape, 500.0))

    monkeypatch.setattr(module, "shown", bent)
    block = replace(reference("dearth", draws=3), equivalence=np.zeros(3))
    worth = feed_worth(block, "dearth", np.array([0.15, 0.5, -0.1]), load().reader())
    assert worth.equivalence[0] == pytest.approx(0.2, abs=0.01)
    assert worth.reached.tolist() == [True, False, False]
    assert 0.3 < worth.equivalence[1] < 0.5
    assert worth.remainder[1] == pytest.approx(0.2, abs=0.06)


def test_draws_can_be_taken_for_the_members_of_a_plan(found):
    _, worth, _ = found
    again = worth.take(np.tile(np.arange(DRAWS), 2))
    assert again.gain.shape == (2 * DRAWS,)
    assert (again.equivalence[DRAWS:] == worth.equivalence).all()


def test_a_belief_that_fits_no_colony_is_our_fault():
    with pytest.raises(OurFault, match="finite draw"):
        feed_worth(reference("dearth", draws=4), "dearth", np.zeros(3), load().reader())
