"""Queens that were not looked for are not known: typed on a form, or blank in a sheet. All invented."""

from __future__ import annotations

from datetime import date

import pytest

from breadline.errors import YardError
from breadline.jobs.book import Book
from breadline.jobs.bring_in import brought_in
from breadline.jobs.look_typed import look_from
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.sheet_read import SheetAsked
from breadline.jobs.yard_file import read_yard
from house import tree

TODAY = date(2026, 1, 25)
YARD = tree.ROOT / "examples" / "first-yard" / "yard.toml"
LOOK = {"on": "2026-01-18", "frames_of_bees": "7", "frame_means": "one_layer", "bread": "0.25", "deep": "1",
        "bread_unit": "frames", "frames_per_box": "10", "frames_of_brood": "1"}  # fmt: skip


def test_queens_without_how_many_were_looked_for_say_what_is_missing_and_leaving_them_blank_mends_it():
    with pytest.raises(YardError) as wrong:
        look_from(LOOK | {"queens_laying": "5"}, TODAY, None)
    assert wrong.value.where == "queens_looked_for"
    assert wrong.value.what == "is missing beside 5 that lay"
    assert "leave both out" in wrong.value.do
    assert "None" not in str(wrong.value)
    with pytest.raises(YardError, match="5 lay of 4 looked for"):
        look_from(LOOK | {"queens_laying": "5", "queens_looked_for": "4"}, TODAY, None)
    look = look_from(LOOK, TODAY, None)
    assert not [seen for seen in look.seen if seen.kind == "queens"]


@pytest.fixture
def book(tmp_path):
    """A yard of which a sheet told three hives, one of them without a queen."""
    made = Book(tmp_path / "book.sqlite", TODAY)
    made.add_yard(read_yard(YARD), YARD.with_name("weather.csv"))
    return made


def sheet(on: str, *queens: str) -> bytes:
    name = read_yard(YARD).name
    rows = [f"{name},H{n},{on},7,{queen}" for n, queen in enumerate(queens, 1)]
    return "\n".join(["yard,hive,date,frames of bees,queen", *rows, ""]).encode()


def queens(book: Book) -> tuple[int | None, int | None]:
    of = RoundsBook(book.path, TODAY)
    ((key, *_),) = of.yard_ids()
    health = of.yard(key).health
    return health.queens_laying, health.queens_looked_for


def test_a_blank_queen_in_a_sheet_is_not_known_and_changes_nothing_that_was(book):
    asked = SheetAsked(units={"frames_of_bees": "one_layer"}, new_colonies=True)
    brought_in(book.path, "a.csv", sheet("2026-01-21", "eggs", "neither", ""), asked, TODAY)
    assert queens(book) == (1, 2), "the hive of which nothing stands there is in neither number"
    brought_in(book.path, "b.csv", sheet("2026-01-22", "", "", ""), asked, TODAY)
    assert queens(book) == (1, 2), "a later sheet without a word of queens leaves what was known"
    brought_in(book.path, "c.csv", sheet("2026-01-23", "", "seen", ""), asked, TODAY)
    assert queens(book) == (1, 1)
