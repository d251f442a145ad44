"""A new yard has no weather yet: list and page say so and lead to the page that takes it."""

from __future__ import annotations

import pytest

from breadline.jobs.book import Book
from breadline.jobs.yard_file import read_yard
from breadline.jobs.yards_ready import Ready
from breadline.language import speaking
from breadline.records import yards
from breadline.records.engine import open_book, writing
from breadline.web.app import create_app
from breadline.web.pages.ready import sentence
from web.conftest import HERE, Reading
from web.test_count_again import FIRST


@pytest.fixture
def client(tmp_path):
    path = tmp_path / "book.sqlite"
    yard = read_yard(FIRST / "yard.toml")
    made = Reading(create_app(path, today=lambda: yard.today), base_url=HERE, raise_server_exceptions=False)
    with writing(open_book(path)) as session:
        made.key = str(yards.add_yard(session, yard))
    made.book = Book(path, yard.today)
    return made


@pytest.mark.parametrize(("code", "short"), [("en", "No weather yet"), ("es", "Aún no hay clima")])
def test_list_and_page_lead_to_the_weather(client, code, short):
    with speaking(code):
        (line,) = client.book.yards()
    assert line.error.startswith(short)
    page = client.get(f"/yards/{client.key}?language={code}")
    main = page.text.partition("<main")[2].replace("\N{NO-BREAK SPACE}", " ")
    assert page.status_code == 200
    assert main.index(short) < main.index('href="/weather"') < main.index(f'href="/yards/{client.key}/look"')
    assert "--" not in main.partition("</main>")[0], "no command of the terminal"
    assert "breadline yards" not in page.text


def test_an_error_page_is_whole_in_spanish(client):
    page = client.get("/yards/xyz", headers={"accept-language": "es"}).text
    assert "<h1>Something" not in page
    main = page.partition("<main")[2]
    for english in ("Something to mend", "yard<", "is no key", "A yard on the list", "See the list", "Where"):
        assert english not in main, english


def test_an_old_count_is_no_count_to_answer_from():
    fresh = Ready("a", "North", "1 March", "w.csv", "own", 45)
    old = Ready("b", "South", "1 January", "w.csv", "own", 46)
    assert sentence((fresh,)) == "Every yard has a count, weather and bloom: each can be answered for."
    assert sentence((fresh, old)) == "1 of 2 yards lacks a new count."
