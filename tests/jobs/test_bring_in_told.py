"""What a sheet has to mend is told so that a person can read it. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from breadline.jobs.book import Book
from breadline.jobs.bring_in import brought_in, looked_over
from breadline.jobs.bring_in_told import mend_sheet, some
from breadline.jobs.sheet_read import Fault, SheetAsked
from breadline.jobs.sheet_values import NOTHING, orders

TODAY = date(2026, 11, 25)
ASKED = SheetAsked(units={"frames_of_bees": "full", "weight": "kg"}, decimal="comma", new_colonies=True)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "book.db"
    yards = "name;lat;lon;hives\nNorth;45.1;-93.2;12\nSouth;45.2;-93.1;8\n"
    brought_in(path, "yards.csv", yards.encode(), SheetAsked(), TODAY)
    return path


def sheet(*rows: str) -> bytes:
    return "\n".join(("yard;hive;date;frames;weight;- note", *rows)).encode()


def test_a_sheet_with_what_to_mend_says_the_same_when_it_comes_back(book):
    """Whatever a person writes for "not known", a sign before a number, an apostrophe of their own."""
    marks = sorted(NOTHING - {""})
    rows = [f"North;{n};2026-03-04;{mark};-0,5;'{mark}" for n, mark in enumerate(marks)]
    rows += ["North;98;2026-03-04;-;+31,25;- weak", "North;99;2026-03-04;seven;30;=ok"]
    first = looked_over(book, "x.csv", sheet(*rows), ASKED, TODAY)
    assert [one.line for one in first.faults if "no number" in one.what] == [len(rows) + 1]
    wanted = looked_over(
        book, "x.csv", sheet(*rows).replace(b"seven", b"7").replace(b"-0,5", b"40"), ASKED, TODAY
    )
    back = mend_sheet(first)
    assert b"'-" in back
    mended = back.replace(b"seven", b"7").replace(b'"\'-0,5"', b"40")
    again = looked_over(book, "mend.csv", mended, ASKED, TODAY)
    assert (again.questions, again.faults) == ((), ())
    assert [one.values for one in again.fresh] == [one.values for one in wanted.fresh]
    assert len(again.fresh) == len(rows)


def test_a_number_kept_from_being_worked_out_is_still_asked_for_its_decimal_sign(book):
    seen = looked_over(
        book, "x.csv", sheet("North;1;2026-03-04;'-1,250;;"), replace(ASKED, decimal=None), TODAY
    )
    assert [one.key for one in seen.questions] == ["decimal"]


@pytest.mark.parametrize(
    ("days", "left"),
    [
        (["31/02/2026"], {"day-month", "month-day"}),
        (["02/31/2026"], {"day-month", "month-day"}),
        (["29/02/2025", "03/04/2025"], {"day-month", "month-day"}),
        (["29/02/2024", "03/04/2025"], {"day-month"}),
        (["45/02/2026", "04/13/2026"], {"month-day"}),
        (["13/04/26", "04/13/26"], set()),
        (["2026-03-04"], set()),
    ],
)
def test_a_day_that_there_is_not_says_nothing_of_the_order(days, left):
    assert orders(days) == left


def test_the_order_of_days_is_asked_where_only_an_impossible_day_seems_to_tell_it(book):
    rows = sheet("North;1;31/02/2026;7;;", "North;2;03/04/2026;7;;")
    seen = looked_over(book, "x.csv", rows, ASKED, TODAY)
    assert [one.key for one in seen.questions] == ["order"]
    assert not any("no other way" in one for one in seen.told.said)
    told = looked_over(book, "x.csv", rows, replace(ASKED, order="day-month"), TODAY)
    assert [(one.line, "no such day" in one.what) for one in told.faults] == [(2, True)]


def test_the_yard_said_once_stands_in_for_the_blanks_of_merged_cells(book):
    rows = sheet("South;1;2026-03-04;7;;", ";2;2026-03-04;8;;", ";Total;2026-03-04;15;;")
    seen = looked_over(book, "x.csv", rows, ASKED, TODAY)
    assert [one.line for one in seen.faults] == [3, 4]
    said = looked_over(book, "x.csv", rows, replace(ASKED, yard="North"), TODAY)
    assert [one.values["yard"] for one in said.fresh] == ["South", "North"]
    assert ["totals" in one.what for one in said.faults] == [True]


def test_what_a_frame_of_bees_means_is_asked_with_the_books_own_number(book):
    Book(book, TODAY).edit_figure("frame_of_bees.full", 1234.0, 2345.0, 3456.0, "ours")
    seen = looked_over(book, "x.csv", sheet("North;1;2026-03-04;7;;"), replace(ASKED, units={}), TODAY)
    (asked,) = (one for one in seen.questions if one.key == "unit:frames_of_bees")
    assert "2,345 bees" in dict(asked.choices)["full"]
    told = looked_over(book, "x.csv", sheet("North;1;2026-03-04;7;;"), ASKED, TODAY)
    (said,) = (one for one in told.answered if one.key == "unit:frames_of_bees")
    assert said.choices == asked.choices


def test_one_fault_of_many_rows_is_said_once():
    queen = [Fault(n, "Queen", "is of a hive, and no colony is named", "Name the hive") for n in range(2, 26)]
    apart = [Fault(n, "Day", "is no date", "Write it") for n in (3, 9, 12)]
    told = some([*queen, *apart, Fault(0, "", "no head was found", "")])
    assert told == [
        "rows 2 to 25, column Queen: is of a hive, and no colony is named. Name the hive.",
        "rows 3, 9, 12, column Day: is no date. Write it.",
        "the sheet: no head was found.",
    ]
    many = [Fault(n, "Day", "is no date", "") for n in range(2, 60, 3)]
    assert some(many) == ["rows 2, 5, 8, 11, 14, 17, 20, 23 and 12 more, column Day: is no date."]
