"""A form sent with nothing in it says at its fields what is missing; one only opened says nothing."""

from __future__ import annotations

import re
from urllib.parse import urlencode

import pytest
from fastapi.testclient import TestClient

from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.short_questions import QUESTIONS
from breadline.jobs.yard_file import read_yard
from breadline.web.app import create_app
from house import tree
from web.test_rounds_stock_page import TODAY


@pytest.fixture(scope="module")
def there(tmp_path_factory):
    """The pages of a book with one yard, and its key."""
    path = tmp_path_factory.mktemp("empty") / "book.sqlite"
    book = Book(path, TODAY)
    book.open_operation("Sorrel Bend Bees (invented)")
    yard = read_yard(tree.ROOT / "examples" / "first-rounds" / "yard.toml")
    key = book.add_yard(yard, FIRST_YARD / "weather.csv")
    return TestClient(
        create_app(path, lambda p: Book(p, TODAY), today=lambda: TODAY), base_url="http://127.0.0.1"
    ), key


def sent_empty(page: str, label: str) -> str:
    """What a browser sends of the form of that label with nothing filled in, no radio chosen."""
    form = re.search(rf'<form[^>]*aria-label="{label}".*?</form>', page, re.DOTALL)
    assert form
    hidden = re.findall(r'<input type="hidden" name="([^"]+)" value="([^"]*)"', form[0])
    empty = [(name, "") for name in re.findall(r'<input type="text"[^>]*name="([^"]+)"', form[0])]
    empty += [(name, "") for name in re.findall(r'<select[^>]*name="([^"]+)"', form[0])]
    return urlencode([*hidden, *empty])


def test_a_straight_answer_without_answers_asks_for_each(there):
    client, _ = there
    opened = client.get("/straight-answer")
    assert "Choose one." not in opened.text
    sent = client.get(f"/straight-answer?{sent_empty(opened.text, 'Eight questions')}")
    assert sent.status_code == 422
    assert sent.text.count("Choose one.") == len(QUESTIONS)
    assert "8 still to answer." in sent.text


def test_a_visit_without_a_word_names_what_is_missing(there):
    client, key = there
    opened = client.get(f"/rounds/{key}/visit")
    assert 'role="alert"' not in opened.text
    sent = client.get(f"/rounds/{key}/visit?{sent_empty(opened.text, 'What the visit found')}")
    assert sent.status_code == 422
    assert re.search(r'name="left"[^>]*aria-invalid="true"', sent.text)
