"""What was worked out of a yard is worked out again once something was written down of it. Invented."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from breadline.errors import RecordError
from breadline.jobs.bring_in import brought_in
from breadline.jobs.lately import Lately
from breadline.jobs.sheet_read import SheetAsked
from breadline.knowledge.shelf import Edit
from breadline.records import figure_edits, plans, readings, yards
from breadline.records.engine import looking, open_book, writing
from breadline.records.readings import Look, Seen
from records.conftest import CHOSEN

TODAY = date(2026, 11, 25)
YARDS = b"name,lat,lon,hives\nNorth,45.1,-93.2,12\nSouth,44.9,-93.1,8\n"


def test_only_what_changed_is_worked_out_again(tmp_path: Path) -> None:
    brought_in(tmp_path / "book.db", "yards.csv", YARDS, SheetAsked(), TODAY)
    book, made = open_book(tmp_path / "book.db"), list[str]()

    def again(today: date = TODAY) -> list[str]:
        """Which of the two yards, and whether the whole book, were worked out anew."""
        made.clear()
        with looking(book) as session:
            lately = Lately(session, today)
            for row in yards.yards(session):
                lately.of_yard("x", row.id, lambda name=row.name: made.append(name))
        lately.of_book("x", lambda: made.append("book"))
        return list(made)

    with looking(book) as session:
        north, _ = (row.id for row in yards.yards(session))
    assert again() == ["North", "South", "book"]
    assert again() == []
    with writing(book) as session:
        visit = readings.add_visit(session, north, Look(TODAY)).id
    assert again() == ["North", "book"]
    with writing(book) as session:
        readings.add(session, visit, Seen("bread", 1.0, "frames"))
    assert again() == ["North", "book"]
    with writing(book) as session:
        readings.withdraw(session, readings.of_visit(session, visit)[0].id, "wrong yard")
    assert again() == ["North", "book"]
    with writing(book) as session:
        plans.keep_plan(session, north, CHOSEN)
    assert again() == ["North", "book"], "by the days of a plan hives fed one by one are taken together"
    with writing(book) as session:
        figure_edits.edit(session, "invented.figure", Edit(1.0, 2.0, 3.0, "ours", TODAY))
    assert again() == ["North", "South", "book"], "a figure is every yard's"
    assert again(date(2026, 11, 26)) == ["North", "South", "book"]


def test_what_is_lacking_is_said_again_until_it_is_given(tmp_path: Path) -> None:
    brought_in(tmp_path / "book.db", "yards.csv", YARDS, SheetAsked(), TODAY)
    tried: list[int] = []

    def lacks() -> None:
        tried.append(1)
        raise RecordError("North", "no weather is kept for this yard")

    with looking(open_book(tmp_path / "book.db")) as session:
        lately, key = Lately(session, TODAY), yards.yards(session)[0].id
    for _ in range(2):
        with pytest.raises(RecordError, match="no weather"):
            lately.of_yard("x", key, lacks)
    assert len(tried) == 1
