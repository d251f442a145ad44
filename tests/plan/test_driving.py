"""A short way round: against every order there is, and the keeper's own order first."""

from __future__ import annotations

from dataclasses import replace
from itertools import permutations

import numpy as np
import pytest

from breadline.errors import PlanError
from breadline.need.yard import Place
from breadline.plan.driving import distances, length_km, own_order, short_way

SHOP = Place(38.6, -121.5)


def scattered(rng: np.random.Generator, count: int) -> list[Place]:
    """Yards within about 60 km of the shop."""
    return [Place(38.6 + a, -121.5 + b) for a, b in rng.uniform(-0.5, 0.5, (count, 2))]


def shortest_km(yards: list[Place]) -> float:
    """By trying every order."""
    far = distances([SHOP, *yards])
    return min(length_km(order, far) for order in permutations(range(1, len(yards) + 1)))


@pytest.mark.parametrize("count", [1, 2, 3, 4, 5, 6])
def test_up_to_six_yards_it_is_the_shortest_there_is(count):
    rng = np.random.default_rng(count)
    for _ in range(8):
        yards = scattered(rng, count)
        assert short_way(SHOP, yards).km == pytest.approx(shortest_km(yards), rel=1e-9)


@pytest.mark.parametrize("count", [7, 8])
def test_up_to_eight_it_is_at_most_a_twentieth_longer(count):
    yards = scattered(np.random.default_rng(100 + count), count)
    shortest = shortest_km(yards)
    assert shortest - 1e-9 <= short_way(SHOP, yards).km <= 1.05 * shortest


def test_yards_along_a_road_are_driven_along_it():
    yards = [Place(38.6 + 0.1 * n, -121.5) for n in (3, 1, 5, 2, 4)]
    order = [yards[i].latitude for i in short_way(SHOP, yards).order]
    assert order in (sorted(order), sorted(order, reverse=True))


def test_every_yard_is_driven_to_once_and_the_length_is_that_of_the_order():
    yards = scattered(np.random.default_rng(7), 16)
    way = short_way(SHOP, yards)
    assert sorted(way.order) == list(range(16))
    assert way.km == pytest.approx(length_km([i + 1 for i in way.order], distances([SHOP, *yards])))


def test_the_way_there_and_back_to_one_yard_is_twice_the_way():
    """One degree of latitude of a ball of 6,371 km is its girth over 360: 111.19 km."""
    way = short_way(SHOP, [Place(39.6, -121.5)])
    assert way.km == pytest.approx(2 * 111.19, abs=0.02)


def test_it_holds_across_the_date_line():
    yards = [Place(-17.0, 179.9), Place(-17.0, -179.9)]
    assert short_way(Place(-17.1, 179.95), yards).km < 60


def test_yards_without_a_place_come_last_and_that_is_said():
    yards = scattered(np.random.default_rng(1), 4)
    yards[1] = replace(yards[1], longitude=None)
    way = short_way(SHOP, yards)
    assert way.order[-1] == 1
    assert "come last" in way.sentence("lb")
    assert "come last" not in short_way(SHOP, yards[2:]).sentence("lb")


def test_a_shop_without_a_longitude_is_refused():
    with pytest.raises(PlanError, match="longitude"):
        short_way(Place(38.6), scattered(np.random.default_rng(1), 2))


def test_the_keepers_order_goes_first_and_the_rest_follows_as_it_came():
    way = own_order(["a", "b", "c", "d"], ["c", "a"])
    assert way.order == (2, 0, 1, 3)
    assert way.sentence("g") == "Driven in your own order."


@pytest.mark.parametrize("wanted", [["a", "a"], ["x"]])
def test_an_order_that_cannot_be_driven_is_refused(wanted):
    with pytest.raises(PlanError, match="driving order"):
        own_order(["a", "b"], wanted)


def test_it_says_straight_lines_in_miles_or_kilometres():
    way = short_way(SHOP, [Place(39.6, -121.5)])
    assert "138 miles in straight lines" in way.sentence("lb")
    assert "222.5 km in straight lines" in way.sentence("g")


@pytest.mark.parametrize("seed", range(4))
def test_no_turn_and_no_move_makes_the_way_of_many_yards_shorter(seed: int) -> None:
    yards = scattered(np.random.default_rng(seed), 16)
    way, far = [i + 1 for i in short_way(SHOP, yards).order], distances([SHOP, *yards])
    found, n = length_km(way, far), len(way)
    for i in range(n):
        for j in range(i + 1, n):
            assert length_km(way[:i] + way[i : j + 1][::-1] + way[j + 1 :], far) >= found - 1e-6
        rest = way[:i] + way[i + 1 :]
        for j in range(n):
            assert length_km([*rest[:j], way[i], *rest[j:]], far) >= found - 1e-6
