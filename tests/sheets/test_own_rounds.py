"""Yards of one truck that have not as many rounds: each is told its own, on the sheet and in the calendar."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from breadline.plan.truck_days import truck_days
from breadline.sheets.calendar_file import round_entries
from breadline.sheets.truck_sheet import truck_sheet, truck_sheet_data
from tests.plan.loads import visit
from tests.sheets.read_back import PAPERS, read, words


def on(day: int) -> date:
    return date(2026, 8, 25) + timedelta(days=day)


@pytest.fixture
def loads():
    """Four rounds at one yard; two at another, which begins with the first of them."""
    long = [visit(0, round=n, on=on(14 * (n - 1))) for n in (1, 2, 3, 4)]
    short = [visit(1, round=n, on=on(14 * (n - 1))) for n in (1, 2)]
    return truck_days([*long, *short], 0.05)


def test_a_shared_sheet_says_of_each_yard_how_many_rounds_it_has(loads):
    data = truck_sheet_data(loads[0], "a4")
    assert data["title"] == "Round 1, 2 yards", "neither has it right for both: 4 and 2"
    assert [line["text"] for line in data["lines"] if line["head"] == "Rounds"] == [
        "Tarweed Flat 1 of 4; Lower Ditch 1 of 2."
    ]
    alone = truck_sheet_data(loads[2], "a4")
    assert alone["title"] == "Round 3 of 4, Tarweed Flat"
    assert not [line for line in alone["lines"] if line["head"] == "Rounds"]


def test_the_calendar_tells_a_number_of_rounds_only_where_all_have_it(loads):
    titles = [entry.title for entry in round_entries(loads)]
    assert titles == ["Round 1: 2 yards", "Round 2: 2 yards", "Round 3 of 4: 1 yard", "Round 4 of 4: 1 yard"]


@pytest.mark.parametrize("paper", PAPERS)
def test_it_stays_one_page(loads, paper):
    pdf = truck_sheet(loads[0], paper)
    assert len(read(pdf).pages) == 1
    assert "Lower Ditch 1 of 2" in words(pdf)
