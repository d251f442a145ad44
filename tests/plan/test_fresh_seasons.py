"""The best of many looks better where it was chosen than it is: it is told by seasons that had no say."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from breadline.plan.equivalence import FeedWorth
from breadline.plan.plans import NOTHING, Piece, Plan
from breadline.plan.search import search
from breadline.plan.value import Spread
from plan.spring_yard import DRAWS, prices, question, way

FEEDS = 12  # that do nothing on average, each with luck of its own
SEEDS = 30
PLANS = (NOTHING, *(Plan("search", (Piece(7, 454.0),), feed=k) for k in range(FEEDS)))


def of_luck(rng: np.random.Generator) -> FeedWorth:
    """A feed that does nothing: what it adds to or takes from a colony is luck, 0 on average."""
    gain, zero = rng.normal(0.0, 0.3, DRAWS), np.zeros(DRAWS)
    return FeedWorth("poor_spring", gain, zero, gain, np.full(DRAWS, False), np.full(DRAWS, 400.0))


@pytest.fixture(scope="module")
def gains():
    """What the best of the feeds brings where it was chosen and in fresh seasons. [money/colony]"""
    one = question()
    free = replace(prices().work, minutes_colony=0.0, miles=0.0, minutes_drive=0.0)
    one = replace(one, close=-np.inf, spread=Spread(40, 0.37, 0.05, 0.15))
    found = []
    for seed in range(SEEDS):
        rng = np.random.default_rng(seed)
        feeds = tuple(replace(prices(1e-6).feeds[0], worth=of_luck(rng)) for _ in range(FEEDS))
        luck = replace(one, prices=replace(prices(), feeds=feeds, work=free, syrup=None))
        answer = search(way(luck), PLANS)
        found.append((answer.chosen.gain, answer.best.gain))
    return np.array(found).T


def test_where_feed_does_nothing_the_seasons_that_chose_the_best_plan_praise_it(gains):
    chosen, _ = gains
    assert chosen.mean() > 3.0 * chosen.std(ddof=1) / np.sqrt(SEEDS)
    assert chosen.mean() > 2.0


def test_told_by_fresh_seasons_it_brings_nothing(gains):
    chosen, fresh = gains
    assert abs(fresh.mean()) < 2.5 * fresh.std(ddof=1) / np.sqrt(SEEDS)
    assert fresh.mean() < 0.25 * chosen.mean()


def test_halves_hold_beliefs_that_are_alike_and_share_no_season():
    of = question().ensemble
    gain = np.random.default_rng(1).normal(0.1, 0.2, DRAWS)
    half = of.half(gain)
    assert half.sum() == DRAWS / 2
    assert gain[half].mean() == pytest.approx(gain[~half].mean(), abs=0.01)
    assert set(of.few(30, half)) <= set(np.flatnonzero(half))
    assert of.few(30, ~half).size == 30


def test_the_plan_that_is_told_is_the_one_that_was_chosen():
    found = search(way(question()), [NOTHING, *(Plan("search", (Piece(d, 454.0),)) for d in (0, 7, 14))])
    assert found.chosen.plan == found.best.plan
    assert found.chosen.money != found.best.money
