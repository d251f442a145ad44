"""Migrations up and down on both databases, every step with data in the book."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from uuid import UUID

import pytest
from alembic.autogenerate import compare_metadata, produce_migrations, render_python_code
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine, create_engine, inspect, text

from book_places import Places
from breadline.errors import RecordError
from breadline.need.yard import Yard
from breadline.records import yards
from breadline.records.address import BookAt
from breadline.records.append_only import Base
from breadline.records.database import database_at, database_of
from breadline.records.engine import checked, looking, open_book, shut_book
from breadline.records.migrations.plain_types import written_out
from breadline.records.shape import migrate, migrations
from breadline.records.tables import KEPT
from records.conftest import fill

SCRIPT = ScriptDirectory.from_config(migrations())
STEPS = [step.revision for step in SCRIPT.walk_revisions()]  # newest first
HEAD = SCRIPT.get_current_head()
TRIGGERS = {
    "sqlite": "SELECT name FROM sqlite_master WHERE type = 'trigger'",
    "postgresql": "SELECT tgname FROM pg_trigger WHERE NOT tgisinternal",
}

Rows = Mapping[str, list[Mapping[str, Any]]]


def shape(engine: Engine) -> str | None:
    with engine.connect() as connection:
        return MigrationContext.configure(connection).get_current_revision()


def triggers(engine: Engine) -> set[str]:
    with engine.connect() as connection:
        return set(connection.execute(text(TRIGGERS[engine.dialect.name])).scalars())


def rows(engine: Engine) -> Rows:
    """Every row of every table as the database itself gives it."""
    with engine.connect() as connection:
        names = set(inspect(connection).get_table_names()) - {"alembic_version"}
        return {
            name: [
                dict(row)
                for row in connection.execute(text(f'SELECT * FROM "{name}" ORDER BY id')).mappings()
            ]
            for name in sorted(names)
        }


def kept(before: Rows, after: Rows) -> bool:
    """Whether every table that is on both sides has the same rows, in the columns that are on both."""
    return all(
        len(before[name]) == len(after[name])
        and all(
            old[column] == new[column]
            for old, new in zip(before[name], after[name], strict=True)
            for column in old.keys() & new.keys()
        )
        for name in before.keys() & after.keys()
    )


def test_every_step_down_and_up_again_keeps_the_rows_of_every_table(book: Engine, yard: Yard) -> None:
    key = fill(book, yard)
    known = as_known(book, key, yard)
    whole = rows(book)
    assert all(whole.values()), "every table has a row"
    for step in STEPS[1:]:
        migrate(book, step)
        assert shape(book) == step
        assert kept(whole, rows(book)), f"down to {step}"
        assert bool(triggers(book)) == (step > "0001")
    first = rows(book)
    assert first.keys() < whole.keys()
    for step in STEPS[-2::-1]:
        migrate(book, step)
        assert shape(book) == step
        now = rows(book)
        assert kept(first, now), f"up to {step}"
        assert refuses(book, now), f"guarded at {step}"
    checked(book)
    assert as_known(book, key, yard) == known
    fill(book, yard)  # the tables that went and came take rows again
    checked(book)


def as_known(book: Engine, key: UUID, yard: Yard) -> Yard:
    with looking(book) as session:
        return yards.yard_as_known(session, key, yard.today)


def refuses(book: Engine, there: Rows) -> bool:
    """Whether no table that has a row lets it be deleted."""
    with book.connect() as connection:
        for name in (name for name, held in there.items() if held):
            with pytest.raises(RecordError, match="cannot be changed or deleted"):
                connection.execute(text(f'DELETE FROM "{name}"'))
            connection.rollback()
    return True


@pytest.mark.parametrize("older", ["0001", STEPS[1]])
def test_an_older_book_is_brought_up_when_it_is_opened(places: Places, yard: Yard, older: str) -> None:
    at = places.book()
    old = open_book(at)
    key = fill(old, yard)
    known = as_known(old, key, yard)
    migrate(old, older)
    before = rows(old)
    old.dispose()
    new = open_book(at)
    assert shape(new) == HEAD
    assert kept(before, rows(new))
    assert as_known(new, key, yard) == known
    checked(new)
    shut_book(new)
    places.give_back(at)


def test_migrations_make_what_the_tables_say(book: Engine) -> None:
    with book.connect() as connection:
        context = MigrationContext.configure(
            connection, opts={"compare_type": True, "target_metadata": Base.metadata}
        )
        assert compare_metadata(context, Base.metadata) == []


def test_every_table_has_its_triggers(book: Engine) -> None:
    assert {kind.__tablename__ for kind in KEPT} == set(Base.metadata.tables)
    verbs = database_of(book).GUARDED
    assert triggers(book) == {f"{kind.__tablename__}_no_{verb}" for kind in KEPT for verb in verbs}


def test_migrations_are_one_line() -> None:
    assert len(SCRIPT.get_heads()) == len(SCRIPT.get_bases()) == 1


def test_down_to_nothing_leaves_nothing_behind(book: Engine) -> None:
    migrate(book, "base")
    with book.connect() as connection:
        assert inspect(connection).get_table_names() == ["alembic_version"]
        if book.dialect.name == "postgresql":
            left = "SELECT proname FROM pg_proc WHERE pronamespace = current_schema()::regnamespace"
            assert connection.execute(text(left)).all() == []
    assert triggers(book) == set()
    migrate(book)
    checked(book)


def test_a_failing_migration_leaves_the_book_as_it_was(book: Engine, yard: Yard) -> None:
    fill(book, yard)
    migrate(book, "0001")
    before = rows(book)
    verb = database_of(book).GUARDED[-1]  # a trigger that migration 0002 wants to make last
    in_the_way = {
        "sqlite": f"CREATE TRIGGER figure_edit_no_{verb} BEFORE INSERT ON figure_edit BEGIN SELECT 1; END",
        "postgresql": f"CREATE TRIGGER figure_edit_no_{verb} BEFORE INSERT ON figure_edit "
        "FOR EACH ROW EXECUTE FUNCTION suppress_redundant_updates_trigger()",
    }
    with book.begin() as connection:
        connection.execute(text(in_the_way[book.dialect.name]))
    with pytest.raises(Exception, match="already exists"):
        migrate(book)
    assert shape(book) == "0001"
    assert triggers(book) == {f"figure_edit_no_{verb}"}
    assert rows(book) == before


@pytest.fixture
def newer(at: BookAt) -> BookAt:
    """A book that a later version has written."""
    book = open_book(at)
    with book.begin() as connection:
        connection.execute(text("UPDATE alembic_version SET version_num = '9999'"))
    book.dispose()
    return at


def test_a_newer_book_is_refused_and_left_alone(newer: BookAt) -> None:
    with pytest.raises(RecordError, match="newer version of Breadline"):
        open_book(newer)
    database = database_at(newer)
    engine = database.engine_of(newer)
    assert shape(engine) == "9999"
    database.shut(engine)


@pytest.mark.parametrize("migrated", [False, True])
def test_another_programs_tables_are_refused_and_left_alone(places: Places, migrated: bool) -> None:
    at = places.new()
    database = database_at(at)
    engine = database.engine_of(at)
    names = {"songs"}
    with engine.begin() as connection:
        connection.execute(text("CREATE TABLE songs (name TEXT)"))
        if migrated:  # it may keep its shape by the same library
            connection.execute(text("CREATE TABLE alembic_version (version_num TEXT)"))
            connection.execute(text("INSERT INTO alembic_version VALUES ('ae10f3')"))
            names.add("alembic_version")
    with pytest.raises(RecordError, match="not a book of Breadline"):
        open_book(at)
    with engine.connect() as connection:
        assert set(inspect(connection).get_table_names()) == names
    database.shut(engine)
    places.give_back(at)


def test_a_migration_is_written_with_plain_types() -> None:
    engine = create_engine("sqlite://")
    with engine.connect() as connection:
        options = {"render_item": written_out, "target_metadata": Base.metadata}
        context = MigrationContext.configure(connection, opts=options)
        upgrade = produce_migrations(context, Base.metadata).upgrade_ops
        assert upgrade is not None
        written = render_python_code(upgrade, render_item=written_out, migration_context=context)
    engine.dispose()
    assert "sa.DateTime(timezone=True)" in written
    assert "breadline" not in written
