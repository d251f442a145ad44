"""The file itself: settings, migrations up and down, copies, and refusals in plain words."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from contextlib import closing
from datetime import date
from pathlib import Path
from threading import Thread

import pytest
from alembic.autogenerate import compare_metadata, produce_migrations, render_python_code
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine, create_engine, func, select, text

from breadline.errors import RecordError
from breadline.need.yard import Yard
from breadline.records import yards
from breadline.records.append_only import Base
from breadline.records.engine import checked, looking, open_book, writing
from breadline.records.migrations.plain_types import written_out
from breadline.records.shape import migrate, migrations
from breadline.records.tables import KEPT, Operation, Reading

HEAD = ScriptDirectory.from_config(migrations()).get_current_head()


def pragma(engine: Engine, name: str) -> object:
    with engine.connect() as connection:
        return connection.exec_driver_sql(f"PRAGMA {name}").scalar()


def shape(engine: Engine) -> str | None:
    with engine.connect() as connection:
        return MigrationContext.configure(connection).get_current_revision()


def triggers(engine: Engine) -> set[str]:
    with engine.connect() as connection:
        return set(connection.execute(text("SELECT name FROM sqlite_master WHERE type='trigger'")).scalars())


def test_settings_that_keep_what_was_saved(book: Engine) -> None:
    names = ("journal_mode", "synchronous", "foreign_keys", "busy_timeout", "recursive_triggers")
    assert [pragma(book, name) for name in names] == ["wal", 2, 1, 10_000, 1]  # 2 is FULL


def test_settings_hold_on_every_connection_and_after_migrating(book: Engine) -> None:
    migrate(book, "0001")
    migrate(book)
    with book.connect() as one, book.connect() as other:
        for connection in (one, other):
            assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1


def test_a_key_that_points_at_nothing_is_refused(book: Engine) -> None:
    with pytest.raises(Exception, match="FOREIGN KEY"), book.begin() as connection:
        connection.execute(
            text(
                "INSERT INTO colony (id, yard_id, name, made_at) "
                "VALUES (:i, :i, 'a', '2026-03-01 00:00:00.000000')"
            ),
            {"i": "0" * 32},
        )


def test_migrations_make_what_the_tables_say(book: Engine) -> None:
    with book.connect() as connection:
        context = MigrationContext.configure(
            connection, opts={"compare_type": True, "target_metadata": Base.metadata}
        )
        assert compare_metadata(context, Base.metadata) == []


def test_every_table_has_its_triggers(book: Engine) -> None:
    assert {kind.__tablename__ for kind in KEPT} == set(Base.metadata.tables)
    wanted = {f"{kind.__tablename__}_no_{verb}" for kind in KEPT for verb in ("update", "delete", "replace")}
    assert triggers(book) == wanted


def test_migrations_are_one_line() -> None:
    script = ScriptDirectory.from_config(migrations())
    assert len(script.get_heads()) == len(script.get_bases()) == 1


def test_down_and_up_again_with_data(book: Engine, yard: Yard) -> None:
    with writing(book) as session:
        key = yards.add_yard(session, yard)
    migrate(book, "0001")
    assert shape(book) == "0001"
    assert triggers(book) == set()
    migrate(book)
    assert shape(book) == HEAD
    assert triggers(book)
    with looking(book) as session:
        assert yards.yard_as_known(session, key, yard.today) == yard
    checked(book)


def test_down_to_nothing_leaves_no_table_behind(book: Engine) -> None:
    migrate(book, "base")
    with book.connect() as connection:
        left = connection.execute(text("SELECT name FROM sqlite_master WHERE type='table'")).scalars().all()
    assert left == ["alembic_version"]
    migrate(book)
    checked(book)


def test_an_older_book_is_copied_beside_itself_first(tmp_path: Path, yard: Yard) -> None:
    path = tmp_path / "book.db"
    old = open_book(path)
    with writing(old) as session:
        key = yards.add_yard(session, yard)
    migrate(old, "0001")
    old.dispose()
    new = open_book(path)
    spare = tmp_path / f"book.before-{HEAD}.db"
    assert spare.is_file()
    with closing(sqlite3.connect(spare)) as raw:
        assert raw.execute("SELECT version_num FROM alembic_version").fetchall() == [("0001",)]
        assert raw.execute("SELECT count(*) FROM reading").fetchone()[0] > 0
    with looking(new) as session:
        assert yards.yard_as_known(session, key, yard.today) == yard
    migrate(new, "0001")
    new.dispose()
    open_book(path).dispose()
    assert (tmp_path / f"book.before-{HEAD}-2.db").is_file()


def test_a_book_in_shape_is_not_copied(tmp_path: Path) -> None:
    for _ in range(2):
        open_book(tmp_path / "book.db").dispose()
    assert [p.name for p in tmp_path.glob("*.db")] == ["book.db"]


def test_a_failing_migration_leaves_the_book_as_it_was(book: Engine, monkeypatch: pytest.MonkeyPatch) -> None:
    migrate(book, "0001")
    with book.begin() as connection:  # a trigger that migration 0002 wants to make last
        connection.execute(
            text("CREATE TRIGGER figure_edit_no_replace BEFORE INSERT ON figure_edit BEGIN SELECT 1; END")
        )
    with pytest.raises(Exception, match="already exists"):
        migrate(book)
    assert shape(book) == "0001"
    assert triggers(book) == {"figure_edit_no_replace"}


def test_a_newer_book_is_refused_and_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "book.db"
    open_book(path).dispose()
    with closing(sqlite3.connect(path)) as raw:
        raw.execute("UPDATE alembic_version SET version_num = '9999'")
        raw.commit()
    with pytest.raises(RecordError, match="newer version of Breadline"):
        open_book(path)
    with closing(sqlite3.connect(path)) as raw:
        assert raw.execute("SELECT version_num FROM alembic_version").fetchall() == [("9999",)]
    assert [p.name for p in tmp_path.glob("*.db")] == ["book.db"]


@pytest.mark.parametrize("migrated", [False, True])
def test_another_programs_database_is_refused_and_left_alone(tmp_path: Path, migrated: bool) -> None:
    path = tmp_path / "other.db"
    with closing(sqlite3.connect(path)) as raw:
        raw.execute("CREATE TABLE songs (name TEXT)")
        if migrated:  # it may keep its shape by the same library
            raw.execute("CREATE TABLE alembic_version (version_num TEXT)")
            raw.execute("INSERT INTO alembic_version VALUES ('ae10f3')")
            raw.commit()
    before = path.read_bytes()
    with pytest.raises(RecordError, match="not a book of Breadline"):
        open_book(path)
    assert path.read_bytes() == before
    assert [p.name for p in tmp_path.iterdir()] == ["other.db"]


def test_a_file_that_is_no_database_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "letter.db"
    path.write_text("Dear inspector, " * 100, "utf-8")
    with pytest.raises(RecordError, match="not a book of Breadline"):
        open_book(path)
    assert path.read_text("utf-8").startswith("Dear inspector")


def test_a_missing_folder_and_a_folder_as_file_are_refused(tmp_path: Path) -> None:
    with pytest.raises(RecordError, match="folder is not there"):
        open_book(tmp_path / "nowhere" / "book.db")
    with pytest.raises(RecordError, match="cannot be opened"):
        open_book(tmp_path)


def test_a_read_only_book_says_so(book: Engine) -> None:
    insert = text("INSERT INTO operation (id, name, made_at) VALUES ('a', 'b', 'c')")
    with book.connect() as connection:
        connection.exec_driver_sql("PRAGMA query_only=ON")  # SQLite's own refusal, as without rights
        with pytest.raises(RecordError, match="read-only"):
            connection.execute(insert)


def test_a_full_disk_says_so_and_keeps_what_was_there(book: Engine) -> None:
    def fill() -> None:
        with writing(book) as session:
            pages = session.execute(text("PRAGMA page_count")).scalar_one()
            session.execute(text(f"PRAGMA max_page_count={pages}"))
            session.add_all(Operation(name="x" * 5000) for _ in range(200))

    with writing(book) as session:
        yards.add_operation(session, "kept")
    with pytest.raises(RecordError, match="disk is full"):
        fill()
    with looking(book) as session:
        assert session.scalars(select(Operation.name)).all() == ["kept"]


def test_a_damaged_book_is_found(book: Engine, yard: Yard) -> None:
    checked(book)
    path = book.url.database
    assert path is not None
    book.dispose()
    with closing(sqlite3.connect(path)) as raw:  # foreign keys are off by default
        raw.execute("INSERT INTO colony (id, yard_id, name, made_at) VALUES ('a', 'b', 'c', 'd')")
        raw.commit()
    with pytest.raises(RecordError, match="damaged"):
        checked(book)


def test_nothing_is_saved_when_something_goes_wrong_halfway(book: Engine, yard: Yard) -> None:
    def half() -> None:
        with writing(book) as session:
            yards.add_yard(session, yard)
            raise InterruptedError("the power went")

    with pytest.raises(InterruptedError):
        half()
    with looking(book) as session:
        assert session.scalar(select(func.count()).select_from(Reading)) == 0


def test_two_writers_wait_for_each_other(book: Engine, yard: Yard) -> None:
    failed: list[BaseException] = []

    def write() -> None:
        try:
            for _ in range(5):
                with writing(book) as session:
                    yards.yards(session)  # reads first, then writes
                    yards.add_yard(session, yard, owner)
        except RecordError as error:
            failed.append(error)

    with writing(book) as session:
        owner = yards.add_operation(session, "invented").id
    threads = [Thread(target=write) for _ in range(3)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failed == []
    with looking(book) as session:
        assert len(yards.yards(session)) == 15
        assert yards.yards(session)[0].looked_on == date(2026, 3, 10)


WRITER = """
import sys
from breadline.records import yards
from breadline.records.engine import open_book, writing
book = open_book(sys.argv[1])
for number in range(20):
    with writing(book) as session:
        before = len(yards.operations(session))  # reads first, then writes
        yards.add_operation(session, f"{sys.argv[2]} after {before}")
