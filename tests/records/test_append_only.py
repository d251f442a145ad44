"""Nothing that was written down is changed or deleted, by whatever road."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import date
from uuid import UUID

import pytest
from sqlalchemy import Engine, delete, select, text, update
from sqlalchemy.orm import Session

from book_places import Places
from breadline.errors import RecordError
from breadline.need.yard import Yard
from breadline.records import readings, yards
from breadline.records.append_only import Fact
from breadline.records.engine import looking, open_book, shut_book, writing
from breadline.records.tables import KEPT, Operation, Reading
from records.conftest import MILL_LANE, fill


@pytest.fixture(scope="module")
def full(places: Places) -> Iterator[Engine]:
    """A book with at least one row in every table, on both databases; nothing here changes it."""
    at = places.book()
    engine = open_book(at)
    fill(engine, MILL_LANE)
    yield engine
    shut_book(engine)
    places.give_back(at)


@pytest.fixture(scope="module")
def full_file(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Engine]:
    """The same in a SQLite file, for the roads that only SQLite has."""
    engine = open_book(tmp_path_factory.mktemp("full") / "book.db")
    fill(engine, MILL_LANE)
    yield engine
    engine.dispose()


@pytest.mark.parametrize("table", [kind.__tablename__ for kind in KEPT])
def test_raw_sql_is_refused_in_every_table(full: Engine, table: str) -> None:
    upsert = (
        "INSERT INTO {t} SELECT * FROM {t} WHERE true ON CONFLICT (id) DO UPDATE SET made_at = {t}.made_at"
    )
    of_one = {
        "sqlite": (
            "INSERT OR REPLACE INTO {t} SELECT * FROM {t} LIMIT 1",
            "REPLACE INTO {t} SELECT * FROM {t} LIMIT 1",
        ),
        "postgresql": ("TRUNCATE {t} CASCADE",),
    }
    either = (
        "UPDATE {t} SET made_at = made_at",
        "DELETE FROM {t}",
        upsert,
        "INSERT INTO {t} SELECT * FROM {t}",
    )
    with full.connect() as connection:
        before = connection.execute(text(f"SELECT * FROM {table} ORDER BY id")).all()
        assert before
        connection.rollback()
        for sql in (*either, *of_one[full.dialect.name]):
            with pytest.raises(RecordError, match="cannot be changed or deleted"):
                connection.execute(text(sql.format(t=table)))
            connection.rollback()
        assert connection.execute(text(f"SELECT * FROM {table} ORDER BY id")).all() == before


def test_a_server_told_to_skip_its_triggers_asks_the_guards_all_the_same(full: Engine) -> None:
    if full.dialect.name == "sqlite":
        skipped_by = "PRAGMA recursive_triggers=OFF"
    else:
        skipped_by = "SET session_replication_role = replica"
    with full.connect() as connection:
        connection.exec_driver_sql(skipped_by)
        for kind in KEPT:
            for sql in ("UPDATE {t} SET made_at = made_at", "DELETE FROM {t}"):
                with pytest.raises(RecordError, match="cannot be changed or deleted"):
                    connection.execute(text(sql.format(t=kind.__tablename__)))
                connection.rollback()
                connection.exec_driver_sql(skipped_by)
        connection.rollback()
        connection.invalidate()


def test_another_program_with_its_own_settings_is_refused_too(full_file: Engine) -> None:
    path = full_file.url.database
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
def test_replace_finds_no_way_round_by_the_entry_replaced(full_file: Engine, table: str) -> None:
    with closing(sqlite3.connect(str(full_file.url.database))) as raw:  # recursive triggers off
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
def test_replace_finds_no_way_round_by_the_rowid(full_file: Engine, table: str) -> None:
    with closing(sqlite3.connect(str(full_file.url.database))) as raw:
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
def test_upsert_finds_no_way_round(full_file: Engine, sql: str) -> None:
    with closing(sqlite3.connect(str(full_file.url.database))) as raw:
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
