"""What own check groups made of the belief of a chosen plan. All invented."""

from __future__ import annotations

import math

import pytest

from breadline.belief.carried import carried
from breadline.belief.season_effects import SeasonResult
from breadline.jobs.belief_moved import belief_moved
from breadline.knowledge.shelf import load

KEPT = {"situation": "dearth", "fed_over_unfed": [0.8, 1.25, 1.9], "own_seasons": 0}


@pytest.fixture(scope="module")
def learnt():
    return {"dearth": carried("dearth", [SeasonResult("autumn", math.log(1.02), 0.05)], load().reader())}


def test_then_and_now_are_told_where_a_season_came_to_it(learnt):
    said = belief_moved(KEPT, learnt)
    assert said.startswith(
        "Feeding was then believed to bring 25 % more bees; after your own check groups it "
    )
    assert int(said.split("it is ")[1].split(" %")[0]) < 25, "a season that brought 2 % pulls it down"


def test_nothing_is_told_where_nothing_moved(learnt):
    assert belief_moved(KEPT, {}) == ""
    assert belief_moved(KEPT | {"situation": "pollen"}, learnt) == ""
    assert belief_moved(KEPT | {"own_seasons": 1}, learnt) == ""
    assert belief_moved({}, learnt) == ""
    assert "was taken back" in belief_moved(KEPT | {"own_seasons": 1}, {})
