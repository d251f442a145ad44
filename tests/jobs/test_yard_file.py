"""A yard file is read to the same yard that it was written from."""

from __future__ import annotations

import tomllib
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breadline.errors import YardError
from breadline.jobs.yard_checks import season_of
from breadline.jobs.yard_file import (
    COUNT,
    FORAGE,
    GOAL,
    HEALTH,
    PLACE,
    TOP,
    read_yard,
    yard_from_dict,
    yard_to_toml,
)  # fmt: skip
from breadline.need.yard import Bloom, Count, DegreeDays, Forage, Given, Goal, Health, Place, Yard

TODAY = date(2027, 3, 10)
maybe = st.none() | st.booleans()
words = st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=20).filter(str.strip)
days = st.dates(TODAY - timedelta(days=300), TODAY)
blooms = st.builds(
    Bloom,
    name=words,
    start=st.just((2, 10)),
    end=st.just((3, 15)),
    strength=st.floats(0, 1),
    nectar=st.floats(0, 1),
    protein_pct=st.none() | st.floats(8, 40),
)
yards = st.builds(
    Yard,
    name=words,
    place=st.builds(
        Place,
        latitude=st.floats(23, 66),
        longitude=st.none() | st.floats(-180, -1),  # west, which fits every country below
        country=st.sampled_from([None, "US", "ZZ"]),
        colonies_in_flight_range=st.none() | st.floats(0, 5000),
    ),
    colonies=st.integers(1, 5000),
    today=st.just(TODAY),
    count=st.builds(
        Count,
        on=days,
        bread=st.floats(0, 10),
        bread_unit=st.sampled_from(["frames", "cells", "g"]),
        frames_of_bees=st.floats(0, 20),
        frame_means=st.sampled_from(["one_layer", "full"]),
        frames_of_brood=st.floats(0, 20),
        colonies_looked_in=st.integers(1, 50),
        boxes=st.just(("deep", "medium")),
    ),
    health=st.builds(
        Health,
        foulbrood_signs=maybe,
        mites_per_100=st.none() | st.floats(0, 100),
        mites_on=st.none() | days,
        honey=st.sampled_from([None, "light", "enough"]),
        honey_note=st.just("") | words,
        beetles_seen=maybe,
    ),
    forage=st.builds(
        Forage,
        coming_in=st.sampled_from([None, "none", "little", "plenty"]),
        fresh_arcs=maybe,
        first_reliable_pollen=st.none() | days,
        outside_c=st.none() | st.floats(-30, 45),
        seen_on=st.none() | st.dates(TODAY - timedelta(days=300), TODAY - timedelta(days=1)),
    ),
    bloom=st.lists(blooms, max_size=3).map(tuple),
    goal=st.none() | st.builds(Goal, aim=st.sampled_from(["frames", "splits"]), on=st.none() | days),
    given=st.lists(st.builds(Given, on=days, grams=st.floats(0, 900)), max_size=2).map(tuple),
    wants_feed_because=st.just("") | words,
    kept_for=st.sampled_from(["hobby", "trade"]),
    notes=st.lists(words, max_size=2).map(tuple),
)


@settings(max_examples=60, deadline=None)
@given(yards)
def test_a_yard_written_is_the_yard_read(yard):
    assert yard_from_dict(tomllib.loads(yard_to_toml(yard)), "written.toml") == yard


junk = st.one_of(
    st.none(), st.booleans(), st.integers(), st.just(10**400), st.floats(), st.text(max_size=8), st.dates(),
    st.lists(st.integers(), max_size=2), st.dictionaries(st.text(max_size=3), st.integers(), max_size=2),
)  # fmt: skip
KEYS = [
    *(("top", key) for key in TOP), *(("place", key) for key in PLACE), *(("count", key) for key in COUNT),
    *(("health", key) for key in HEALTH),
    *(("forage", key) for key in FORAGE), *(("goal", key) for key in GOAL),
]  # fmt: skip


def read_or_error(facts):
    try:
        return yard_from_dict(facts, "odd.toml")
    except YardError as error:
        return error


@settings(max_examples=400, deadline=None)
@given(st.sampled_from(KEYS), junk)
def test_whatever_is_written_is_read_or_gets_a_message_for_its_writer(at, value):
    facts = {
        "name": "Odd", "colonies": 2, "today": TODAY, "place": {"latitude": 50.0}, "health": {}, "forage": {},
        "goal": {"aim": "splits"},
        "count": {"on": TODAY, "frames_of_bees": 5, "frame_means": "full", "bread": {"frames": 0.5}},
    }  # fmt: skip
    table, key = at
    (facts if table == "top" else facts[table])[key] = value
    read = read_or_error(facts)
    if isinstance(read, YardError):
        assert "odd.toml" in read.where
        assert read.what
    else:
        assert read_or_error(tomllib.loads(yard_to_toml(read))) == read


