"""``breadline rounds stop --book``: what the page of a book's yard says, at the terminal. All invented."""

from __future__ import annotations

import json

import pytest

from breadline.web.pages.rounds_stop import stop_shown
from cli.typed import breadline
from jobs.first_rounds import FOLDER, book_with_the_yard

YARD = str(FOLDER / "yard.toml")
SEEN = ("--bees-in", "200", "--with-pollen", "40")


def stopped(*typed: str) -> dict:
    return json.loads(breadline("rounds", "stop", YARD, *SEEN, *typed, "--json").stdout)


def test_it_runs_the_season_by_the_weather_and_the_figures_of_the_book_as_the_page_does(tmp_path):
    book = book_with_the_yard(tmp_path)
    there = ("--book", str(book.path))
    page = stop_shown(book, book.first_yard(), None, {"bees_in": "200", "with_pollen": "40"})["told"]
    assert page.signs.short_if_stopped is not None
    assert stopped(*there)["short_if_stopped"] == pytest.approx(page.signs.short_if_stopped)
    assert stopped()["short_if_stopped"] is None, "without a book and without weather it was not run again"
    assert stopped(*there)["threshold"] == 0.25
    book.edit_figure("stop.pollen_share", 0.1, 0.15, 0.2, "our own counts")
    assert stopped(*there)["threshold"] == 0.15
