"""A yard of a file whose forage was seen on an earlier day than the file's stays so in the book."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import Engine, func, select
from sqlalchemy.orm import Session

from breadline.need.yard import Yard
from breadline.records import colonies, readings, yards
from breadline.records.engine import looking, open_book, writing
from breadline.records.readings import Look, Seen
from breadline.records.tables import Visit
from breadline.records.yard_again import keep_yard
from breadline.records.yard_rows import FROM_PHONE
from records.test_round_trip import inspected_yard

SEEN = ("coming_in", "fresh_arcs", "outside_c")


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Engine]:
    engine = open_book(tmp_path_factory.mktemp("again") / "book.db")
    yield engine
    engine.dispose()


@st.composite
def seen_before(draw: st.DrawFn) -> Yard:
    """A yard whose forage was seen on some day since its last look, up to the day before its own."""
    yard = draw(inspected_yard())
    looked = max([yard.count.on, *(one.on for one in yard.inspections)])
    seen = looked + timedelta(draw(st.integers(0, 40)))
    today = max(yard.today, seen + timedelta(draw(st.integers(1, 40))))
    return replace(yard, today=today, forage=replace(yard.forage, seen_on=seen))


@settings(max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(yard=seen_before())
def test_it_comes_back_with_its_day_and_is_written_once(shared: Engine, yard: Yard) -> None:
    with Session(shared) as session:
        key = keep_yard(session, yard, None)
        assert yards.yard_as_known(session, key, yard.today) == yard
        later = yard.today + timedelta(days=3)
        assert yards.yard_as_known(session, key, later).forage == yard.forage, "still of its own day"
        visits = select(func.count()).select_from(Visit).where(Visit.yard_id == key)
        before = session.scalar(visits)
        assert keep_yard(session, yard, key) == key
        assert session.scalar(visits) == before
        session.rollback()


@settings(max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(yard=seen_before(), back=st.integers(1, 60), known=st.booleans())
def test_what_was_seen_before_the_last_look_is_never_told_as_seen_later(
    shared: Engine, yard: Yard, back: int, known: bool
) -> None:
    looked = max([yard.count.on, *(one.on for one in yard.inspections)])
    early = replace(yard, forage=replace(yard.forage, seen_on=looked - timedelta(back)))
    with Session(shared) as session:
        at = (
            yards.add_yard(session, replace(yard, forage=replace(yard.forage, seen_on=None)))
            if known
            else None
        )
        key = keep_yard(session, early, at)
        told = yards.yard_as_known(session, key, yard.today)
        assert [getattr(told.forage, name) for name in SEEN] == [None] * 3
        assert replace(told, forage=yard.forage) == yard, "and all else is known"
        session.rollback()


def test_where_the_book_has_a_later_look_the_file_seen_before_it_says_nothing_of_today(
    book: Engine, yard: Yard
) -> None:
    today, seen = yard.today + timedelta(days=20), yard.today + timedelta(days=5)
    looked = replace(yard, today=seen + timedelta(days=5), forage=replace(yard.forage, coming_in="none"))
    file = replace(
        yard, today=today, forage=replace(yard.forage, coming_in="plenty", seen_on=seen), notes=("new",)
    )
    with Session(book) as session:
        key = yards.add_yard(session, yard)
        yards.say_again(session, key, looked)
        keep_yard(session, file, key)
        told = yards.yard_as_known(session, key, today)
        assert told.forage.coming_in is None
        assert told.notes == ("new",)


def test_foulbrood_that_is_told_today_is_not_hidden_by_a_phone_that_came_after_the_forage(
    book: Engine, yard: Yard
) -> None:
    seen = max([yard.count.on, *(one.on for one in yard.inspections)])
    told = replace(yard, today=seen + timedelta(7), forage=replace(yard.forage, seen_on=seen))
    told = replace(
        told, health=replace(told.health, foulbrood_signs=False, mites_on=None, mites_per_100=None)
    )
    with writing(book) as session:
        key = keep_yard(session, told, None)
        visit = readings.add_visit(session, key, Look(seen + timedelta(5), note=FROM_PHONE))
        hive = colonies.place_colony(session, key, "A1")
        readings.add(session, visit.id, Seen("foulbrood_signs", 0.0), hive)
    sick = replace(told, health=replace(told.health, foulbrood_signs=True))
    with writing(book) as session:
        assert keep_yard(session, sick, key) == key
    with looking(book) as session:
        known = yards.yard_as_known(session, key, told.today)
        before = yards.yard_as_known(session, key, told.today - timedelta(1))
    assert known.health.foulbrood_signs is True
    assert before.health.foulbrood_signs is False, "it was not seen before"