def test_the_day_on_which_forage_was_seen_is_today_or_before():
    facts = {
        "name": "Mill", "colonies": 2, "today": TODAY, "place": {"latitude": 50.0},
        "count": {"on": TODAY, "frames_of_bees": 5, "frame_means": "full", "bread": {"frames": 0.5}},
    }  # fmt: skip

    def seen(on: date) -> Forage:
        return yard_from_dict({**facts, "forage": {"coming_in": "little", "seen_on": on}}, "f.toml").forage

    assert seen(TODAY - timedelta(days=3)) == Forage("little", seen_on=TODAY - timedelta(days=3))
    assert seen(TODAY) == Forage("little"), "of the file's own day, as without it"
    with pytest.raises(YardError, match="2027-03-11 is after today, 2027-03-10") as refused:
        seen(TODAY + timedelta(days=1))
    assert refused.value.where == "f.toml, [forage], seen_on"


def test_a_bloom_by_warmth_survives_the_way_through_a_file(tmp_path):
    bloom = Bloom("Willow", degree_days=DegreeDays(60, 5, 30, "clipped", (2, 1)), lasts_days=20)
    yard = Yard("Mill", Place(52.0), 3, TODAY, Count(TODAY, 900, "cells", 6, "full"), bloom=(bloom,))
    path = tmp_path / "yard.toml"
    path.write_text(yard_to_toml(yard), encoding="utf-8")
    assert read_yard(path) == yard


def test_a_package_is_weighed_and_needs_no_frames():
    facts = {
        "name": "New bees", "colonies": 1, "today": TODAY, "place": {"latitude": -37.0, "country": "nz"},
        "count": {"on": TODAY, "start": "package", "bees_kg": 1.5, "bread": {"frames": 0}},
    }  # fmt: skip
    yard = yard_from_dict(facts, "form")
    assert (yard.count.bees_kg, yard.count.frames_of_bees, yard.count.bread) == (1.5, None, 0)
    assert yard.place.country == "NZ"


def test_a_weight_of_bees_is_refused_where_it_is_no_package():
    facts = {"today": TODAY, "name": "A", "colonies": 1, "place": {"latitude": 40},
             "count": {"on": TODAY, "bees_kg": 1.5, "bread": {"frames": 0}}}  # fmt: skip
    with pytest.raises(YardError, match='start = "package"'):
        yard_from_dict(facts, "yard.toml")


def test_what_is_left_out_stays_unknown():
    facts = {
        "name": "Few facts", "colonies": 2, "today": TODAY, "place": {"latitude": 50},
        "count": {"on": TODAY, "frames_of_bees": 5, "frame_means": "full", "bread": {"grams": 200}},
    }  # fmt: skip
    yard = yard_from_dict(facts, "form")
    assert yard.health == Health()
    assert yard.forage == Forage()
    assert yard.count.bread_unit == "g"


@pytest.mark.parametrize(("said", "celsius"), [("35 °F", 35 / 1.8 - 32 / 1.8), ("50 F", 10.0), ("2 °C", 2.0)])
def test_warmth_is_written_with_its_unit(said, celsius):
    facts = {
        "name": "Cold", "colonies": 2, "today": TODAY, "place": {"latitude": 50}, "forage": {"outside": said},
        "count": {"on": TODAY, "frames_of_bees": 5, "frame_means": "full", "bread": {"frames": 0.5}},
    }  # fmt: skip
    assert yard_from_dict(facts, "form").forage.outside_c == pytest.approx(celsius)
    facts["forage"] = {"outside": "35"}
    with pytest.raises(YardError, match="has no unit"):
        yard_from_dict(facts, "form")


@pytest.mark.parametrize(
    ("on", "latitude", "season"),
    [
        (date(2027, 1, 15), 40, "winter"), (date(2027, 1, 15), -40, "summer"),
        (date(2027, 10, 1), -40, "spring"),
        (date(2027, 10, 1), 40, "autumn"), (date(2027, 12, 1), 40, "winter"),
        (date(2027, 6, 1), -40, "winter"),
    ],
)  # fmt: skip
def test_the_quarter_of_the_year_is_the_places_own(on, latitude, season):
    assert season_of(on, latitude) == season
