"""What the advice says and never says, over many yards."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breadline.need.spoken import spoken
from breadline.need.yard import Count, Forage, Goal, Health, Place, Yard
from need.advice_yards import IN_NEED, TODAY, goal, of, outlook, told

maybe = st.none() | st.booleans()
yards = st.builds(
    Yard,
    name=st.just("Invented"),
    place=st.builds(
        Place, latitude=st.sampled_from([-44.0, -30.0, 5.0, 30.0, 44.0, 60.0]),
        country=st.sampled_from([None, "US", "DE", "FR", "NZ"]),
    ),
    colonies=st.integers(1, 3000),
    today=st.dates(date(2027, 1, 1), date(2027, 12, 31)),
    count=st.builds(
        Count, on=st.just(TODAY), bread=st.floats(0, 4), bread_unit=st.just("frames"),
        frames_of_bees=st.none() | st.floats(1, 20), frames_of_brood=st.floats(0, 8),
        start=st.sampled_from(["colony", "nuc"]),
    ),
    health=st.builds(
        Health, foulbrood_signs=maybe, mites_per_100=st.none() | st.floats(0, 9),
        queens_laying=st.none() | st.integers(0, 10), queens_looked_for=st.just(10),
        honey=st.sampled_from([None, "light", "enough"]), beetles_seen=maybe, maggots_seen=maybe,
    ),
    forage=st.builds(
        Forage, coming_in=st.sampled_from([None, "none", "little", "plenty"]), fresh_arcs=maybe,
        first_reliable_pollen=st.none() | st.dates(date(2027, 1, 1), date(2028, 3, 1)),
        outside_c=st.none() | st.floats(-5, 35),
    ),
    goal=st.none() | st.builds(
        Goal, aim=st.sampled_from(["frames", "splits", "nectar_flow", "winter_bees", "keep_alive"]),
        on=st.none() | st.dates(date(2027, 1, 1), date(2028, 6, 1)), frames=st.none() | st.floats(4, 12),
    ),
    kept_for=st.sampled_from(["hobby", "trade"]),
)  # fmt: skip
outlooks = st.sampled_from([
    None, {"now": True, "days": (0, 0, 3)}, {"days": (5, 12, 25)}, {"days": (30, 50, 80)},
    {"chance": 0.3, "days": (60, None, None)}, {"chance": 0.05},
])  # fmt: skip


def advised(yard, facts):
    return told(yard, None if facts is None else outlook(**facts, today=yard.today))


@settings(max_examples=150, deadline=None)
@given(yards, outlooks)
def test_feed_is_never_said_over_what_comes_first(yard, facts):
    advice = advised(yard, facts)
    if advice.answer == "feed":
        assert yard.health.mites_per_100 is not None
        assert yard.health.mites_per_100 < 2
        assert yard.health.honey == "enough"
        assert not yard.health.foulbrood_signs
        assert not yard.health.maggots_seen
        assert yard.place.country != "DE"
        assert yard.forage.coming_in is not None or facts is not None
        assert not (yard.forage.coming_in == "plenty" and yard.forage.fresh_arcs)


@settings(max_examples=150, deadline=None)
@given(yards, outlooks)
def test_the_sentence_is_short_and_answers_first(yard, facts):
    advice = advised(yard, facts)
    starts = {
        "feed": ("Yes",),
        "no_need": ("No", "Stop"),
        "look_again": ("Not", "Can't tell"),
        "something_first": (
            "Stop", "Test", "Mites first", "Queens first", "No protein feed now", "Beetles first",
        ),
    }  # fmt: skip
    assert advice.sentence.startswith(starts[advice.answer])
    assert len(advice.sentence) <= 210
    assert advice.sentence.endswith(".")
    if advice.answer == "look_again":
        assert advice.look_again is not None
        assert advice.look_again >= yard.today
        assert advice.look_again_for


NEVER = re.compile(
    r"\bsignificant|\btreatment for|\bcontrol\b|\bwinter feeding\b|\boptimal\b|\d%|±|\bp\s*[=<]|\bfall\b"
    r"|\bnan\b|\.\d{3}|  \w+:\s*$",
    re.IGNORECASE,
)


@settings(max_examples=120, deadline=None)
@given(yards, outlooks)
def test_words_that_are_never_said(yard, facts):
    text = spoken(advised(yard, facts))
    found = NEVER.search(text) or re.search(r"\bNone\b(?! coming in| seen)|\bTrue\b|\bFalse\b", text)
    assert not found, f"{found}: {text}"
    assert not re.search(r"\.\.|\s\.|;\s*\.|: \.", text), text


@settings(max_examples=80, deadline=None)
@given(yards)
def test_seasons_are_dates_and_not_month_names_of_one_hemisphere(yard):
    advice = told(yard)
    own = " ".join((advice.sentence, advice.look_again_for, *advice.what_would_change)).lower()
    assert not re.search(r"\b(spring|summer|autumn)\b", own)


def half_a_year_on(on: date | None) -> date | None:
    """The same place in the other hemisphere's year: 21 December becomes 21 June."""
    return None if on is None else on + timedelta(days=182)


