"""A new season begins with an old count: list and page of a yard say to count, in words of a yard."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from breadline.jobs.book import Book
from breadline.jobs.yard_file import read_yard
from breadline.language import speaking
from breadline.need.words import day_and_year
from breadline.web.app import create_app
from web.conftest import HERE, Reading

FIRST = Path(__file__).parents[2] / "examples" / "first-yard"


@pytest.fixture(scope="module")
def client(tmp_path_factory):
    path = tmp_path_factory.mktemp("again") / "book.sqlite"
    yard = read_yard(FIRST / "yard.toml")
    day = yard.today + timedelta(days=366)
    made = Reading(create_app(path, today=lambda: day), base_url=HERE, raise_server_exceptions=False)
    made.key = Book(path, yard.today).add_yard(yard, FIRST / "weather.csv")
    made.counted, made.book = day_and_year(yard.count.on), Book(path, day)
    return made


def test_the_list_says_to_count_again_and_no_word_of_a_file(client):
    text = client.get("/").text
    assert f"Count again: the last look into its hives was on {client.counted}." in text.replace(
        "\N{NO-BREAK SPACE}", " "
    )
    assert "count.on" not in text.lower()


def test_its_page_says_so_first_and_where_the_count_goes(client):
    page = client.get(f"/yards/{client.key}")
    assert page.status_code == 200
    told = page.text.partition("<main")[2].replace("\N{NO-BREAK SPACE}", " ")
    assert told.index("Count again: the last look") < told.index(f'href="/yards/{client.key}/look"')
    assert f'href="/rounds/{client.key}"' in told, "the other steps of the yard stay in reach"


def test_it_is_said_in_the_readers_language(client):
    with speaking("es"):
        (line,) = client.book.yards()
    assert line.error.startswith("Cuente otra vez")


def test_its_rounds_say_so_first_in_place_of_the_form_and_of_last_seasons_mites(client):
    page = client.get(f"/rounds/{client.key}")
    assert page.status_code == 200
    told = page.text.partition("<main")[2].replace("\N{NO-BREAK SPACE}", " ")
    assert told.index("Count again: the last look") < told.index(f'href="/yards/{client.key}/look"')
    assert "Show plans" not in told, "no plan is made from an old count"
    assert "No round now" not in told
