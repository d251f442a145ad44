"""The likely gain, told with its range and never as sure."""

from __future__ import annotations

import numpy as np
import pytest

from breadline.belief.gain import LikelyGain, Situation, gain_draws, likely_gain
from breadline.errors import FigureError
from breadline.knowledge.shelf import load
from breadline.span import Z95


def test_the_gain_is_a_ratio_of_fed_to_unfed() -> None:
    reader = load().reader()
    gain = likely_gain("dearth", reader)
    assert gain.typical == pytest.approx(np.exp(reader.typical("belief.dearth_gain")))
    assert gain.low < 1 < gain.high, "no trial rules out that it did nothing"
    assert "belief.dearth_gain" in reader.used


def test_it_is_said_with_its_range() -> None:
    said = likely_gain("dearth", load().reader()).sentence
    assert "25 % more bees than unfed ones in the middle case" in said
    assert "from 10 % fewer to 73 % more" in said


def test_where_pollen_comes_in_the_middle_case_is_nothing() -> None:
    said = likely_gain("pollen", load().reader()).sentence
    assert "as many bees as unfed ones in the middle case" in said


def test_a_middle_case_of_fewer_bees_is_said_so() -> None:
    """As a user's edit of the shelf can make it: never told as "as many"."""
    said = LikelyGain("pollen", 0.7, 0.9, 1.1).sentence
    assert "had 10 % fewer bees than unfed ones in the middle case" in said
    assert "from 30 % fewer to 10 % more" in said


def test_a_dearth_promises_more_than_a_flow() -> None:
    reader = load().reader()
    assert likely_gain("dearth", reader).typical > likely_gain("pollen", reader).typical


@pytest.mark.parametrize(
    ("situation", "mean", "sd"), [("dearth", 0.22, 0.20), ("poor_spring", 0.15, 0.20), ("pollen", 0.0, 0.12)]
)
def test_the_shipped_belief_is_the_one_that_is_told(situation: Situation, mean: float, sd: float) -> None:
    draws = gain_draws(situation, load().reader(), np.random.default_rng(1), 40_000)
    assert draws.mean() == pytest.approx(mean, abs=0.01)
    assert draws.std() == pytest.approx(sd, rel=0.03)


def test_a_poor_spring_lies_between_a_dearth_and_a_flow() -> None:
    reader = load().reader()
    typical = [likely_gain(s, reader).typical for s in ("dearth", "poor_spring", "pollen")]
    assert typical == sorted(typical, reverse=True)
    assert "16 % more bees" in likely_gain("poor_spring", reader).sentence
    assert "from 16 % fewer to 62 % more" in likely_gain("poor_spring", reader).sentence


def test_what_an_analysis_says_is_added_and_widens() -> None:
    reader = load().reader()
    plain = gain_draws("dearth", reader, np.random.default_rng(3), 20_000)
    moved = gain_draws("dearth", reader, np.random.default_rng(3), 20_000, (0.05, 0.10))
    assert (moved - plain).mean() == pytest.approx(0.05, abs=0.005)
    assert moved.std() > plain.std()
    for wrong in ((0.05, -0.1), (float("nan"), 0.1), (0.3, 0.1), (0.05, 0.3)):
        with pytest.raises(FigureError, match="shift"):
            gain_draws("dearth", reader, np.random.default_rng(3), 2, wrong)


def test_the_same_chance_gives_the_same_place_in_each_belief() -> None:
    """So that situations, and feeds, can be compared draw by draw."""
    reader = load().reader()
    one, other = (gain_draws(s, reader, np.random.default_rng(5), 50) for s in ("dearth", "pollen"))
    assert (one.argsort() == other.argsort()).all()


def test_the_shift_that_a_feed_with_real_pollen_may_bring_is_allowed() -> None:
    reader = load().reader()
    contrast = reader.span("analysis.product_contrast")
    whole = (contrast.typical, (contrast.high - contrast.low) / (2 * Z95))
    assert gain_draws("dearth", reader, np.random.default_rng(3), 5, whole).shape == (5,)
    assert whole[0] == pytest.approx(0.05)
    assert whole[1] == pytest.approx(0.10, abs=0.005)


def test_few_draws_already_have_the_mean_and_spread_of_the_belief() -> None:
    """Any 500 of them, so that the money of a plan does not hang on the seed."""
    for seed in range(5):
        draws = gain_draws("poor_spring", load().reader(), np.random.default_rng(seed), 500)
        assert draws.mean() == pytest.approx(0.15, abs=0.002)
        assert draws.std() == pytest.approx(0.20, rel=0.02)
        assert (draws <= 0).mean() == pytest.approx(0.227, abs=0.005)  # normal: z = 0.15 over 0.20
