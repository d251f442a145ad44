"""The worth of a feed at the yard of the examples, with its own weather file."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from breadline.errors import FigureError
from breadline.jobs.feed_worth import Fed, feed_worth_at
from breadline.jobs.yard_file import read_yard
from breadline.knowledge.shelf import load
from breadline.need.forecast import season_parameters
from breadline.weather.read import read_weather

EXAMPLE = Path(__file__).parents[2] / "examples" / "first-yard"
DRAWS = 200


@pytest.fixture(scope="module")
def asked():
    yard, reader = read_yard(EXAMPLE / "yard.toml"), load().reader()
    weather = read_weather(EXAMPLE / "weather.csv", latitude=yard.place.latitude, today=yard.today)
    par = season_parameters(reader, np.random.default_rng(3), DRAWS)

    def worth(fed: Fed, seed: int = 5, at=yard):
        return feed_worth_at(at, weather, par, fed, reader, np.random.default_rng(seed))

    return yard, worth


def test_the_belief_comes_through_the_yards_own_weather(asked):
    _, worth = asked
    found = worth(Fed("dearth"))
    assert found.gain.shape == (DRAWS,)
    assert np.median(found.gain) == pytest.approx(0.22, abs=0.05)
    assert 0.1 < np.median(found.equivalence) < 1.0
    assert 0.05 < found.adds_nothing < 0.25
    assert "adds no bees or costs some" in found.notes[0]


def test_the_same_seed_gives_the_same_worth_and_feeds_share_their_luck(asked):
    _, worth = asked
    one, again = worth(Fed("dearth")), worth(Fed("dearth"))
    assert (one.equivalence == again.equivalence).all()
    with_pollen = worth(Fed("dearth", (0.05, 0.0)))
    assert with_pollen.gain - one.gain == pytest.approx(np.full(DRAWS, 0.05))
    assert (with_pollen.equivalence >= one.equivalence - 0.02).mean() > 0.97


def test_no_analysis_makes_a_feed(asked):
    _, worth = asked
    with pytest.raises(FigureError, match="check group"):
        worth(Fed("dearth", (0.4, 0.1)))


def test_a_place_of_short_summers_is_answered_too(asked):
    yard, worth = asked
    north = replace(yard, place=replace(yard.place, latitude=57.0))
    assert np.isfinite(worth(Fed("dearth"), at=north).equivalence).all()


def test_situations_of_one_feed_share_their_luck_and_its_shift(asked):
    _, worth = asked
    shifted = worth(Fed("dearth", (0.05, 0.0), also=("pollen",)))
    (flow,) = shifted.others
    assert shifted.in_situation("pollen") is flow
    assert shifted.in_situation("poor_spring") is shifted
    assert np.array_equal(shifted.gain.argsort(), flow.gain.argsort())
    alone = worth(Fed("pollen"))
    assert flow.gain - alone.gain == pytest.approx(np.full(DRAWS, 0.05))
