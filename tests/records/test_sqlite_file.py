"""What is SQLite's alone: settings of the file, the copy before a migration, and a file's own refusals."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from threading import Thread

import pytest
from sqlalchemy import Engine, select, text

from breadline.errors import RecordError
from breadline.need.yard import Yard
from breadline.records import yards
from breadline.records.contents import refuse_half_written
from breadline.records.copy_digest import is_untouched
from breadline.records.engine import checked, looking, open_book, writing
from breadline.records.shape import known_shapes, migrate
from breadline.records.tables import Operation

HEAD = known_shapes()[0]


@pytest.fixture
def book(file_book: Engine) -> Engine:
    """Here every book is a file."""
    return file_book


def pragma(engine: Engine, name: str) -> object:
    with engine.connect() as connection:
        return connection.exec_driver_sql(f"PRAGMA {name}").scalar()


def test_settings_that_keep_what_was_saved(book: Engine) -> None:
    names = ("journal_mode", "synchronous", "foreign_keys", "busy_timeout", "recursive_triggers")
    assert [pragma(book, name) for name in names] == ["wal", 2, 1, 10_000, 1]  # 2 is FULL


def test_settings_hold_on_every_connection_and_after_migrating(book: Engine) -> None:
    migrate(book, "0001")
    migrate(book)
    with book.connect() as one, book.connect() as other:
        for connection in (one, other):
            assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1


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


@pytest.mark.parametrize("name", ["my book?.db", "50% ash #1.db", "Bücher & Äcker.sqlite"])
def test_a_name_as_people_give_them(tmp_path: Path, name: str) -> None:
    open_book(tmp_path / name).dispose()
    assert (tmp_path / name).is_file()


def test_a_program_that_ends_leaves_the_book_in_its_one_file(tmp_path: Path) -> None:
    """Whoever copies that file, and not the log beside it, has all of it."""
    own, alone = tmp_path / "own.db", tmp_path / "alone.db"
    sheet = tmp_path / "yards.csv"
    sheet.write_text("name,latitude,longitude,colonies\nMill Lane,45.1,-93.2,20\n", encoding="utf-8")
    typed = f"import sys; sys.argv = ['breadline', 'import', {str(own)!r}, {str(sheet)!r}]\n"
    main = "from breadline.cli.app import main\nmain()"
    subprocess.run([sys.executable, "-c", typed + main], check=True, timeout=120)
    assert {one.name for one in tmp_path.iterdir()} == {"own.db", "yards.csv"}
    alone.write_bytes(own.read_bytes())
    with closing(sqlite3.connect(alone)) as raw:
        assert raw.execute("SELECT name FROM yard_fact").fetchall() == [("Mill Lane",)]


def _elsewhere(path: Path, typed: str) -> str:
    """What another program says that opens the book, does this and ends."""
    opened = f"""
from pathlib import Path
from sqlalchemy import text
from breadline.records.engine import looking, open_book
with looking(open_book(Path({str(path)!r}))) as session:
    print({typed})
"""
    said = subprocess.run(
        [sys.executable, "-c", opened], check=True, timeout=120, capture_output=True, text=True
    )
    return said.stdout.strip()


def test_a_book_that_is_looked_at_while_it_writes_keeps_its_log_from_a_program_that_ends(
    tmp_path: Path, yard: Yard
) -> None:
    path = tmp_path / "book.db"
    engine = open_book(path)
    with writing(engine) as session:
        yards.add_yard(session, yard)
        refuse_half_written(path)
        assert not is_untouched(path)
        assert _elsewhere(path, "session.execute(text('SELECT 1')).scalar()") == "1"
        assert path.with_name("book.db-wal").is_file()
    told = _elsewhere(path, "session.execute(text('SELECT count(*) FROM yard')).scalar()")
    assert told == "1"  # while this program has the book open still
    engine.dispose()
