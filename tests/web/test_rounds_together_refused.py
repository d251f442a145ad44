"""Sheets of yards together that cannot be made: who lacks a plan is named, and nothing else is wrong.

All invented.
"""

from __future__ import annotations

from pathlib import Path

from starlette.testclient import TestClient

from breadline.jobs.bring_in import brought_in
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.sheet_read import SheetAsked
from breadline.web.app import create_app
from jobs.test_many_yards import TODAY, book_of
from web.conftest import HERE


def test_a_yard_without_a_plan_is_named_and_its_driving_order_is_kept_and_not_called_wrong(
    tmp_path: Path,
) -> None:
    path = book_of(tmp_path / "book.db", 3)
    brought_in(path, "more.csv", b"name,lat,lon,hives\nTeal Ditch,40.1,-88.2,3", SheetAsked(), TODAY)
    client = TestClient(create_app(path, today=lambda: TODAY), base_url=HERE, raise_server_exceptions=False)
    keys = {name: key for key, name, _ in RoundsBook(path, TODAY).yard_ids()}
    first, bare = keys["Yard 0"], keys["Teal Ditch"]
    asked = {"yard": [first, bare], f"order_{first}": "2"}
    refused = client.get("/rounds/together", params=asked)
    assert refused.status_code == 422
    assert "<b>Teal Ditch:</b> none is chosen for this yard" in refused.text
    assert 'value="2"' in refused.text
    assert 'aria-invalid="true"' not in refused.text
    twice = client.get("/rounds/together", params={"yard": [first, keys["Yard 1"]], f"order_{first}": "2",
                                                   f"order_{keys['Yard 1']}": "2"})  # fmt: skip
    assert twice.status_code == 422
    assert twice.text.count('aria-invalid="true"') == 2


def test_a_key_in_capitals_is_the_same_yard(tmp_path: Path) -> None:
    path = book_of(tmp_path / "book.db", 2)
    book = RoundsBook(path, TODAY)
    key = next(iter(book.plans()))
    assert book.plan(key.upper()) == book.plan(key)