def southern(yard: Yard) -> Yard:
    """The mirror of a yard of the north."""
    goal_then = None if yard.goal is None else replace(yard.goal, on=half_a_year_on(yard.goal.on))
    return of(
        yard,
        today=half_a_year_on(yard.today),
        place={"latitude": -yard.place.latitude},
        count={"on": half_a_year_on(yard.count.on)},
        health={"mites_on": half_a_year_on(yard.health.mites_on)},
        forage={"first_reliable_pollen": half_a_year_on(yard.forage.first_reliable_pollen)},
        goal=goal_then,
    )


MIRRORED = {
    "in need": IN_NEED,
    "too early": of(IN_NEED, today=date(2027, 2, 1), health={"mites_on": date(2027, 2, 1)},
                    forage={"first_reliable_pollen": date(2027, 4, 1)}),
    "small cluster": of(IN_NEED, today=date(2027, 2, 10), health={"mites_on": date(2027, 2, 1)},
                        forage={"first_reliable_pollen": date(2027, 3, 1)}, count={"frames_of_bees": 3.0}),
    "high season": of(IN_NEED, today=date(2027, 7, 1), health={"mites_on": date(2027, 7, 1)},
                      forage={"first_reliable_pollen": None}, count={"frames_of_bees": 3.0}),
    "before winter": of(IN_NEED, today=date(2027, 9, 1), health={"mites_on": date(2027, 9, 1)},
                        goal=Goal("frames", date(2028, 2, 10), 8)),
    "splits": of(IN_NEED, goal=goal("splits", 8)),
}  # fmt: skip


@pytest.mark.parametrize("name", MIRRORED)
def test_the_other_hemisphere_gets_the_same_answer_half_a_year_later(name):
    north, south = told(MIRRORED[name]), told(southern(MIRRORED[name]))
    assert (north.answer, north.state, north.rung) == (south.answer, south.state, south.rung)
    assert [r.state for r in north.reasons] == [r.state for r in south.reasons]
    assert half_a_year_on(north.look_again) == south.look_again


def test_the_mirror_holds_different_answers():
    assert {told(yard).rung for yard in MIRRORED.values()} >= {"pollen", "timing"}


def test_cautions_belong_to_the_step():
    texts = [caution.text for caution in told(IN_NEED).cautions]
    assert any("unknown origin" in text for text in texts)
    assert not any("Beetles" in text or "Supers" in text for text in texts)
    no = told(of(IN_NEED, forage={"coming_in": "plenty", "fresh_arcs": True}))
    assert no.cautions == ()
    soon = told(of(IN_NEED, forage={"supers_from": TODAY + timedelta(weeks=3)}))
    assert any("Supers go on 22 April" in caution.text for caution in soon.cautions)


def test_foulbrood_is_the_inspectors_and_gets_no_dose():
    advice = told(of(IN_NEED, health={"foulbrood_signs": True}))
    assert advice.state == "stop"
    assert "inspector" in advice.sentence
    assert any("veterinarian" in caution.ask for caution in advice.cautions)
    assert not re.search(r"\d\s*(mg|g|oz|lb)\b", spoken(advice))


def test_every_caution_says_whom_to_ask():
    for change in ({}, {"beetles_seen": True}, {"honey": "light"}, {"mites_per_100": 5.0}):
        advice = told(of(IN_NEED, health=change, kept_for="hobby"))
        assert all(caution.ask for caution in advice.cautions)
