"""A book that cannot be written answers no record: the phone keeps it and sends it again. Invented."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from sqlalchemy import Engine, text
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.records import field
from breadline.records.engine import writing
from records.test_field import NOW, frames, place, record, sent, take
from records.test_field_taken_back import back

__all__ = ["place"]
FULL = "BEGIN RAISE EXCEPTION 'no space left' USING ERRCODE = '53100'; END"


@contextmanager
def no_room(book: Engine) -> Iterator[Session]:
    """A session over a disk that is full: SQLite's largest size, a server's own refusal."""
    with writing(book) as session:
        if book.dialect.name == "sqlite":
            pages = session.execute(text("PRAGMA page_count")).scalar_one()
            session.execute(text(f"PRAGMA max_page_count={pages}"))
        else:
            session.execute(
                text(f"CREATE FUNCTION full_disk() RETURNS trigger LANGUAGE plpgsql AS $${FULL}$$")
            )
            session.execute(text(
                "CREATE TRIGGER full_disk BEFORE INSERT ON field_entry EXECUTE FUNCTION full_disk()"
            ))  # fmt: skip
        yield session


def test_a_full_disk_answers_nothing_and_the_same_batch_is_stored_later(book: Engine, place) -> None:
    many = [record(place, tag=f"A{n % 3 + 1}", seen={}, spoken="x" * 500) for n in range(60)]

    def fill() -> None:
        with no_room(book) as session:
            field.take_all(session, sent(*many), NOW)

    with pytest.raises(RecordError, match="disk is full"):
        fill()
    book.dispose()
    assert {answer for answer, _ in take(book, *many)} == {"stored"}, "none of them is refused or lost"


def test_a_full_disk_takes_nothing_back(book: Engine, place) -> None:
    first = record(place)
    take(book, first)
    gone = [back(place, first, because="y" * 200) for _ in range(60)]

    def fill() -> None:
        with no_room(book) as session:
            field.take_all(session, sent(*gone), NOW)

    with pytest.raises(RecordError, match="disk is full"):
        fill()
    book.dispose()
    assert frames(book, place) == [("A1", 7.5)]
    assert take(book, gone[0]) == [("stored", "")]
    assert frames(book, place) == []
