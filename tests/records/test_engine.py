"""The open book on both databases: one pen, all or nothing, one moment's view."""

from __future__ import annotations

import subprocess
import sys
from datetime import date
from threading import Thread

import pytest
from sqlalchemy import Engine, func, select, text

from book_places import Places
from breadline.errors import RecordError
from breadline.need.yard import Yard
from breadline.records import yards
from breadline.records.address import BookAt, OnServer
from breadline.records.engine import checked, looking, open_book, shut_book, writing
from breadline.records.tables import Operation, Reading


def test_a_key_that_points_at_nothing_is_refused(book: Engine) -> None:
    with pytest.raises(Exception, match=r"(?i)foreign key"), book.begin() as connection:
        connection.execute(
            text(
                "INSERT INTO colony (id, yard_id, name, made_at) "
                "VALUES (:i, :i, 'a', '2026-03-01 00:00:00.000000')"
            ),
            {"i": "0" * 32},
        )


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


def test_two_programs_write_at_once_and_nothing_is_lost(at: BookAt) -> None:
    address = at.url.render_as_string(hide_password=False) if isinstance(at, OnServer) else str(at)
    programs = [subprocess.Popen([sys.executable, "-c", WRITER, address, name]) for name in ("one", "two")]
    assert [program.wait(50) for program in programs] == [0, 0]
    book = open_book(at)
    with looking(book) as session:
        said = [name.split(" after ") for name in session.scalars(select(Operation.name))]
    assert sorted(int(before) for _, before in said) == list(range(40)), "each saw all written before it"
    assert sorted(name for name, _ in said) == ["one"] * 20 + ["two"] * 20
    checked(book)
    shut_book(book)


def test_a_writer_that_waits_too_long_says_so(at: BookAt, monkeypatch: pytest.MonkeyPatch) -> None:
    for wait in ("sqlite.BUSY_MS", "sqlite.TURN_MS", "postgresql.BUSY_MS"):
        monkeypatch.setattr(f"breadline.records.{wait}", 50)
    one, other = (open_book(at) for _ in range(2))

    def late() -> None:
        with writing(other) as session:
            yards.add_operation(session, "second")

    with writing(one) as session:
        yards.add_operation(session, "first")
        with pytest.raises(RecordError, match="another program is writing"):
            late()
    one.dispose()
    other.dispose()


def test_a_new_book_opened_by_several_at_once(places: Places) -> None:
    at = places.new()
    failed: list[BaseException] = []

    def start() -> None:
        try:
            shut_book(open_book(at))
        except Exception as error:  # noqa: BLE001  the thread's error is the test's
            failed.append(error)

    threads = [Thread(target=start) for _ in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert failed == []
    book = open_book(at)
    checked(book)
    shut_book(book)
    places.give_back(at)


def test_a_reading_is_of_one_moment(book: Engine) -> None:
    with looking(book) as session:
        assert yards.operations(session) == []
        with writing(book) as other:
            yards.add_operation(other, "came meanwhile")
        assert yards.operations(session) == [], "what came after the first look is not seen halfway"
    with looking(book) as session:
        assert [row.name for row in yards.operations(session)] == ["came meanwhile"]


@pytest.mark.parametrize("name", ["Zoë's Bees", "蜂蜜 🐝", "'; DROP TABLE yard; --", "50% ash\\n"])
def test_names_as_people_give_them(book: Engine, name: str) -> None:
    with writing(book) as session:
        yards.add_operation(session, name)
    with looking(book) as session:
        assert [row.name for row in yards.operations(session)] == [name]
