"""Ends that are entered at a hive, in the check group that runs there. Invented."""

from __future__ import annotations

from datetime import date

import pytest
from sqlalchemy import Engine

from breadline.records import colonies, trials, yards
from breadline.records.append_only import current
from breadline.records.engine import looking, writing
from breadline.records.field_questions import questions
from breadline.records.field_word import decide
from breadline.records.tables import YardFact
from breadline.trial.colonies import Became, Ended, Started
from records.test_field import frames, place, record, take
from records.test_field_taken_back import back, bees

__all__ = ["place"]
DAY = date(2026, 5, 3)


@pytest.fixture
def trial(book: Engine, place):
    """A locked check group of hives A1 and A2, graded from 1 May on."""
    with writing(book) as session:
        name = session.scalar(current(YardFact).with_only_columns(YardFact.name))
        started = (Started("Birch 47", name, "1", 0, hive="A1"), Started("Alder 12", name, "1", 1, hive="A2"))
        design = {"outcome": "frames of bees", "grading": "2026-05-01"}
        told = {"design": design, "locked_at": "2026-03-01T09:00:00+00:00"}
        row = trials.keep_lock(session, trials.keep_draw(session, "Spring", told, started), told, "a" * 64)
        return row.id


def ends(book: Engine, trial) -> list[tuple[str, str, float | None]]:
    with looking(book) as session:
        found = trials.ends_of(session, trials.trial_of(session, trial))
        return sorted((one.tag, one.became.value, one.outcome) for one in found)


def test_a_grading_and_a_death_on_a_phone_go_into_the_trial(book: Engine, place, trial) -> None:
    graded = record(place, work="grading", by="Ada")
    dead = record(place, tag="A2", seen={}, standing="dead")
    assert [one[0] for one in take(book, graded, dead)] == ["stored", "stored"]
    assert ends(book, trial) == [("Alder 12", "dead", None), ("Birch 47", "graded", 7.5)]
    with looking(book) as session:
        one = next(o for o in trials.ends_of(session, trials.trial_of(session, trial)) if o.tag == "Birch 47")
    assert (one.graded_on, one.grader) == (DAY, "Ada")


def test_what_is_blank_stays_open_and_other_work_or_a_day_before_is_no_grading(book, place, trial) -> None:
    note = record(place, work="grading", seen={}, spoken="not opened")
    early = record(place, work="grading", at="2026-04-20T10:30:00+02:00")
    assert [one[0] for one in take(book, note, early, record(place, work="look"))] == ["stored"] * 3
    assert ends(book, trial) == []


def test_a_hive_outside_the_trial_and_a_day_long_after_it_change_nothing_there(book, place, trial) -> None:
    take(book, record(place, tag="A3", seen={}, standing="dead"))
    with writing(book) as session:
        told = {
            "design": {"outcome": "frames of bees", "grading": "2026-03-20"},
            "locked_at": "2026-03-01T09:00:00",
        }
        name = session.scalar(current(YardFact).with_only_columns(YardFact.name))
        old = trials.keep_draw(session, "Old", told, (Started("Maple 3", name, "1", 0, hive="A3"),))
        key = trials.keep_lock(session, old, told, "b" * 64).id
    take(book, record(place, tag="A3", work="grading"))
    assert ends(book, trial) == ends(book, key) == []


def test_an_end_that_stands_there_is_never_written_over(book: Engine, place, trial) -> None:
    with writing(book) as session:
        was = Ended("Birch 47", Became.GRADED, 5.0, DAY, "Bo", again=5.5)
        trials.keep_end(session, trials.trial_of(session, trial), was)
    answer, why = take(book, record(place, work="grading"))[0]
    assert answer == "conflict"
    assert "the check group “Spring” has hive Birch 47 as graded, 5 already" in why
    assert ends(book, trial) == [("Birch 47", "graded", 5.0)]
    with writing(book) as session:
        decide(session, questions(session)[0].entry.id, True, None, "read it again")
    assert ends(book, trial) == [("Birch 47", "graded", 7.5)]
    with looking(book) as session:
        (one,) = trials.ends_of(session, trials.trial_of(session, trial))
    assert one.again == 5.5, "what else was read of it stays"


