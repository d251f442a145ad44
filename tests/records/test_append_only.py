"""Nothing that was written down is changed or deleted, by whatever road."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, date, datetime
from uuid import UUID

import pytest
from sqlalchemy import Engine, delete, select, text, update
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.knowledge.shelf import Edit
from breadline.need.yard import Yard
from breadline.records import (
    beliefs,
    colonies,
    field,
    figure_edits,
    outlooks,
    plans,
    readings,
    recipes,
    stocks,
    trials,
    weather_kept,
    yards,
)
from breadline.records.append_only import Fact
from breadline.records.engine import looking, writing
from breadline.records.ids import new_id
from breadline.records.tables import KEPT, Operation, Reading
from records.conftest import CHOSEN, ENDED, LEARNT, SHOWN, STARTED


@pytest.fixture
def full(book: Engine, yard: Yard) -> Iterator[Engine]:
    """A book with at least one row in every table."""
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
        field.take_in(session, field.Sent(new_id(), "crew", "look", key, "A1", at, {}, "0", seen=seen), at)
    return book


@pytest.mark.parametrize("table", [kind.__tablename__ for kind in KEPT])
@pytest.mark.parametrize(
    "sql",
    [
        "UPDATE {t} SET made_at = made_at",
        "DELETE FROM {t}",
        "INSERT OR REPLACE INTO {t} SELECT * FROM {t} LIMIT 1",
        "REPLACE INTO {t} SELECT * FROM {t} LIMIT 1",
    ],
)
def test_raw_sql_is_refused_in_every_table(full: Engine, table: str, sql: str) -> None:
    with full.connect() as connection:
        before = connection.execute(text(f"SELECT * FROM {table} ORDER BY id")).all()
        assert before
        with pytest.raises(RecordError, match="cannot be changed or deleted"):
            connection.execute(text(sql.format(t=table)))
        connection.rollback()
        assert connection.execute(text(f"SELECT * FROM {table} ORDER BY id")).all() == before


def test_another_program_with_its_own_settings_is_refused_too(full: Engine) -> None:
    path = full.url.database
    assert path is not None
    with closing(sqlite3.connect(path)) as raw:  # foreign keys and recursive triggers off
        for sql in (
            "UPDATE reading SET value = 0",
            "DELETE FROM reading",
            "REPLACE INTO reading SELECT * FROM reading",
        ):
            with pytest.raises(sqlite3.IntegrityError, match="append-only"):
                raw.execute(sql)


@pytest.mark.parametrize("table", [kind.__tablename__ for kind in KEPT if issubclass(kind, Fact)])
def test_replace_finds_no_way_round_by_the_entry_replaced(full: Engine, table: str) -> None:
    with closing(sqlite3.connect(str(full.url.database))) as raw:  # recursive triggers off
        names = [row[1] for row in raw.execute(f"PRAGMA table_info({table})")]
        names.remove("id")
        rest = ", ".join(f'"{name}"' for name in names)
        first = raw.execute(f"SELECT min(id) FROM {table}").fetchone()
        chosen = rest.replace('"replaces"', "?")
        raw.execute(
            f"INSERT INTO {table} (id, {rest}) SELECT 'later', {chosen} FROM {table} WHERE id = ?", first * 2
        )
        before = raw.execute(f"SELECT * FROM {table} ORDER BY id").fetchall()
        with pytest.raises(sqlite3.IntegrityError, match="append-only"):
            raw.execute(f"REPLACE INTO {table} (id, {rest}) SELECT 'x', {rest} FROM {table} WHERE id='later'")
        assert raw.execute(f"SELECT * FROM {table} ORDER BY id").fetchall() == before


@pytest.mark.parametrize("table", [kind.__tablename__ for kind in KEPT])
def test_replace_finds_no_way_round_by_the_rowid(full: Engine, table: str) -> None:
    with closing(sqlite3.connect(str(full.url.database))) as raw:
        names = [row[1] for row in raw.execute(f"PRAGMA table_info({table})") if row[1] != "id"]
        rest = ", ".join(f'"{name}"' for name in names)
        with pytest.raises(sqlite3.IntegrityError, match="append-only"):
            raw.execute(
                f"REPLACE INTO {table} (rowid, id, {rest}) SELECT rowid, 'x', {rest} FROM {table} LIMIT 1"
            )


@pytest.mark.parametrize(
    "sql",
    [
        "INSERT INTO {t} SELECT * FROM {t} WHERE true ON CONFLICT (id) DO UPDATE SET made_at = 'x'",
        "UPDATE OR REPLACE {t} SET made_at = 'x'",
    ],
)
def test_upsert_finds_no_way_round(full: Engine, sql: str) -> None:
    with closing(sqlite3.connect(str(full.url.database))) as raw:
        for kind in KEPT:
            with pytest.raises(sqlite3.IntegrityError, match="append-only"):
                raw.execute(sql.format(t=kind.__tablename__))


def test_the_session_refuses_a_change(full: Engine) -> None:
    with looking(full) as session:
        row = session.scalars(select(Reading).where(Reading.kind == "bread")).one()
        row.value = 9.0
        with pytest.raises(RecordError, match="cannot be changed or deleted"):
            session.flush()


def test_the_session_refuses_a_deletion(full: Engine) -> None:
    with looking(full) as session:
        session.delete(session.scalars(select(Reading)).first())
        with pytest.raises(RecordError, match="cannot be changed or deleted"):
            session.flush()


def test_the_session_refuses_changes_in_bulk(full: Engine) -> None:
    with looking(full) as session:
        for statement in (update(Reading).values(value=0.0), delete(Operation)):
            with pytest.raises(RecordError, match="cannot be changed or deleted"):
                session.execute(statement)


def test_a_correction_takes_the_place_and_history_keeps_both(book: Engine, yard: Yard) -> None:
    with writing(book) as session:
        key = yards.add_yard(session, yard)
        bread = bread_of(session, key)
        readings.correct(session, bread.id, readings.Seen("bread", 0.5, "frames"), "misread the sheet")
    with looking(book) as session:
        line = readings.history(session, bread.id)
        assert [(row.value, row.because) for row in line] == [(1.5, ""), (0.5, "misread the sheet")]
        assert line[1].replaces == line[0].id
        assert readings.history(session, line[1].id) == line
        assert bread_of(session, key).value == 0.5
        assert yards.yard_as_known(session, key, yard.today).count.bread == 0.5


def test_a_row_is_corrected_once_so_that_a_history_never_forks(book: Engine, yard: Yard) -> None:
    with writing(book) as session:
        bread = bread_of(session, yards.add_yard(session, yard))
        readings.correct(session, bread.id, readings.Seen("bread", 0.5, "frames"), "")
        with pytest.raises(RecordError, match="corrected or withdrawn before"):
            readings.correct(session, bread.id, readings.Seen("bread", 0.7, "frames"), "")


def test_a_withdrawn_reading_counts_no_more(book: Engine, yard: Yard) -> None:
    with writing(book) as session:
        key = yards.add_yard(session, yard)
        mites = session.scalars(select(Reading).where(Reading.kind == "mites_per_100")).one()
        gone = readings.withdraw(session, mites.id, "another yard's wash")
        assert yards.yard_as_known(session, key, yard.today).health.mites_per_100 is None
        assert [row.withdrawn for row in readings.history(session, mites.id)] == [False, True]
        with pytest.raises(RecordError, match="withdrawn before"):
            readings.withdraw(session, gone.id, "")


def bread_of(session: Session, yard_id: UUID) -> Reading:
    """The bread reading that holds now."""
    rows = [r for v in readings.visits(session, yard_id, date.max) for r in readings.of_visit(session, v.id)]
    return next(row for row in rows if row.kind == "bread")
