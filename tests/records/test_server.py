"""What is PostgreSQL's alone: whom the server lets in, what it refuses, and a connection that is lost."""

from __future__ import annotations

import os
from collections.abc import Iterator
from pathlib import Path
from threading import Thread

import pytest
from sqlalchemy import Engine, text

from book_places import Databases
from breadline.errors import RecordError
from breadline.need.yard import Yard
from breadline.records import yards
from breadline.records.address import OnServer
from breadline.records.engine import checked, is_there, looking, open_book, place, writing
from breadline.records.postgresql import engine_of
from breadline.records.tables import Operation


@pytest.fixture
def at(server: Databases) -> Iterator[OnServer]:
    """Here every book is on a server."""
    there = server.book()
    yield there
    server.give_back(there)


@pytest.fixture
def book(at: OnServer) -> Engine:
    return open_book(at)


@pytest.fixture
def guarded(server: Databases) -> Iterator[None]:
    """A user whom the server lets in by password only, and who owns nothing."""
    server.tell("DROP ROLE IF EXISTS guarded")
    server.tell("CREATE ROLE guarded LOGIN PASSWORD 'ho:ney'")
    yield
    server.tell("DROP ROLE guarded")


def alone(at: OnServer, **changes: object) -> OnServer:
    """The same address with something else in it."""
    return OnServer(at.url.set(**changes))  # type: ignore[arg-type]


def refused(at: OnServer) -> str:
    """What is said where a book cannot be opened; never with a password."""
    with pytest.raises(RecordError) as told:
        open_book(at)
    engine_of(at).dispose()
    for said in (str(told.value), repr(told.value), str(told.value.as_dict())):
        assert "ney" not in said
    return str(told.value)


def test_the_way_in(at: OnServer, server: Databases, guarded: None) -> None:
    assert "no such database" in refused(alone(at, database="nowhere"))
    assert "cannot be reached" in refused(alone(at, query={"host": "/nowhere"}))
    assert "let this user in" in refused(alone(at, username="guarded", password="wrong_honey"))
    assert "let this user in" in refused(alone(at, username="guarded"))
    assert "does not know this user" in refused(alone(at, username="stranger"))
    assert "nowhere" in refused(alone(at, database="nowhere")), "what the server said is passed on"


def test_a_server_that_speaks_another_language_is_understood(at: OnServer, server: Databases) -> None:
    """States have no language; at the door, where none comes, its own words are passed on."""

    class Said(Exception):
        sqlstate = "53100"

    class Met:
        connection, statement, is_disconnect = object(), "INSERT", False

    from breadline.records.refusals import of_server

    told = of_server("bees", Said("kein Speicherplatz mehr auf dem Gerät"), Met())
    assert told is not None
    assert "disk is full" in str(told)
    Met.connection = None  # type: ignore[assignment]
    told = of_server("bees", Exception("Verbindungsaufbau abgelehnt"), Met())
    assert told is not None
    assert "Verbindungsaufbau abgelehnt" in str(told)


def test_a_user_without_the_right_to_write_is_told_so(at: OnServer, server: Databases, guarded: None) -> None:
    book = open_book(at)
    with book.begin() as connection:
        connection.execute(text("GRANT SELECT ON ALL TABLES IN SCHEMA public TO guarded"))
    theirs = open_book(alone(at, username="guarded", password="ho:ney"))
    with looking(theirs) as session:
        assert yards.yards(session) == []
    with pytest.raises(RecordError, match="may not do that"), writing(theirs) as session:
        yards.add_operation(session, "theirs")
    theirs.dispose()
    with book.begin() as connection:
        connection.execute(text("DROP OWNED BY guarded"))


def test_a_user_who_may_make_no_table_is_told_so(server: Databases, guarded: None) -> None:
    at = server.new()
    assert "may not do that" in refused(alone(at, username="guarded", password="ho:ney"))
    server.drop(at)


def test_a_read_only_server_says_so(at: OnServer, server: Databases, book: Engine) -> None:
    server.tell(f"ALTER DATABASE {at.url.database} SET default_transaction_read_only = on")
    book.dispose()
    with looking(book) as session:
        assert yards.yards(session) == []
    with pytest.raises(RecordError, match="read only"), writing(book) as session:
        yards.add_operation(session, "not kept")
    server.tell(f"ALTER DATABASE {at.url.database} RESET default_transaction_read_only")
    book.dispose()


def test_a_full_disk_says_so_and_keeps_what_was_there(book: Engine) -> None:
    with writing(book) as session:
        yards.add_operation(session, "kept")

    def fill() -> None:
        with writing(book) as session:
            yards.add_operation(session, "not kept")
            session.execute(text("DO $$BEGIN RAISE EXCEPTION 'no space' USING ERRCODE = '53100'; END$$"))

    with pytest.raises(RecordError, match="disk is full"):
        fill()
    with looking(book) as session:
        assert [row.name for row in yards.operations(session)] == ["kept"]


def test_a_connection_lost_halfway_saves_nothing_and_the_next_is_made_anew(book: Engine) -> None:
    def halfway() -> None:
        with writing(book) as session:
            yards.add_operation(session, "lost")
            session.flush()
            hang_up(book, session.scalar(text("SELECT pg_backend_pid()")))
            session.add(Operation(name="after"))
            session.flush()

    with pytest.raises(RecordError, match="was not saved"):
        halfway()
    with looking(book) as session:
        assert yards.operations(session) == []


