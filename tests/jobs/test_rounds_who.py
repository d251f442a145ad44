"""Who gets it, in sentences and on the sheet: they say one thing."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from breadline.jobs.rounds_who import combining_words, who_is_joined
from breadline.plan.combining import Combined, Pair
from breadline.plan.cuts import Patty
from breadline.plan.paper import RoundVisit
from breadline.plan.portions import Step
from breadline.plan.truck_days import counted_by_hive

OF = Combined((Pair(4.0),) * 3, False, 20.0, 5.0, 40.0, 0.3, 0.05, (5.0, 15.0, 30.0), 0.5, True)
PAIR = Pair(4.0, ("1", "2"))
VISIT = RoundVisit("made up", 1, date(2026, 1, 20), (Step(0.0, 0.0), Step(4.0, 0.5), Step(7.0, 1.0)),
                   (2, 3, 1), Patty(454.0, "lb"), 14)  # fmt: skip
HIVES = (("1", 1.5), ("2", 2.0), ("3", 4.0), ("4", 6.5), ("5", 7.0), ("6", 9.0))


def test_in_words():
    said = combining_words(OF, "US$20", "US$5", "US$40")
    assert said.startswith("Combining them two and two would bring about US$20 a pair more than leaving them "
                           "apart (8 seasons in 10: US$5 to US$40, 3 pairs)")  # fmt: skip
    assert "keeps 50 in 100 of that rank until the day, as any here (our judgement)" in said
    assert "the hive given up is worth nothing; the work takes 15 minutes (5 to 30)" in said
    assert "costs about US$20 a pair more than it brings" in combining_words(
        replace(OF, pays=False), "US$20", "", ""
    )
    assert "brings about what it costs" in combining_words(replace(OF, pays=None), "US$20", "", "")
    alone = combining_words(replace(OF, with_next=True), "US$20", "", "")
    assert alone.startswith("Joining one with the smallest of the others")


def test_a_yard_graded_whole_is_counted_by_its_hives():
    assert counted_by_hive(VISIT, HIVES) == (2, 2, 2)
    assert counted_by_hive(replace(VISIT, combine=(PAIR,)), HIVES) == (0, 3, 2), "4 frames joined"


def test_where_some_were_graded_those_to_combine_are_the_smallest():
    assert counted_by_hive(VISIT, HIVES[:4]) == (2, 3, 1)
    assert counted_by_hive(replace(VISIT, combine=(PAIR,)), HIVES[:4]) == (0, 4, 1)


def test_who_is_joined_is_named_and_only_where_it_is_healthy():
    said = who_is_joined([PAIR])
    assert said.startswith(
        "Combine 1 into 2, then feed each joined hive by the frames of both; one left over"
    )
    assert "left over" not in who_is_joined([PAIR], left_over=False)
    assert "look for foulbrood and mites first" in said
    assert said.endswith("Ask your apiary inspector.")
    assert who_is_joined([Pair(4.0)] * 3).startswith("Combine the small ones two and two")
