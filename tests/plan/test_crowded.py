"""Earlier crowding is a warning with its date; none where unfed colonies are crowded as soon. Made up."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from breadline.need.yard import Count, Place, Yard
from breadline.plan.search import search
from breadline.plan.warnings import warnings
from plan.spring_yard import DRAWS, TODAY, contract, ensemble, prices, question, some_plans, way

YARD = Yard("made up", Place(38.0), 40, TODAY, Count(TODAY, 0.1, "frames", 5.0, "one_layer"))
NEVER = 1e9  # [d]


@pytest.fixture(scope="module")
def found():
    return search(way(question(of=prices(0.01))), some_plans())


@pytest.mark.parametrize(
    ("fed", "unfed", "said"),
    [
        (
            20.0,
            30.0,
            "Crowded from about 21 February 2027 in more than 95 in 100 seasons, 10 days or more earlier",
        ),
        (20.0, NEVER, "36 days or more earlier than unfed: give room or split."),
        (20.0, 22.0, ""),
        (NEVER, NEVER, ""),
    ],
)
def test_crowding_is_told_where_feed_brings_it_three_days_sooner(found, fed, unfed, said):
    assert found.best.plan.pieces
    at = found.last.plans.index(found.best.plan)
    days = np.full((len(found.last.plans), DRAWS), NEVER)
    days[at], days[0] = fed, unfed
    told = " ".join(
        warnings(YARD, contract(), replace(found, last=replace(found.last, crowded_on=days)), ensemble())
    )
    assert said in told if said else told == ""


def test_crowding_of_fewer_than_half_of_the_seasons_is_not_told(found):
    at = found.last.plans.index(found.best.plan)
    days = np.full((len(found.last.plans), DRAWS), NEVER)
    days[at, : DRAWS // 2 - 1] = 20.0
    now = replace(found, last=replace(found.last, crowded_on=days))
    assert "Crowded" not in " ".join(warnings(YARD, contract(), now, ensemble()))
