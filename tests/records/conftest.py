"""A book in a real SQLite file and in a real PostgreSQL database, and an invented yard."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path
from uuid import UUID

import pytest
from sqlalchemy import Engine

from book_places import Databases, Files, Places, databases
from breadline.knowledge.shelf import Edit
from breadline.need.yard import Bloom, Count, DegreeDays, Forage, Given, Goal, Health, Place, Yard
from breadline.records import (
    beliefs,
    brought,
    colonies,
    field,
    figure_edits,
    outlooks,
    phones,
    plans,
    readings,
    recipes,
    stocks,
    trials,
    weather_kept,
    yards,
)
from breadline.records.address import BookAt
from breadline.records.beliefs import Update
from breadline.records.engine import open_book, shut_book, writing
from breadline.records.field_sent import Sent
from breadline.records.ids import new_id
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
    lived={"log_ratio": 0.08, "se": 0.06, "deaths": {"fed": 60, "fed_lost": 3, "check": 12, "check_lost": 1}},
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
    count=Count(date(2026, 3, 7), 1.5, "frames", 6.0, "deep", 3.0, None, 4),
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


@pytest.fixture(scope="session", params=["sqlite", "postgresql"])
def places(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Places]:
    """Places for books, in each of the two databases: what is tested with it is tested on both."""
    there = databases() if request.param == "postgresql" else Files(tmp_path_factory.mktemp("books"))
    yield there
    there.close()


@pytest.fixture
def at(places: Places) -> Iterator[BookAt]:
    """Where an empty book lies, on both databases."""
    there = places.book()
    yield there
    places.give_back(there)


@pytest.fixture
def book(at: BookAt) -> Iterator[Engine]:
    """An empty book, on both databases."""
    engine = open_book(at)
    yield engine
    shut_book(engine)


@pytest.fixture
def file_book(tmp_path: Path) -> Iterator[Engine]:
    """An empty book in a SQLite file, for what is about the file itself."""
    engine = open_book(tmp_path / "book.db")
    yield engine
    engine.dispose()


@pytest.fixture(scope="session")
def server() -> Iterator[Databases]:
    """The tests' PostgreSQL server, for what is about the server itself."""
    there = databases()
    yield there
    there.close()


@pytest.fixture
def yard() -> Yard:
    """An invented yard with something in every part."""
    return MILL_LANE


def fill(book: Engine, yard: Yard) -> UUID:
    """At least one row in every table of a book; the key of its yard."""
    with writing(book) as session:
        key = yards.add_yard(session, yard)
        readings.add_colony(session, key, "7")
        weather_kept.keep(session, weather_kept.Came("w.csv", b"day,tmin\n"), key)
        figure_edits.edit(session, "invented.figure", Edit(1.0, 2.0, 3.0, "ours", date(2026, 3, 1)))
        outlooks.keep(session, key, SHOWN)
        patty = recipes.keep_recipe(session, "patty", 'name = "patty"\n')
        recipes.keep_feed(session, "ready", {"protein_min_pct": 15.0})
        recipes.keep_price(session, recipes.Quoted("honey", 3.0, "kg", "NZ$", 2026))
        made = recipes.Made("2026-001", date(2026, 3, 1), 1, (("honey", 1000.0),), 500.0, 2)
        recipes.keep_batch(session, patty.id, made)
        plans.keep_plan(session, key, CHOSEN)
        lot = stocks.put_in(session, stocks.Put("Mill Lane", date(2026, 3, 1), 6.0, True))
        stocks.take_out(session, [(lot.id, 2.0)], date(2026, 3, 20))
        stocks.keep_dry_feed(session, key, stocks.Stood(date(2026, 3, 1), 51.2, -0.4, 3.2, 8.0, None, 24))
        beliefs.keep_update(session, LEARNT)
        drawn = trials.keep_draw(session, "Autumn", {"seed": 7}, STARTED)
        trials.keep_end(session, drawn, ENDED)
        colonies.place_colony(session, key, "A1", "pallet 1", 1)
        seen = (readings.Seen("frames_of_bees", 6.0, "frames"),)
        at = datetime(2026, 3, 10, 10, tzinfo=UTC)
        told = {"work": "look", "tag": "A1", "seen": {"frames_of_bees": {"value": 6.0, "unit": "frames"}}}
        text = json.dumps(told, sort_keys=True, separators=(",", ":"))
        digest = hashlib.sha256(text.encode()).hexdigest()
        field.take_in(session, Sent(new_id(), "crew", "look", key, "A1", at, told, digest, seen=seen), at)
        phones.offer(session, "Crew 1", at)
        brought.keep_sheet(session, "looks.csv", "a" * 64, "readings", {"decimal": "point"}, [b"b" * 16])
        brought.keep_copy(session, "/mnt/copy.db", "c" * 64, 1)
    return key
