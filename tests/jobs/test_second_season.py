"""A year on: what a sheet brings in of a new season begins it, whatever the book began with. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

from breadline.jobs.book import Book
from breadline.jobs.bring_in import brought_in
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.sheet_read import SheetAsked
from breadline.jobs.yard_file import read_yard
from jobs.few_seasons import run_few_seasons

THEN, NOW = date(2025, 1, 20), date(2026, 1, 20)
SHEET = """Yard,Date,Frames of bees,Brood,Bread,Mites per 100,Honey,Pollen coming in
{yard},2026-01-19,6,1.5,0.25,0.8,enough,little
"""
ASKED = SheetAsked(
    units={"frames_of_bees": "one_layer", "bread": "frames", "mites_per_100": "per 100 bees"}
)  # fmt: skip


def test_counts_of_next_season_brought_in_from_a_sheet_are_answered_for(tmp_path, monkeypatch):
    run_few_seasons(monkeypatch)
    path, of = tmp_path / "book.sqlite", read_yard(FIRST_YARD / "yard.toml")
    count = replace(of.count, on=of.count.on.replace(year=2025))
    health = replace(of.health, mites_on=date(2024, 12, 28))
    yard = replace(of, today=THEN, count=count, health=health, goal=None)
    key = Book(path, THEN).add_yard(yard, FIRST_YARD / "weather.csv")
    brought_in(path, "january.csv", SHEET.format(yard=of.name).encode(), ASKED, NOW)
    told = Book(path, NOW).season(key)
    assert told.yard.count.on == date(2026, 1, 19)
    assert told.yard.count.frames_of_bees == 6.0
    assert told.yard.count.boxes == count.boxes, "what the sheet does not tell is as it was"
    assert told.outlook is not None
    assert [line.error for line in Book(path, NOW).yards()] == [None]
