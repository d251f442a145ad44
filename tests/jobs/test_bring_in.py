"""A sheet comes in whole or not at all, never twice, and says the same in the book. All invented."""

from __future__ import annotations

import io
import sqlite3
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest

from breadline.errors import RecordError
from breadline.jobs.book import Book
from breadline.jobs.bring_in import brought_in, looked_over
from breadline.jobs.sheet_read import SheetAsked
from breadline.jobs.verified import verified
from breadline.records import colonies, readings, yards
from breadline.records.engine import looking, open_book, writing
from tests.ugly_files.sheets_made import Tab, workbook

TODAY = date(2026, 11, 25)
UNITS = {"frames_of_bees": "full", "weight": "lb", "put_on": "lb", "bread": "frames"}
ASKED = SheetAsked(units=UNITS, new_colonies=True)
YARDS = b"name,lat,lon,hives,region\nNorth,45.1,-93.2,12,Anoka\nSouth,-44.9,,8,\n"
HEADS = ("yard", "hive", "date", "frames", "weight", "fed", "queen", "note")
ROWS = (
    ("North", "1", "2026-03-04", 7.5, 100, 1, "eggs", "=ok"),
    ("North", "2", "2026-03-04", 0, 90, None, "seen", ""),
    ("South", "1", "2026-03-05", 4.25, None, None, "neither", "weak"),
)


def csv(*rows: tuple[object, ...]) -> bytes:
    text = io.StringIO()
    for row in (HEADS, *rows):
        text.write(",".join("" if cell is None else str(cell) for cell in row) + "\n")
    return text.getvalue().encode()


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "book.db"
    brought_in(path, "yards.csv", YARDS, SheetAsked(), TODAY)
    return path


def everything(path: Path) -> dict[str, int]:
    with closing(sqlite3.connect(path)) as raw:
        names = ("yard", "colony", "visit", "reading", "brought")
        return {name: raw.execute(f"SELECT count(*) FROM {name}").fetchone()[0] for name in names}


def seen_of(path: Path, tag: str) -> dict[str, tuple[object, ...]]:
    with looking(open_book(path)) as session:
        yard = next(row.id for row in yards.yards(session) if row.name == "North")
        hive = next(one.id for one in colonies.in_rows(session, yard) if one.tag == tag)
        rows = [r for v in readings.visits(session, yard, TODAY) for r in readings.of_visit(session, v.id)]
        return {r.kind: (r.value, r.word, r.unit, r.definition, r.note) for r in rows if r.colony_id == hive}


def test_what_stands_in_the_sheet_stands_in_the_book(book: Path) -> None:
    done = brought_in(book, "march.csv", csv(*ROWS), ASKED, TODAY)
    assert (done.rows, done.before, dict(done.made)) == (3, 0, {"colonies": 3, "visits": 2, "readings": 11})
    found = seen_of(book, "1")
    assert found["frames_of_bees"] == (7.5, None, "frames", "full", "")
    assert found["weight"][0] == pytest.approx(45.359237, abs=1e-9)  # 100 lb by the definition of the pound
    assert found["put_on"][0] == pytest.approx(453.59237, abs=1e-9)
    assert found["queen_status"][1] == "eggs"
    assert found["note"][4] == "=ok"
    assert seen_of(book, "2")["frames_of_bees"][0] == 0.0  # counted, and none; not "not known"
    assert verified(book).findings == ()


def test_bringing_it_in_again_adds_nothing_whatever_its_form(book: Path) -> None:
    brought_in(book, "march.csv", csv(*ROWS), ASKED, TODAY)
    before = everything(book)
    again = (
        ("march.csv", csv(*ROWS)),
        ("other name.csv", csv(*reversed(ROWS))),
        ("march.txt", csv(*ROWS).replace(b",", b"\t")),
        ("march.xlsx", workbook(Tab("March", [HEADS, *ROWS]))),
    )
    for name, content in again:
        assert brought_in(book, name, content, ASKED, TODAY).rows == 0
    after = everything(book)
    assert {k: v for k, v in after.items() if k != "brought"} == {
        k: v for k, v in before.items() if k != "brought"
    }


def test_rows_added_below_come_in_alone_and_a_withdrawn_one_stays_withdrawn(book: Path) -> None:
    brought_in(book, "march.csv", csv(*ROWS), ASKED, TODAY)
    with writing(open_book(book)) as session:
        yard = next(row.id for row in yards.yards(session) if row.name == "North")
        visit = readings.visits(session, yard, TODAY)[0]
        readings.withdraw_visit(session, visit.id, "another yard's sheet")
    more = csv(*ROWS, ("South", "3", "2026-03-05", 6, None, None, None, ""))
    done = brought_in(book, "march.csv", more, ASKED, TODAY)
    assert (done.rows, done.before) == (1, 3)
    with looking(open_book(book)) as session:
        assert readings.visits(session, yard, TODAY) == []


def test_one_bad_row_keeps_all_out(book: Path) -> None:
    before = everything(book)
    bad = csv(*ROWS, ("North", "9", "2026-03-04", "many", None, None, None, ""))
    with pytest.raises(RecordError, match="row 5, column frames"):
        brought_in(book, "march.csv", bad, ASKED, TODAY)
    assert everything(book) == before


def test_a_number_that_is_not_the_books_is_put_before_a_person(book: Path) -> None:
    brought_in(book, "march.csv", csv(*ROWS), ASKED, TODAY)
    other = csv((*ROWS[0][:3], 8.5, *ROWS[0][4:]))
    seen = looked_over(book, "other.csv", other, ASKED, TODAY)
    assert [str(f) for f in seen.faults] == [
        "row 2, column frames: the book says 7.5 for this hive and day. "
        "Correct it in the book, or leave the row out."
    ]


def test_a_yards_average_is_a_count_that_a_season_can_begin_from(book: Path) -> None:
    sheet = b"yard,date,frames,brood,bread\nNorth,2026-03-04,7.5,3,1.5\n"
    brought_in(book, "mean.csv", sheet, ASKED, TODAY)
    with looking(open_book(book)) as session:
        yard = next(row.id for row in yards.yards(session) if row.name == "North")
        known = yards.yard_as_known(session, yard, TODAY)
    assert (known.count.on, known.count.bread, known.count.bread_unit) == (date(2026, 3, 4), 1.5, "frames")
    assert (known.count.frames_of_bees, known.count.frames_of_brood) == (7.5, 3.0)
    assert known.place.latitude == 45.1
    assert known.notes == ("region: Anoka",)
    assert [line.name for line in Book(book, TODAY).yards()] == ["North", "South"]


def test_progress_is_told(book: Path) -> None:
    told: list[tuple[int, int]] = []
    many = csv(*(("North", n, "2026-03-04", 5, None, None, None, "") for n in range(2500)))
    brought_in(book, "many.csv", many, ASKED, TODAY, lambda done, total: told.append((done, total)))
    assert told == [(0, 2500), (1000, 2500), (2000, 2500)]
