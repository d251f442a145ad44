"""A book in a real SQLite file, and yards made by hypothesis. All invented."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import Engine

from breadline.need.yard import Bloom, Count, DegreeDays, Forage, Given, Goal, Health, Place, Yard
from breadline.records.beliefs import Update
from breadline.records.engine import open_book
from breadline.records.outlooks import Shown
from breadline.records.plans import Chosen
from breadline.trial.colonies import Became, Ended, Started

SHOWN = Shown(
    shown_on=date(2026, 3, 10),
    counted_on=date(2026, 3, 7),
    count={"on": "2026-03-07", "frames_of_bees": 6.0},
    given=(Given(date(2026, 3, 8), 450.0),),
    bees_a_frame=1900.0,
    seed=1,
    members=100,
    program="0.0.0",
    engine="reference",
    draws="invented",
    first=date(2026, 3, 10),
    bands={"adults": [[9000, 10000, 11000]], "brood": [[1, 2, 3]], "bread_g": [[0, 5, 9]]},
)


CHOSEN = Chosen(
    chosen_on=date(2026, 3, 10),
    asked='money = "US$"',
    sentence="2 rounds of ½ patty (½ lb), 14 days apart",
    break_even="Feeding at US$5.00 a colony pays if 3 more in a hundred colonies make grade.",
    feed="patty",
    colonies=24,
    belief={"situation": "poor_spring", "fed_over_unfed": [0.84, 1.16, 1.62]},
    prices={"money": "US$", "feed_kg": 3.2, "feed_year": 2026},
    foretold={"gain": 4.0, "chance": 0.4},
    seed=1,
    program="0.0.0",
    draws="invented",
    rounds=((date(2026, 3, 12), 226.8), (date(2026, 3, 26), 226.8)),
)


LEARNT = Update(
    situation="dearth",
    season="autumn 2026",
    trial="a" * 64,
    name="Mill Lane, autumn 2026",
    graded_on=date(2026, 11, 12),
    learnt_on=date(2026, 11, 13),
    given="B",
    log_ratio=0.11,
    se=0.07,
    fed=60,
    check=12,
    before={"mean": [-0.11, 0.22, 0.55], "next": [-0.44, 0.22, 0.88]},
    after={"mean": [-0.02, 0.18, 0.38], "next": [-0.3, 0.17, 0.66]},
    equivalence={"modes": [[0.05, 0.2, 0.6, 1.0]]},
    program="0.0.0",
)


STARTED = (
    Started("Birch 47", "Home", "Home, set 1", 0, 7.5, 1, 1, "Ada", "12"),
    Started("Anvil 23", "Home", "Home, set 1", 1, None, hive="13"),
)
ENDED = Ended("Birch 47", Became.GRADED, 6.5, date(2026, 11, 20), "Ann", 7.0, 1)


MILL_LANE = Yard(
    name="Mill Lane",
    place=Place(51.2, -0.4, "GB", "temperate", 30.0),
    colonies=24,
    today=date(2026, 3, 10),
    count=Count(date(2026, 3, 7), 1.5, "frames", 6.0, "frame_of_bees.deep", 3.0, None, 4),
    health=Health(False, 1.5, date(2026, 2, 20), 3, 4, "light", "one of two light", False, True),
    forage=Forage("little", True, date(2026, 3, 25), 11.5, date(2026, 5, 1)),
    bloom=(
        Bloom("willow", (3, 5), (4, 10), 0.6, 0.3, 21.5, source="the keeper"),
        Bloom("maple", degree_days=DegreeDays(120.0, 5.0, 30.0, "clipped", (2, 1)), lasts_days=14),
    ),
    goal=Goal("splits", date(2026, 5, 10), 8.0),
    given=(Given(date(2026, 3, 1), 450.0), Given(date(2026, 3, 1), 450.0)),
    wants_feed_because="early splits",
    notes=("shaded until noon",),
)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Engine]:
    engine = open_book(tmp_path / "book.db")
    yield engine
    engine.dispose()


@pytest.fixture
def yard() -> Yard:
    """An invented yard with something in every part."""
    return MILL_LANE