"""


def test_two_programs_write_at_once_and_nothing_is_lost(tmp_path: Path) -> None:
    path = tmp_path / "book.db"
    programs = [subprocess.Popen([sys.executable, "-c", WRITER, path, name]) for name in ("one", "two")]
    assert [program.wait(50) for program in programs] == [0, 0]
    book = open_book(path)
    with looking(book) as session:
        said = [
            row.name.split(" after ") for row in session.scalars(select(Operation).order_by(text("rowid")))
        ]
    assert [int(before) for _, before in said] == list(range(40)), "each saw all that was written before it"
    assert sorted(name for name, _ in said) == ["one"] * 20 + ["two"] * 20
    checked(book)
    book.dispose()


def test_a_writer_that_waits_too_long_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("breadline.records.sqlite.BUSY_MS", 50)
    one, other = (open_book(tmp_path / "book.db") for _ in range(2))

    def late() -> None:
        with writing(other) as session:
            yards.add_operation(session, "second")

    with writing(one) as session:
        yards.add_operation(session, "first")
        with pytest.raises(RecordError, match="another program is writing"):
            late()
    one.dispose()
    other.dispose()


def test_an_older_book_opened_by_several_at_once_is_copied_once(tmp_path: Path) -> None:
    path = tmp_path / "book.db"
    old = open_book(path)
    migrate(old, "0001")
    old.dispose()
    failed: list[BaseException] = []

    def start() -> None:
        try:
            open_book(path).dispose()
        except Exception as error:  # noqa: BLE001  the thread's error is the test's
            failed.append(error)

    threads = [Thread(target=start) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failed == []
    assert sorted(p.name for p in tmp_path.glob("*.db")) == [f"book.before-{HEAD}.db", "book.db"]
    with closing(sqlite3.connect(tmp_path / f"book.before-{HEAD}.db")) as raw:
        assert raw.execute("SELECT version_num FROM alembic_version").fetchall() == [("0001",)]


def test_a_new_book_opened_by_several_at_once(tmp_path: Path) -> None:
    failed: list[BaseException] = []

    def start() -> None:
        try:
            open_book(tmp_path / "book.db").dispose()
        except Exception as error:  # noqa: BLE001  the thread's error is the test's
            failed.append(error)

    threads = [Thread(target=start) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failed == []
    book = open_book(tmp_path / "book.db")
    checked(book)
    book.dispose()


@pytest.mark.parametrize("name", ["my book?.db", "50% ash #1.db", "Bücher & Äcker.sqlite"])
def test_a_name_as_people_give_them(tmp_path: Path, name: str) -> None:
    open_book(tmp_path / name).dispose()
    assert (tmp_path / name).is_file()


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
