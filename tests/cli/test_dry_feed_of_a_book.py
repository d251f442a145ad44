"""Dry feed that a command writes into a book goes by the figures of that book, as its page does. Invented."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date

from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.yard_file import read_yard
from breadline.jobs.yard_text import yard_to_toml
from cli.typed import breadline

TODAY = date(2026, 1, 20)
REACH = (1.5, 2.0, 2.5)  # of foragers at this yard, as its keeper has seen it [km]


def test_the_flight_range_that_was_edited_in_the_book_is_what_is_written_down(tmp_path):
    yard = replace(read_yard(FIRST_YARD / "yard.toml"), today=TODAY)
    book = Book(tmp_path / "own.sqlite", TODAY)
    book.add_yard(yard)
    book.edit_figure("dry_feed.flight_range_km", *REACH, "followed to the creek and no farther")
    file = tmp_path / "yard.toml"
    file.write_text(yard_to_toml(yard), encoding="utf-8")
    asked = ("rounds", "dry-feed", str(file), "--around", "100", "--json")
    kept = breadline(*asked, "--book", str(book.path))
    assert kept.returncode == 0, kept.stderr
    barred = json.loads(kept.stdout)["no_check_group"]
    assert (barred["near_km"], barred["far_km"]) == REACH[1:]
    (written,) = RoundsBook(book.path, TODAY).barred()
    assert (written.near_km, written.far_km) == REACH[1:]
    shipped = json.loads(breadline(*asked).stdout)["no_check_group"]
    assert (shipped["near_km"], shipped["far_km"]) != REACH[1:]
