"""How a book stands changes with every entry, whatever the clock of who wrote it says. All invented."""

from __future__ import annotations

import time

import pytest
from sqlalchemy import Engine

from breadline.need.yard import Yard
from breadline.records import colonies, ids, newest, yards
from breadline.records.engine import looking, writing
from breadline.records.ids import Keys


def stands(book: Engine) -> tuple[str, str]:
    with looking(book) as session:
        return newest.everything(session), newest.entries(session)


def test_what_a_program_writes_whose_clock_is_behind_changes_how_the_book_stands(
    book: Engine, yard: Yard, monkeypatch: pytest.MonkeyPatch
) -> None:
    with writing(book) as session:
        key = yards.add_yard(session, yard)
        colonies.place_colony(session, key, "A1")
    first = stands(book)
    monkeypatch.setattr(ids, "_keys", Keys(lambda: time.time_ns() // 1_000_000 - 120_000))
    with writing(book) as session:
        colonies.place_colony(session, key, "A2")
    second = stands(book)
    assert second[0] != first[0]
    assert second[1] == first[1], "no answer of a yard goes by the row of its hives"
    with writing(book) as session:
        yards.withdraw_yard(session, key, "sold")
    assert stands(book)[1] != first[1]
    assert stands(book) == stands(book)
