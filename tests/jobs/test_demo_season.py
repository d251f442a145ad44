"""A whole season of the demo: each step leaves what the next one needs, and the plan of next year knows."""

from __future__ import annotations

import shutil
from datetime import timedelta

import pytest

from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.book import Book, key_of
from breadline.jobs.demo import FIRST_YARD, OPERATION, TODAY, VARIANTS, varied
from breadline.jobs.demo_season import CHECK, DIED, GRADED, NAME, NEXT, POLLEN, YARD, live_season
from breadline.jobs.field_book import FieldBook
from breadline.jobs.field_entries import EntryBook
from breadline.jobs.last_season import SeasonsBook
from breadline.jobs.rounds import Way
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.trial_book import TrialsBook
from breadline.jobs.yard_file import read_yard, yard_to_toml
from breadline.records import yards
from breadline.records.engine import looking, open_book


@pytest.fixture(scope="module")
def lived(tmp_path_factory):
    """The yard of the season alone, in a book of its own, with few draws."""
    path = tmp_path_factory.mktemp("year") / "demo.sqlite"
    book = Book(path, TODAY)
    book.open_operation(OPERATION)
    of = next(one for one in VARIANTS if one.name == YARD)
    key = book.add_yard(varied(read_yard(FIRST_YARD / "yard.toml"), of), FIRST_YARD / "weather.csv")
    live_season(path, Way(draws=60))
    return path, key


def first_plan(path, key):
    return RoundsBook(path, GRADED).plan(key, (TODAY, GRADED))


def test_the_check_group_was_locked_before_the_first_round_and_every_colony_has_its_end(lived):
    path, key = lived
    (kept,) = TrialsBook(path, NEXT).trials()
    trial, plan = kept.trial, first_plan(path, key)
    assert trial.name == NAME
    assert trial.locked_at.date() <= plan.rounds[0].on
    assert len(trial.without_end) == 0
    assert sum(one.arm == 0 for one in trial.design.started) == CHECK
    dead = [row for row in FieldBook(path, NEXT).hives(key)[1] if row.standing == "dead"]
    assert len(dead) == len(DIED)
    assert all(row.since == GRADED for row in dead)


def test_rounds_were_given_as_planned_until_pollen_came_and_none_to_check_hives(lived):
    path, key = lived
    plan, given = first_plan(path, key), RoundsBook(path, GRADED).yard(key).given
    planned = [one for one in plan.rounds if one.on < POLLEN]
    assert [one.on for one in given] == [one.on for one in planned]
    for laid, one in zip(given, planned, strict=True):
        assert laid.grams == pytest.approx(one.grams, rel=0.001), "check hives are not in the yard's average"


def test_what_was_graded_on_the_phone_stands_in_the_book_hive_by_hive(lived):
    path, key = lived
    lines = EntryBook(path, NEXT).entry_day(key, GRADED).lines
    assert len(lines) == 40
    assert {one.state for one in lines} == {"in the book"}


def test_a_yard_file_told_from_the_book_and_read_again_takes_nothing_back(lived, tmp_path):
    path, key = lived
    book = shutil.copy(path, tmp_path / "copy.sqlite")
    day = GRADED + timedelta(days=7)
    with looking(open_book(book)) as session:
        known = yards.yard_as_known(session, key_of(key), day)
    assert known.inspections[-1].frames_each, "counted hive by hive"
    file = tmp_path / "yard.toml"
    file.write_text(yard_to_toml(known), encoding="utf-8")
    before = EntryBook(book, day).entry_day(key, GRADED)
    assert Book(book, day).add_yard(read_yard(file)) == key
    after = EntryBook(book, day).entry_day(key, GRADED)
    assert [one.state for one in after.lines] == [one.state for one in before.lines] == ["in the book"] * 40
    with looking(open_book(book)) as session:
        again = yards.yard_as_known(session, key_of(key), day)
    assert (again.count, again.inspections, again.given) == (known.count, known.inspections, known.given)


def test_the_plan_of_next_season_knows_what_the_verdict_taught(lived):
    path, key = lived
    (lesson,) = BeliefBook(path, NEXT).known().lessons
    assert lesson.taught.name == NAME
    told = SeasonsBook(path, NEXT).last_season(key)
    assert "Last season you learnt: spring 2026" in told.sentence
    assert not told.asks
    then, now = first_plan(path, key), RoundsBook(path, NEXT).plan(key)
    assert now.belief != then.belief
    assert "the plan changed from" in told.sentence


def test_a_second_time_it_changes_nothing(lived):
    path, key = lived
    before = RoundsBook(path, NEXT).plan(key)
    live_season(path, Way(draws=60))
    assert RoundsBook(path, NEXT).plan(key) == before
