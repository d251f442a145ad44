"""Moving to another yard, as it is asked on the page of rounds. All invented."""

from __future__ import annotations

from dataclasses import replace
from urllib.parse import urlencode

import pytest
from starlette.testclient import TestClient

from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.yard_file import read_yard
from breadline.web.app import create_app
from web.conftest import HERE
from web.test_rounds_page import FOLDER, TODAY, TYPED

MOVE = {"move.yard": "North Ridge", "move.on": "2026-02-01", "move.load_cost": "1200",
        "move.load_colonies": "400"}  # fmt: skip


@pytest.fixture(scope="module")
def there(tmp_path_factory):
    path = tmp_path_factory.mktemp("rounds") / "book.sqlite"
    book, yard = Book(path, TODAY), read_yard(FOLDER / "yard.toml")
    book.open_operation("Sorrel Bend Bees (invented)")
    key = book.add_yard(yard, FIRST_YARD / "weather.csv")
    book.add_yard(replace(yard, name="North Ridge", colonies=20), FIRST_YARD / "weather.csv")
    app = create_app(path, lambda p: Book(p, TODAY))
    return TestClient(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False), key


def test_the_other_yards_of_the_book_can_be_moved_to(there):
    client, key = there
    form = client.get(f"/rounds/{key}").text
    assert '<option value="North Ridge">North Ridge</option>' in form
    assert '<option value="Copper Ford"' not in form, "nobody moves to where they stand"
    again = client.get(f"/rounds/{key}/change?{urlencode(TYPED | MOVE)}").text
    assert '<option value="North Ridge" selected>' in again


def test_what_is_missing_of_a_move_is_asked_and_nothing_is_lost(there):
    client, key = there
    refused = client.get(f"/rounds/{key}/plans?{urlencode(TYPED | MOVE | {'move.load_cost': ''})}")
    assert refused.status_code == 422
    assert "load_cost" in refused.text
    assert 'value="2026-02-01"' in refused.text
