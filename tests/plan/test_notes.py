"""What an answer says of costs that nobody priced."""

from __future__ import annotations

from dataclasses import replace

from breadline.plan.costs import Work
from breadline.plan.notes import graded_apart, unpaid, without_bees
from plan.spring_yard import dollars

WORK = Work(2.0, dollars(20.0), 24.0, dollars(0.7), 50.0)


def test_work_and_road_that_were_priced_need_no_word():
    assert unpaid(WORK) == ()
    assert unpaid(replace(WORK, minutes_colony=0.0, anyway=True)) == ()


def test_time_without_a_wage_and_a_drive_without_a_price_are_told():
    time, drive = unpaid(replace(WORK, wage=dollars(0.0), mile=None))
    assert "no wage was given" in time
    assert "no price of a mile or kilometre" in drive
    assert unpaid(replace(WORK, mile=None, anyway=True)) == (), "the drive is for other work"


def test_an_answer_without_work_says_so():
    (said,) = unpaid(Work(0.0, dollars(0.0)))
    assert said.startswith("Work and drive are not in the cost")


def test_graded_hives_that_are_not_those_of_the_count_are_told():
    (said,) = graded_apart([2.0, 3.0, 4.0], 7.0)
    assert "have 3 frames of bees on average, the yard's count 7: plans go by the count" in said
    assert graded_apart([6.0, 7.0, 8.0], 7.0) == graded_apart([2.0, 3.0], 7.0) == ()
    assert graded_apart([2.0, 3.0, 4.0], None) == ()


def test_a_graded_hive_without_bees_is_named():
    (said,) = without_bees([("T01", 0.0), ("T02", 0.5)])
    assert said.startswith("Hive T01 was graded without bees: it gets no label")
    (both,) = without_bees([("T01", 0.0), ("T03", 0.0)])
    assert both.startswith("Hives T01, T03 were graded without bees: they get no label")
    assert without_bees([("T02", 0.5)]) == without_bees([]) == ()
