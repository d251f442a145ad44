"""Outlooks kept as they were shown, and the counts that came later, in a real SQLite file."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import date
from pathlib import Path
from uuid import UUID

import pytest
from sqlalchemy import Engine, text

from breadline.errors import RecordError
from breadline.need.yard import Yard
from breadline.records import outlooks, readings, yards
from breadline.records.engine import checked, looking, open_book, writing
from breadline.records.readings import Look, Seen
from breadline.records.shape import migrate
from records.conftest import SHOWN


@pytest.fixture
def key(book: Engine, yard: Yard) -> UUID:
    with writing(book) as session:
        return yards.add_yard(session, yard)


def test_an_outlook_comes_back_as_it_was_shown(book: Engine, key: UUID) -> None:
    with writing(book) as session:
        outlooks.keep(session, key, SHOWN)
    with looking(book) as session:
        (row,) = outlooks.of_yard(session, key)
        assert (row.shown_on, row.counted_on, row.first) == (SHOWN.shown_on, SHOWN.counted_on, SHOWN.first)
        assert row.last == row.first, "one day of bands"
        assert row.bands == SHOWN.bands
        assert row.count == SHOWN.count
        assert row.given == [["2026-03-08", 450.0]]
        assert (row.seed, row.members, row.engine, row.draws) == (1, 100, "reference", "invented")


def test_the_same_outlook_is_kept_once(book: Engine, key: UUID) -> None:
    for _ in range(3):
        with writing(book) as session:
            outlooks.keep(session, key, SHOWN)
    with looking(book) as session:
        assert outlooks.is_kept(session, key, SHOWN)
        assert len(outlooks.of_yard(session, key)) == 1


@pytest.mark.parametrize(
    "changed",
    [
        {"shown_on": date(2026, 3, 11)},
        {"count": {"on": "2026-03-07", "frames_of_bees": 6.5}},
        {"seed": 2},
        {"draws": "other figures"},
        {"engine": "lanes"},
        {"bands": {**SHOWN.bands, "adults": [[9000, 10000, 11001]]}},
    ],
    ids=lambda changed: next(iter(changed)),
)
def test_another_day_count_seed_or_version_is_another_outlook(book: Engine, key: UUID, changed: dict) -> None:
    with writing(book) as session:
        outlooks.keep(session, key, SHOWN)
        outlooks.keep(session, key, replace(SHOWN, **changed))
    with looking(book) as session:
        assert len(outlooks.of_yard(session, key)) == 2


def test_an_outlook_of_no_yard_is_refused(book: Engine) -> None:
    with pytest.raises(RecordError, match="there is no yard"), writing(book) as session:
        outlooks.keep(session, UUID(int=1), SHOWN)


def test_another_program_cannot_slip_a_better_outlook_in(file_book: Engine, yard: Yard) -> None:
    with writing(file_book) as session:
        outlooks.keep(session, yards.add_yard(session, yard), SHOWN)
    with closing(sqlite3.connect(str(file_book.url.database))) as raw:  # recursive triggers off
        names = [row[1] for row in raw.execute("PRAGMA table_info(outlook)") if row[1] != "id"]
        rest = ", ".join(f'"{name}"' for name in names)
        for sql in (
            f"REPLACE INTO outlook (id, {rest}) SELECT 'other', {rest} FROM outlook",
            "REPLACE INTO outlook SELECT * FROM outlook",
            "UPDATE outlook SET bands = '{}'",
            "DELETE FROM outlook",
        ):
            with pytest.raises(sqlite3.IntegrityError, match="append-only"):
                raw.execute(sql)


def test_counts_come_with_the_moment_at_which_the_book_first_knew_of_them(book: Engine, key: UUID) -> None:
    with writing(book) as session:
        visit = readings.add_visit(session, key, Look(date(2026, 4, 1), 5))
        first = readings.add(session, visit.id, Seen("frames_of_bees", 8.0, definition="one_layer"))
    with writing(book) as session:
        outlooks.keep(session, key, SHOWN)
        readings.correct(session, first.id, Seen("frames_of_bees", 9.0, definition="one_layer"), "misread")
        moved = readings.correct_visit(session, visit.id, Look(date(2026, 4, 2), 5), "the wrong day")
    with looking(book) as session:
        *_, told = outlooks.counts(session, key, date(2026, 5, 1))
        (shown,) = outlooks.of_yard(session, key)
        assert told.visit.id == moved.id
        assert told.visit.on == date(2026, 4, 2)
        assert told.rows["frames_of_bees"].value == 9.0
        assert told.written == visit.id, "a correction does not make a count younger"
        assert told.written < shown.id


def test_a_withdrawn_or_later_visit_is_no_count(book: Engine, key: UUID) -> None:
    with writing(book) as session:
        visit = readings.add_visit(session, key, Look(date(2026, 4, 1)))
        readings.add(session, visit.id, Seen("frames_of_bees", 8.0))
    with looking(book) as session:
        assert len(outlooks.counts(session, key, date(2026, 5, 1))) == 2
        assert len(outlooks.counts(session, key, date(2026, 3, 31))) == 1
    with writing(book) as session:
        readings.withdraw_visit(session, visit.id, "another yard")
    with looking(book) as session:
        assert len(outlooks.counts(session, key, date(2026, 5, 1))) == 1


def test_colonies_counted_one_by_one_are_told_apart(book: Engine, key: UUID) -> None:
    with writing(book) as session:
        visit = readings.add_visit(session, key, Look(date(2026, 4, 1)))
        for name, frames in (("1", 8.0), ("2", 0.0)):
            colony = readings.add_colony(session, key, name)
            readings.add(session, visit.id, Seen("frames_of_bees", frames), colony.id)
    with looking(book) as session:
        *_, told = outlooks.counts(session, key, date(2026, 5, 1))
        assert (told.of_colonies, told.rows) == (2, {})


def test_feed_that_went_on(book: Engine, key: UUID, yard: Yard) -> None:
    with looking(book) as session:
        assert outlooks.fed(session, key).given == yard.given
        assert outlooks.fed(session, key).unrecorded == ()


def test_feed_that_nobody_wrote_down_has_its_day(book: Engine, key: UUID) -> None:
    with writing(book) as session:
        visit = readings.add_visit(session, key, Look(date(2026, 4, 1)))
        told = readings.add(session, visit.id, Seen("fed_without_record", 1.0))
    with looking(book) as session:
        assert outlooks.fed(session, key).unrecorded == (date(2026, 4, 1),)
    with writing(book) as session:
        readings.withdraw(session, told.id, "it was written down after all")
    with looking(book) as session:
        assert outlooks.fed(session, key).unrecorded == ()


@pytest.mark.parametrize("older", ["0001", "0002", "0003"])
def test_an_older_book_takes_outlooks_and_keeps_what_it_had(tmp_path: Path, yard: Yard, older: str) -> None:
    path = tmp_path / "book.db"
    old = open_book(path)
    with writing(old) as session:
        key = yards.add_yard(session, yard)
    migrate(old, older)
    with old.connect() as connection:
        names = connection.execute(text("SELECT name FROM sqlite_master WHERE type='table'")).scalars().all()
    assert "outlook" not in names
    old.dispose()
    new = open_book(path)
    with writing(new) as session:
        assert yards.yard_as_known(session, key, yard.today) == yard
        outlooks.keep(session, key, SHOWN)
    checked(new)
    new.dispose()
    with closing(sqlite3.connect(path)) as raw, pytest.raises(sqlite3.IntegrityError, match="append-only"):
        raw.execute("DELETE FROM outlook")


def test_an_empty_old_book_takes_outlooks_too(tmp_path: Path) -> None:
    path = tmp_path / "book.db"
    old = open_book(path)
    migrate(old, "0001")
    old.dispose()
    new = open_book(path)
    with looking(new) as session:
        assert outlooks.of_yard(session, UUID(int=1)) == []
    checked(new)
    new.dispose()
