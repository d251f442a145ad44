"""Frozen frames and dry feed in a real SQLite file. All invented."""

from __future__ import annotations

from datetime import date

import pytest
from sqlalchemy import Engine

from breadline.errors import RecordError
from breadline.need.yard import Yard
from breadline.records import stocks, yards
from breadline.records.engine import looking, writing

MAY, JUNE = date(2026, 5, 1), date(2026, 6, 1)


def put(book: Engine, *lots: stocks.Put) -> None:
    with writing(book) as session:
        for lot in lots:
            stocks.put_in(session, lot)


def test_what_is_left_is_what_went_in_less_what_was_taken_oldest_first(book: Engine) -> None:
    put(book, stocks.Put("Mill", JUNE, 4.0, True), stocks.Put("Ford", MAY, 3.0, True))
    with writing(book) as session:
        oldest = stocks.lying(session)[0]
        assert (oldest.yard, oldest.frames) == ("Ford", 3.0)
        stocks.take_out(session, [(oldest.id, 2.0)], JUNE, "Mill")
    with writing(book) as session:
        assert [(lot.yard, lot.frames) for lot in stocks.lying(session)] == [("Ford", 1.0), ("Mill", 4.0)]
        stocks.take_out(session, [(stocks.lying(session)[0].id, 1.0)], JUNE)
        assert [lot.yard for lot in stocks.lying(session)] == ["Mill"], "a lot used up is gone"
        with pytest.raises(RecordError, match="no more than lie there"):
            stocks.take_out(session, [(stocks.lying(session)[0].id, 9.0)], JUNE)


def test_disease_found_later_sets_aside_what_is_left_of_every_lot_of_that_yard(book: Engine) -> None:
    put(book, stocks.Put("Ford", MAY, 3.0, True), stocks.Put("Ford", JUNE, 2.0, None),
        stocks.Put("Mill", JUNE, 4.0, True))  # fmt: skip
    with writing(book) as session:
        stocks.take_out(session, [(stocks.lying(session)[0].id, 2.0)], JUNE)
        assert stocks.disease_found(session, "Ford", "ropy larvae") == 2
    with looking(book) as session:
        left = [(lot.yard, lot.frames, lot.disease_free) for lot in stocks.lying(session)]
        assert left == [("Ford", 1.0, False), ("Ford", 2.0, False), ("Mill", 4.0, True)]
    with writing(book) as session, pytest.raises(RecordError, match="Ford, Mill"):
        stocks.disease_found(session, "Gone", "")


def test_not_inspected_is_no_disease_until_it_is_found_and_where_frames_went_is_known(book: Engine) -> None:
    put(book, stocks.Put("Ford", MAY, 3.0, False), stocks.Put("Mill", MAY, 2.0, True))
    with writing(book) as session:
        ford, mill = stocks.lying(session)
        assert not ford.disease_found
        stocks.take_out(session, [(mill.id, 0.5)], JUNE, "Redbud")
        stocks.take_out(session, [(mill.id, 1.0)], JUNE, "Redbud")
        assert stocks.disease_found(session, "Ford", "ropy larvae") == 1
        assert stocks.disease_found(session, "Mill", "scales") == 1
        assert [lot.disease_found for lot in stocks.lying(session)] == [True, True]
        assert stocks.given_away(session, "Mill") == [stocks.GivenAway(JUNE, 1.5, "Redbud")]
        assert stocks.given_away(session, "Ford") == []


def test_a_yard_where_disease_was_found_is_known_though_none_of_its_frames_is_left(book: Engine) -> None:
    put(book, stocks.Put("Ford", MAY, 3.0, True), stocks.Put("Mill", MAY, 2.0, False))
    with writing(book) as session:
        assert stocks.sick_yards(session) == frozenset(), "not inspected is no disease"
        stocks.take_out(session, [(stocks.lying(session)[0].id, 3.0)], JUNE)
        stocks.disease_found(session, "Ford", "ropy larvae")
    put(book, stocks.Put("Ford", JUNE, 2.0, True))
    with looking(book) as session:
        assert stocks.sick_yards(session) == {"Ford"}


@pytest.mark.parametrize(("yard", "frames"), [("", 2.0), ("Mill", 0.0), ("Mill", float("nan"))])
def test_a_lot_has_a_yard_and_frames(book: Engine, yard: str, frames: float) -> None:
    with writing(book) as session, pytest.raises(RecordError):
        stocks.put_in(session, stocks.Put(yard, MAY, frames, True))


def test_dry_feed_stands_once_a_day_and_can_be_taken_back(book: Engine, yard: Yard) -> None:
    stood = stocks.Stood(MAY, 51.2, None, 3.2, 8.0, 60.0, 24)
    with writing(book) as session:
        key = yards.add_yard(session, yard)
        first = stocks.keep_dry_feed(session, key, stood)
        assert stocks.keep_dry_feed(session, key, stood).id == first.id
        assert [row.near_km for row in stocks.dry_feeds(session)] == [3.2]
        stocks.no_dry_feed(session, key, "never put out", [MAY])
        assert stocks.dry_feeds(session) == []
        with pytest.raises(RecordError, match="none is written down"):
            stocks.no_dry_feed(session, key, "again", [MAY])