def test_a_connection_lost_while_saving_leaves_no_false_promise(book: Engine) -> None:
    def at_the_end() -> None:
        with writing(book) as session:
            yards.add_operation(session, "who knows")
            session.flush()
            hang_up(book, session.scalar(text("SELECT pg_backend_pid()")))

    with pytest.raises(RecordError, match="may be there or not"):
        at_the_end()
    with looking(book) as session:
        assert yards.operations(session) == []


def test_connections_that_died_between_two_requests_are_not_noticed(book: Engine) -> None:
    with looking(book) as session:
        backend = session.scalar(text("SELECT pg_backend_pid()"))
    hang_up(book, backend)
    with writing(book) as session:
        yards.add_operation(session, "kept")
    with looking(book) as session:
        assert [row.name for row in yards.operations(session)] == ["kept"]


def hang_up(book: Engine, backend: object) -> None:
    """The server ends a connection, as it does when it is shut down."""
    other = engine_of(OnServer(book.url)).execution_options(isolation_level="AUTOCOMMIT")
    with other.connect() as connection:
        connection.execute(text("SELECT pg_terminate_backend(:it, 5000)"), {"it": backend})


def test_a_database_that_lacks_letters_is_refused(server: Databases) -> None:
    name = "latin_book"
    server.tell(f"CREATE DATABASE {name} TEMPLATE template0 ENCODING 'LATIN1' LOCALE 'C'")
    at = alone(server.new(), database=name)
    assert "keeps text as LATIN1" in refused(at)
    server.drop(at)


def test_a_mistyped_name_begins_no_book(server: Databases, at: OnServer) -> None:
    empty = server.new()
    assert not is_there(empty)
    assert is_there(at)
    with pytest.raises(RecordError, match="no such database"):
        is_there(alone(at, database="nowhere"))
    engine_of(empty).dispose()
    server.drop(empty)


def test_a_guard_that_was_switched_off_is_found(book: Engine) -> None:
    checked(book)
    for done, undone in (
        ("ALTER TABLE reading DISABLE TRIGGER reading_no_delete",
         "ALTER TABLE reading ENABLE ALWAYS TRIGGER reading_no_delete"),
        ("ALTER TABLE reading ENABLE TRIGGER reading_no_delete",  # no longer asked by a replica
         "ALTER TABLE reading ENABLE ALWAYS TRIGGER reading_no_delete"),
    ):  # fmt: skip
        with book.begin() as connection:
            connection.execute(text(done))
        with pytest.raises(RecordError, match="reading_no_delete"):
            checked(book)
        with book.begin() as connection:
            connection.execute(text(undone))
    checked(book)


def test_a_key_that_points_at_nothing_is_found(book: Engine, yard: Yard) -> None:
    with book.begin() as connection:
        connection.execute(text("SET LOCAL session_replication_role = replica"))  # keys are not checked
        connection.execute(
            text("INSERT INTO colony (id, yard_id, name, made_at) VALUES (:i, :i, 'a', now())"),
            {"i": "0" * 32},
        )
    with pytest.raises(RecordError, match=r"damaged \(colony 0.*, yard_id\).*pg_dump"):
        checked(book)


def test_what_is_saved_is_on_the_disk_even_where_the_server_is_told_to_be_quick(book: Engine) -> None:
    """The tests' own server has synchronous_commit off."""
    asked = text("SELECT current_setting('synchronous_commit')")
    with looking(book) as session:
        assert session.scalar(asked) == "off"
    with writing(book) as session:
        assert session.scalar(asked) == "on"


def test_the_place_is_told_without_the_password(at: OnServer) -> None:
    theirs = alone(at, password="ho:ney")  # not asked for
    book = open_book(theirs)
    assert place(book) == str(theirs) == str(at)
    for said in (str(theirs), repr(theirs), repr(book), repr(book.url)):
        assert "ney" not in said
    book.dispose()


def test_one_pen_and_many_readers(book: Engine) -> None:
    """Readers do not wait for the pen, and who waits for it sees what was written before."""
    seen: list[int] = []

    def second() -> None:
        with writing(book) as session:
            seen.append(len(yards.operations(session)))

    with writing(book) as session:
        yards.add_operation(session, "first")
        session.flush()
        thread = Thread(target=second)
        thread.start()
        with looking(book) as reading:
            assert yards.operations(reading) == []
        thread.join(0.3)
        assert seen == []
    thread.join()
    assert seen == [1]


def test_a_password_is_read_from_the_file_of_passwords(
    at: OnServer, guarded: None, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    kept = tmp_path / "passes"
    kept.write_text("*:*:*:guarded:ho\\:ney\n", "utf-8")
    os.chmod(kept, 0o600)
    monkeypatch.setenv("PGPASSFILE", str(kept))
    theirs = alone(at, username="guarded")
    with engine_of(theirs).connect() as connection:
        assert connection.scalar(text("SELECT current_user")) == "guarded"
    engine_of(theirs).dispose()
