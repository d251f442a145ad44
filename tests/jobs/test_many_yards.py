"""What the lists ask the book does not grow with its yards, and says of each what it said alone. Invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from sqlalchemy import Engine, event

from breadline.jobs.bring_in import brought_in
from breadline.jobs.field_book import FieldBook
from breadline.jobs.last_season import SeasonsBook
from breadline.jobs.next_rounds import next_rounds
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.sheet_read import SheetAsked
from breadline.records import colonies, plans, yards
from breadline.records.engine import looking, open_book, writing
from records.conftest import CHOSEN

TODAY = date(2026, 11, 25)
ROUNDS = tuple((TODAY + timedelta(days=days), 226.8) for days in (-6, 8, 22))  # [g]
FED = "yard,hive,date,frames of bees,fed"
ASKED = SheetAsked(units={"put_on": "g", "frames_of_bees": "full"}, new_colonies=True)


def book_of(path: Path, many: int) -> Path:
    """Yards with a plan, three hives of each fed for its first round; in the last yard one of them alone."""
    heads = "name,lat,lon,hives"
    sheet = "\n".join([heads, *(f"Yard {n},40.1,-88.2,3" for n in range(many))])
    brought_in(path, "yards.csv", sheet.encode(), SheetAsked(), TODAY)
    fed = [(n, hive) for n in range(many) for hive in range(3) if n < many - 1 or hive == 0]
    rows = [FED, *(f"Yard {n},{hive},2026-11-20,8,226.8" for n, hive in fed)]
    brought_in(path, "fed.csv", "\n".join(rows).encode(), ASKED, TODAY)
    engine = open_book(path)
    with writing(engine) as session:
        for yard in yards.yards(session):
            plan = replace(CHOSEN, chosen_on=date(2026, 11, 5), colonies=3, rounds=ROUNDS)
            plans.keep_plan(session, yard.id, plan)
    engine.dispose()
    return path


def asked_by(path: Path) -> int:
    """How many statements the lists send once each yard was worked out."""

    def lists() -> None:
        held = RoundsBook(path, TODAY).plans()
        next_rounds(path, TODAY, held)
        SeasonsBook(path, TODAY).last_seasons(held)
        FieldBook(path, TODAY).hive_counts()
        FieldBook(path, TODAY).pieces()

    lists()
    sent: list[str] = []

    def note(*told: object) -> None:
        sent.append(str(told[2]))

    event.listen(Engine, "before_cursor_execute", note)
    try:
        lists()
    finally:
        event.remove(Engine, "before_cursor_execute", note)
    return len(sent)


def test_a_list_of_ten_yards_asks_the_book_no_oftener_than_one_of_two(tmp_path: Path) -> None:
    few, many = book_of(tmp_path / "few.db", 2), book_of(tmp_path / "many.db", 10)
    assert asked_by(many) == asked_by(few) > 0


def test_plans_read_together_say_of_each_yard_what_it_says_alone(tmp_path: Path) -> None:
    path = book_of(tmp_path / "book.db", 3)
    together = RoundsBook(path, TODAY).plans()
    assert len(together) == 3
    assert {key: RoundsBook(path, TODAY).plan(key) for key in together} == together
    firsts = [one.rounds[0] for one in together.values()]
    assert [(one.given, one.hives, one.fed) for one in firsts[:2]] == [(pytest.approx(226.8), 3, 3)] * 2
    assert (firsts[2].hives, firsts[2].fed) == (1, 3)
    coming = next_rounds(path, TODAY)
    assert coming == next_rounds(path, TODAY, together)
    assert [one.due is not None for one in coming.values()] == [False, False, True]


def test_what_is_written_down_since_is_in_the_plans_at_once(tmp_path: Path) -> None:
    path = book_of(tmp_path / "book.db", 2)
    late = list(RoundsBook(path, TODAY).plans())[-1]
    rows = f"{FED}\nYard 1,1,2026-11-21,8,226.8\nYard 1,2,2026-11-21,8,226.8"
    brought_in(path, "late.csv", rows.encode(), ASKED, TODAY)
    assert RoundsBook(path, TODAY).plans()[late].rounds[0].hives == 3
    assert next_rounds(path, TODAY)[late].due is None
    engine = open_book(path)
    with writing(engine) as session:
        key = yards.yards(session)[-1].id
        moved = tuple((on + timedelta(days=1), grams) for on, grams in ROUNDS)
        plans.keep_plan(session, key, replace(CHOSEN, chosen_on=TODAY, rounds=moved))
    engine.dispose()
    assert [one.given for one in RoundsBook(path, TODAY).plans()[late].rounds] == [None] * 3


def test_the_plan_of_a_yard_that_is_off_the_list_does_not_keep_the_others_from_being_told(
    tmp_path: Path,
) -> None:
    path = book_of(tmp_path / "book.db", 3)
    engine = open_book(path)
    with writing(engine) as session:
        gone = yards.yards(session)[0].id
        yards.withdraw_yard(session, gone, "sold")
    engine.dispose()
    assert len(next_rounds(path, TODAY).keys() - {str(gone)}) == 2
    assert [RoundsBook(path, TODAY).plans()[key].rounds[0].fed for key in next_rounds(path, TODAY)
            if key != str(gone)] == [3, 3]  # fmt: skip


def test_hives_are_counted_as_their_rows_have_them(tmp_path: Path) -> None:
    path = book_of(tmp_path / "book.db", 3)
    engine = open_book(path)
    with writing(engine) as session:
        keys = [one.id for one in yards.yards(session)]
        first, second, _ = colonies.in_rows(session, keys[0])
        colonies.ended(session, first.id, "dead", TODAY)
        colonies.ended(session, second.id, "merged", TODAY, colonies.in_rows(session, keys[0])[2].id)
    with looking(engine) as session:
        rows = colonies.rows_by_yard(session, keys)
        told = colonies.standing_there(session, keys)
    engine.dispose()
    assert told == {key: sum(one.standing == "stands" for one in rows[key]) for key in keys}
    assert list(told.values()) == [1, 3, 1]
