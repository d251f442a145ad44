"""A yard before winter: no outlook is drawn, and no page pretends that nothing is short."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.yard_file import read_yard
from breadline.web.app import create_app

LATE = date(2025, 12, 10)


@pytest.fixture
def client(tmp_path: Path) -> TestClient:
    path = tmp_path / "book.sqlite"
    yard = read_yard(FIRST_YARD / "yard.toml")
    health = replace(yard.health, mites_on=date(2025, 12, 5))
    count = replace(yard.count, on=date(2025, 12, 9))
    late = replace(yard, today=LATE, count=count, health=health, goal=None)
    Book(path, LATE).add_yard(late, FIRST_YARD / "weather.csv")
    return TestClient(create_app(path, lambda p: Book(p, LATE)), base_url="http://127.0.0.1:8417")


def test_the_list_says_that_it_sees_nothing_not_that_nothing_is_short(client: TestClient) -> None:
    page = client.get("/").text
    assert "One yard has no outlook across winter." in page
    assert "No yard is likely to run short" not in page


def test_the_yard_page_says_why(client: TestClient) -> None:
    found = re.search(r"/yards/[0-9a-f-]+", client.get("/").text)
    assert found
    page = client.get(found[0]).text
    assert "No outlook is drawn across winter" in page
    assert "<figure" not in page, "and draws no chart"
