"""The ladder: what decides, and in which order."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest

from breadline.knowledge import shelf
from breadline.knowledge.calendars import calendar
from breadline.knowledge.countries import law_of
from breadline.knowledge.data import sources
from breadline.knowledge.shelf import Edit
from breadline.language import speaking
from breadline.need.advice import advise
from breadline.need.yard import Goal
from need.advice_yards import IN_NEED, TODAY, goal, head, of, outlook, told

# Each of these alone stops the feed; in the order in which the ladder asks.
STOPS = {
    "foulbrood": {"health": {"foulbrood_signs": True}},
    "mites": {"health": {"mites_per_100": 4.0}},
    "queen": {"health": {"queens_laying": 5}},
    "stores": {"health": {"honey": "light"}},
    "timing": {"forage": {"outside_c": 1.0}},
    "beetles": {"health": {"maggots_seen": True}},
    "pollen": {"forage": {"coming_in": "plenty", "fresh_arcs": True}},
    "law": {"place": {"country": "DE"}},
}


def test_a_yard_in_need_is_told_yes():
    advice = told(IN_NEED)
    assert (advice.answer, advice.state, advice.rung) == ("feed", "feed", "pollen")
    assert advice.sentence.startswith("Yes")
    assert {r.state for r in advice.reasons if r.head in ("Mites", "Queens", "Stores")} == {"ok"}
    assert head(advice, "Bread").state == "bad"


@pytest.mark.parametrize("rung", STOPS)
def test_each_rung_alone_stops_the_feed(rung):
    advice = told(of(IN_NEED, **STOPS[rung]))
    assert advice.rung == rung
    assert advice.answer != "feed"
    assert not advice.sentence.startswith("Yes")
    assert advice.look_again_for, "every answer says when to look again, or for what"
    assert advice.look_again is not None or rung == "foulbrood", "the inspector sets the date there"


# Where custom is not to feed, "not yet" and "not now" would promise a feed that never comes.
NOT_YET_IS_NO = {("timing", "law"), ("pollen", "law")}


def merged(*changes):
    out: dict[str, dict[str, object]] = {}
    for change in changes:
        for table, values in change.items():
            out.setdefault(table, {}).update(values)
    return out


@pytest.mark.parametrize(
    ("first", "second"),
    [(a, b) for i, a in enumerate(STOPS) for b in list(STOPS)[i + 1 :] if (a, b) not in NOT_YET_IS_NO],
)
def test_the_first_rung_that_applies_decides(first, second):
    assert told(of(IN_NEED, **merged(STOPS[second], STOPS[first]))).rung == first


@pytest.mark.parametrize(("first", "second"), sorted(NOT_YET_IS_NO))
def test_where_custom_is_not_to_feed_not_yet_is_no(first, second):
    advice = told(of(IN_NEED, **merged(STOPS[first], STOPS[second])))
    assert (advice.rung, advice.answer) == ("law", "no_need")


def test_stop_is_said_before_custom_where_feed_is_already_on():
    advice = told(of(IN_NEED, **merged(STOPS["pollen"], STOPS["law"]), wants_feed_because="honey"))
    assert (advice.rung, advice.state) == ("pollen", "stop")


def test_reasons_come_in_the_order_of_the_ladder_whatever_decided():
    order = ["Brood disease", "Mites", "Queens", "Stores", "Date", "Bees", "Warmth", "Beetles", "Bread",
             "Pollen", "Goal", "Law and custom"]  # fmt: skip
    for change in STOPS.values():
        heads = [reason.head for reason in told(of(IN_NEED, **change, goal=goal("splits", 8))).reasons]
        assert heads == order


UNKNOWN = {
    "Mites": {"health": {"mites_per_100": None}},
    "Stores": {"health": {"honey": None}},
    "Pollen": {"forage": {"coming_in": None}},
}


@pytest.mark.parametrize("what", UNKNOWN)
def test_what_is_not_known_stands_before_a_feed_and_is_asked_for(what):
    advice = told(of(IN_NEED, **UNKNOWN[what]))
    assert advice.answer in ("something_first", "look_again")
    assert head(advice, what).state == "unknown"
    assert advice.look_again_for


@pytest.mark.parametrize("what", ["Mites", "Stores"])
def test_what_is_not_known_never_changes_a_no(what):
    plenty = of(IN_NEED, **STOPS["pollen"])
    advice = told(of(plenty, **UNKNOWN[what]))
    assert advice.answer == "no_need"
    assert advice.rung == "pollen"


def test_unknown_mites_are_asked_for_beside_a_no():
    advice = told(of(of(IN_NEED, **STOPS["pollen"]), **UNKNOWN["Mites"]))
    assert advice.sentence.endswith("Test for mites today.")


def test_an_old_mite_test_counts_as_none():
    recent = of(IN_NEED, health={"mites_on": TODAY - timedelta(weeks=5)})
    old = of(IN_NEED, health={"mites_on": TODAY - timedelta(weeks=20)})
    assert told(recent).answer == "feed"
    assert (told(old).answer, head(told(old), "Mites").state) == ("something_first", "unknown")


def test_high_mites_before_winter_get_the_odds_and_not_a_plan():
    advice = told(of(IN_NEED, health={"mites_per_100": 6.0}, goal=goal("frames", 22, 8)))
    assert "even chance" in advice.sentence
    assert "even chance" not in told(of(IN_NEED, health={"mites_per_100": 6.0})).sentence


def test_a_few_queenless_hives_are_left_out_instead_of_stopping_the_yard():
    advice = told(of(IN_NEED, health={"queens_laying": 9}))
    assert advice.answer == "feed"
    assert "leave the 1 hive" in head(advice, "Queens").detail


@pytest.mark.parametrize(("outside", "sugar"), [(2.0, "sugar on top"), (15.0, "syrup")])
def test_light_hives_get_what_they_can_take_in_this_weather(outside, sugar):
    advice = told(of(IN_NEED, health={"honey": "light"}, forage={"outside_c": outside}))
    assert advice.answer == "something_first"
    assert sugar in advice.sentence


def test_light_hives_get_syrup_in_summer_where_nobody_looked_at_the_thermometer():
    summer = date(2027, 7, 10)
    light = of(
        IN_NEED, today=summer, health={"honey": "light", "mites_on": summer}, forage={"outside_c": None}
    )
    assert "the light hives syrup" in told(light).sentence
    winter = date(2027, 1, 10)
    light = of(light, today=winter, health={"mites_on": winter})
    assert "sugar on top" in told(light).sentence


@pytest.mark.parametrize(("mites", "state"), [(1.94, "ok"), (1.97, "bad"), (2.0, "bad")])
def test_mites_are_judged_as_they_are_said(mites, state):
    reason = head(told(of(IN_NEED, health={"mites_per_100": mites})), "Mites")
    assert reason.state == state
    assert not re.search(r"^2 per.*under 2", reason.detail)


def test_a_count_just_under_its_limit_is_said_so():
    small = of(IN_NEED, forage={"outside_c": 12.0}, count={"frames_of_bees": 4.8, "bread": 0.45})
    assert head(told(small), "Bees").detail.startswith("just under 5 frames of bees")
    assert head(told(small), "Bread").detail.startswith("Just under ½ frame of bread")
    assert head(told(of(small, count={"frames_of_bees": 5.0})), "Bees").detail == "5 frames of bees"


def test_last_years_first_pollen_still_in_the_file_is_taken_for_the_next():
    winter = date(2027, 12, 10)
    old = of(
        IN_NEED,
        today=winter,
        health={"mites_on": winter},
        forage={"first_reliable_pollen": date(2027, 2, 20)},
    )
    advice = told(old)
    assert advice.rung == "timing"
    assert "20 February" in advice.sentence


def test_a_small_cluster_waits_and_a_nuc_does_not():
    cold = of(IN_NEED, forage={"outside_c": 12.0}, count={"frames_of_bees": 3.5})
    assert told(cold).rung == "timing"
    nuc = told(of(cold, count={"start": "nuc"}))
    assert nuc.answer == "feed"
    assert any("small piece" in caution.text for caution in nuc.cautions)


def test_small_hives_among_beetles_are_not_fed():
    small = of(IN_NEED, health={"beetles_seen": True}, count={"frames_of_bees": 3.0, "start": "nuc"})
    assert told(small).rung == "beetles"


def test_too_early_is_four_weeks_before_pollen_unless_a_date_is_due():
    early = of(IN_NEED, forage={"first_reliable_pollen": TODAY + timedelta(weeks=7)})
    advice = told(early)
    assert (advice.rung, advice.answer) == ("timing", "look_again")
    assert advice.look_again == TODAY + timedelta(weeks=3)
    assert told(of(early, goal=goal("splits", 8))).answer == "feed"
    assert told(of(early, goal=goal("splits", 16))).answer == "look_again"
    in_time = of(IN_NEED, forage={"first_reliable_pollen": TODAY + timedelta(weeks=4)})
    assert told(in_time).answer == "feed"


def test_before_a_pollen_of_unknown_date_nobody_is_told_to_feed():
    winter = of(IN_NEED, today=date(2027, 1, 10), health={"mites_on": date(2027, 1, 10)})
    winter = of(winter, forage={"first_reliable_pollen": None})
    advice = told(winter)
    assert (advice.answer, advice.state, advice.rung) == ("look_again", "cannot_tell", "timing")
    assert "first reliable pollen" in advice.look_again_for
    plenty = of(winter, forage={"coming_in": "plenty", "fresh_arcs": True})
    assert told(plenty).answer == "no_need"


def test_splits_count_from_nine_to_six_weeks_before():
    detail = head(told(of(IN_NEED, goal=goal("splits", 9))), "Goal").detail
    assert "1 to 22 April" in detail
    late = head(told(of(IN_NEED, goal=goal("splits", 5))), "Goal")
    assert (late.state, "too late" in late.detail) == ("bad", True)


def test_bees_for_the_end_of_winter_are_raised_before_it():
    yard = of(IN_NEED, goal=Goal("frames", TODAY.replace(year=2028, month=2, day=10), 8))
    assert "August" in head(told(yard), "Goal").detail
    south = of(yard, place={"latitude": -34.0}, goal=Goal("frames", TODAY.replace(month=8, day=1), 8))
    assert "1 February to 3 May" in head(told(south), "Goal").detail


def test_bread_may_be_counted_in_cells_or_grams():
    for amount, unit in ((900, "cells"), (150, "g")):
        assert told(of(IN_NEED, count={"bread": amount, "bread_unit": unit})).answer == "feed"
    for amount, unit in ((5000, "cells"), (900, "g")):
        advice = told(of(IN_NEED, count={"bread": amount, "bread_unit": unit}))
        assert advice.answer == "look_again"


def test_winter_bees_are_no_reason_while_pollen_comes_in():
    advice = told(of(IN_NEED, goal=Goal("winter_bees"), forage={"coming_in": "little"}))
    assert advice.answer == "no_need"
    assert "mcafee2020" in advice.sources


@pytest.mark.parametrize(
    ("given", "answer", "state"),
    [
        ({"now": True, "days": (0, 0, 3)}, "feed", "feed"),
        ({"days": (5, 12, 25)}, "feed", "soon"),
        ({"days": (30, 50, 80)}, "look_again", "soon"),
        ({"chance": 0.3, "days": (60, None, None)}, "look_again", "soon"),
        ({"chance": 0.05}, "no_need", "no_need"),
    ],
)
def test_the_outlook_decides_where_there_is_one(given, answer, state):
    advice = told(of(IN_NEED, forage={"coming_in": "little"}), outlook(**given))
    assert (advice.answer, advice.state) == (answer, state)


def test_a_shortage_ahead_is_fed_from_its_first_day_and_looked_at_before():
    advice = told(IN_NEED, outlook(days=(3, 12, 25)))
    assert "from about 13 April (4 to 26 April)" in advice.sentence
    assert "Feed from about 4 April" in advice.sentence
    assert advice.look_again == TODAY + timedelta(days=3)


def test_feed_never_stops_before_it_starts():
    soon = of(IN_NEED, forage={"first_reliable_pollen": TODAY + timedelta(days=2)})
    assert "stop when fresh arcs" in told(soon, outlook(days=(9, 12, 25))).sentence
    assert "about 15 April" in told(IN_NEED, outlook(days=(9, 12, 25))).sentence


def test_an_edited_figure_is_the_one_that_decides_and_is_said():
    edit = Edit(1.0, 1.0, 1.0, "ours are short below a frame", TODAY)
    reader = shelf.load({"ladder.bread_frame_low": edit}).reader()
    yard = of(IN_NEED, count={"bread": 0.75})
    assert told(yard).answer == "look_again"
    advice = advise(yard, None, reader, law_of("US"), None)
    assert advice.answer == "feed"
    assert "under 1 frame of bread" in advice.sentence


def test_what_comes_first_has_a_name():
    named = {rung: told(of(IN_NEED, **change)).comes_first for rung, change in STOPS.items()}
    assert named["mites"] == "Mites"
    assert named["queen"] == "Queens"
    assert named["foulbrood"] == "The inspector"
    assert named["pollen"] == named["timing"] == ""
    assert told(of(IN_NEED, **UNKNOWN["Mites"])).comes_first == "Mites"


def test_the_calendar_gives_the_first_pollen_the_keeper_did_not():
    ohio = calendar("ohio")
    yard = of(IN_NEED, forage={"first_reliable_pollen": None}, today=TODAY.replace(month=2, day=1))
    yard = of(yard, health={"mites_on": yard.today})
    assert "not known" in head(told(yard), "Date").detail
    advice = advise(yard, None, shelf.load().reader(), law_of("US"), ohio)
    month, on = ohio.first_reliable_pollen
    first = date(2027, month, on)
    assert advice.look_again == first - timedelta(weeks=4)
    late = of(yard, today=date(2027, 6, 1), health={"mites_on": date(2027, 6, 1)})
    assert "was about" in head(advise(late, None, shelf.load().reader(), law_of("US"), ohio), "Date").detail


def test_another_look_comes_before_the_yard_is_short():
    advice = told(IN_NEED, outlook(days=(40, 60, 80)))
    assert TODAY < advice.look_again < TODAY + timedelta(days=40)


def test_what_the_keeper_sees_today_comes_before_the_forecast():
    short = outlook(now=True, days=(0, 0, 0))
    arcs = of(IN_NEED, forage={"coming_in": "little", "fresh_arcs": True})
    assert told(arcs, short).answer == "look_again"
    plenty = of(IN_NEED, forage={"coming_in": "plenty", "fresh_arcs": None})
    assert told(plenty, short).state == "cannot_tell"


def test_the_short_path_says_what_it_did_without():
    assert any("weather file" in text for text in told(IN_NEED).what_would_change)
    assert not any("weather file" in text for text in told(IN_NEED, outlook(now=True)).what_would_change)


def test_no_country_gets_another_countrys_custom():
    advice = told(of(IN_NEED, place={"country": None}))
    law = head(advice, "Law and custom")
    assert law.state == "unknown"
    assert "inspector" in law.detail
    assert "United States" not in law.detail
    assert any("ask first" in caution.text for caution in advice.cautions)
    assert not any("ask first" in caution.text for caution in told(IN_NEED).cautions)


def test_every_source_named_is_in_the_bibliography():
    for change in [*STOPS.values(), {}]:
        assert set(told(of(IN_NEED, **change)).sources) <= set(sources())


def test_the_figures_used_are_listed():
    figures = told(IN_NEED).figures
    assert {"ladder.mites_per_100", "ladder.bread_frame_low", "ladder.cluster_frames"} <= set(figures)


@pytest.mark.parametrize(("first_pollen", "by_date"), [(8, False), (9, True)])
def test_feed_does_not_stop_at_a_first_pollen_before_the_shortage(first_pollen, by_date):
    """Else one sentence would be short from 9 April and stop the feeding before that."""
    yard = of(IN_NEED, forage={"first_reliable_pollen": TODAY + timedelta(days=first_pollen)})
    sentence = told(yard, outlook(days=(3, 8, 20))).sentence
    assert "Feed from about 4 April" in sentence
    assert ("stop when pollen is steady, about 10 April" in sentence) == by_date
    assert ("stop when fresh arcs lie round the brood" in sentence) != by_date


@pytest.mark.parametrize("note", ["two of six light", "dos de seis ligeras", "1 ligera"])
def test_a_note_of_light_hives_brings_its_caution_in_whichever_language_it_was_typed(note):
    there = told(of(IN_NEED, health={"honey_note": note}))
    assert any("for the light ones" in caution.text for caution in there.cautions)
    assert not any("for the light ones" in caution.text for caution in told(IN_NEED).cautions)


def test_a_note_of_the_demo_is_in_the_readers_language_and_any_other_as_it_was_typed():
    with speaking("es"):
        shown = {note: head(told(of(IN_NEED, health={"honey_note": note})), "Stores").detail
                 for note in ("about 20 lb a colony", "half of a super")}  # fmt: skip
    assert "unas 20 lb por colonia" in shown["about 20 lb a colony"]
    assert "half of a super" in shown["half of a super"]