def test_a_yes_to_a_large_number_writes_over_no_end_unasked(book: Engine, place, trial) -> None:
    with writing(book) as session:
        was = Ended("Birch 47", Became.GRADED, 5.0, DAY, "Bo")
        trials.keep_end(session, trials.trial_of(session, trial), was)
    assert take(book, record(place, work="grading", seen=bees(75.0)))[0][0] == "conflict"
    for asked in ("75 frames of bees in one hive: is it so", "hive Birch 47 as graded, 5 already"):
        assert ends(book, trial) == [("Birch 47", "graded", 5.0)]
        with writing(book) as session:
            (one,) = questions(session)
            assert asked in one.why
            decide(session, one.entry.id, True, None, "counted again")
    assert ends(book, trial) == [("Birch 47", "graded", 75.0)]


def test_a_mend_that_waits_leaves_the_end_and_takes_it_along(book: Engine, place, trial) -> None:
    graded = record(place, work="grading")
    mend = record(place, work="grading", seen=bees(75.0), mends=graded["id"])
    assert [one[0] for one in take(book, graded, mend)] == ["stored", "conflict"]
    assert ends(book, trial) == [("Birch 47", "graded", 7.5)]
    take(book, back(place, mend, work="grading"))
    assert ends(book, trial) == []


def test_a_mend_and_a_taking_back_reach_the_trial(book: Engine, place, trial) -> None:
    graded = record(place, work="grading")
    mend = record(place, work="grading", seen=bees(8.0), mends=graded["id"])
    take(book, graded, mend)
    assert ends(book, trial) == [("Birch 47", "graded", 8.0)]
    same = record(place, work="grading", seen=bees(8.0))
    take(book, same, phone="crew 2")
    take(book, back(place, mend, work="grading"))
    assert ends(book, trial) == [("Birch 47", "graded", 8.0)], "the second reader saw as much"
    take(book, back(place, same, work="grading"), phone="crew 2")
    assert ends(book, trial) == []


def test_a_death_after_the_grading_is_no_end_of_the_trial(book: Engine, place, trial) -> None:
    take(book, record(place, work="grading", at="2026-05-02T10:30:00+02:00"))
    assert take(book, record(place, seen={}, standing="dead"))[0][0] == "stored"
    assert ends(book, trial) == [("Birch 47", "graded", 7.5)]
    with looking(book) as session:
        assert colonies.in_rows(session, place)[0].standing == "dead"


def test_the_tag_of_the_trial_finds_its_hive(book: Engine, place, trial) -> None:
    assert take(book, record(place, tag="birch 47", work="grading"))[0] == ("stored", "")
    assert ends(book, trial) == [("Birch 47", "graded", 7.5)]
    with looking(book) as session:
        assert [one.tag for one in colonies.in_rows(session, place)] == ["A1", "A2", "A3"]
        assert yards.yard_as_known(session, place, DAY)


def test_a_mend_that_a_trial_speaks_against_leaves_the_first_number(book, place, trial) -> None:
    first = record(place, work="grading", seen=bees(8.0))
    take(book, first)
    with writing(book) as session:
        row = trials.trial_of(session, trial)
        trials.keep_end(session, row, Ended("Birch 47", Became.GRADED, 7.0, DAY, "Ada"), "misread")
    mend = record(place, work="grading", seen=bees(9.0), mends=first["id"])
    assert take(book, mend)[0][0] == "conflict"
    assert frames(book, place) == [("A1", 8.0)]
    with writing(book) as session:
        decide(session, questions(session)[0].entry.id, False, None, "the first one holds")
    assert frames(book, place) == [("A1", 8.0)]
    assert ends(book, trial) == [("Birch 47", "graded", 7.0)]
