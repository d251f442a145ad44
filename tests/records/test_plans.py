"""Chosen plans in a real SQLite file: one takes the place of the other. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from uuid import UUID

import pytest
from sqlalchemy import Engine, text

from breadline.errors import RecordError
from breadline.need.yard import Yard
from breadline.records import plans, yards
from breadline.records.engine import checked, looking, writing
from breadline.records.shape import migrate
from records.conftest import CHOSEN


def test_a_plan_comes_back_with_its_belief_its_prices_and_its_rounds(book: Engine, yard: Yard) -> None:
    with writing(book) as session:
        key = yards.add_yard(session, yard)
        plans.keep_plan(session, key, CHOSEN)
    with looking(book) as session:
        row = plans.plan_of(session, key)
        assert row is not None
        for name in ("asked", "sentence", "break_even", "belief", "prices", "foretold", "chosen_on"):
            assert getattr(row, name) == getattr(CHOSEN, name)
        assert plans.pieces(session, row.id) == CHOSEN.rounds


def test_the_same_plan_is_kept_once_and_another_takes_its_place(book: Engine, yard: Yard) -> None:
    other = replace(CHOSEN, sentence="Do nothing", feed="", rounds=())
    with writing(book) as session:
        key = yards.add_yard(session, yard)
        first = plans.keep_plan(session, key, CHOSEN)
        assert plans.keep_plan(session, key, CHOSEN).id == first.id
        second = plans.keep_plan(session, key, other, "maple came early")
        assert second.replaces == first.id
    with looking(book) as session:
        now = plans.plan_of(session, key)
        assert now is not None
        assert now.sentence == "Do nothing"
        assert [row.sentence for row in plans.plans_before(session, key)] == [CHOSEN.sentence, "Do nothing"]
        assert plans.pieces(session, first.id) == CHOSEN.rounds


def test_what_its_sheets_are_printed_from_is_kept_and_older_books_have_none(book: Engine, yard: Yard) -> None:
    whole = replace(CHOSEN, paper={"shape": "invented", "visits": [1, 2.5]}, threshold=0.3)
    with writing(book) as session:
        key = yards.add_yard(session, yard)
        first = plans.keep_plan(session, key, whole)
        assert plans.keep_plan(session, key, whole).id == first.id
    migrate(book, "0009")
    migrate(book)
    checked(book)
    with looking(book) as session:
        row = plans.plan_of(session, key)
        assert row is not None
        assert (row.paper, row.threshold) == (None, None)
        assert row.sentence == CHOSEN.sentence
    with writing(book) as session:
        again = plans.keep_plan(session, key, whole)
        assert again.replaces == first.id
        assert (again.paper, again.threshold) == (whole.paper, 0.3)
    with pytest.raises(RecordError, match="cannot be changed"), writing(book) as session:
        session.execute(text("UPDATE plan SET threshold = 0.5"))


def test_a_plan_taken_back_stays_in_the_file(book: Engine, yard: Yard) -> None:
    with writing(book) as session:
        key = yards.add_yard(session, yard)
        plans.keep_plan(session, key, CHOSEN)
        plans.withdraw_plan(session, key, "sold the yard")
        assert plans.plan_of(session, key) is None
        assert len(plans.plans_before(session, key)) == 1
        with pytest.raises(RecordError, match="none is chosen"):
            plans.withdraw_plan(session, key, "again")


def test_a_plan_for_no_yard_or_of_no_number_is_refused(book: Engine, yard: Yard) -> None:
    with writing(book) as session:
        with pytest.raises(RecordError, match="no yard"):
            plans.keep_plan(session, UUID(int=1), CHOSEN)
        key = yards.add_yard(session, yard)
        with pytest.raises(RecordError, match="not a number"):
            plans.keep_plan(session, key, replace(CHOSEN, rounds=((date(2026, 3, 12), float("nan")),)))
