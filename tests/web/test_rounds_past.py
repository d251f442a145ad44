"""A plan whose season is over: count, then ask for the season ahead; the plan stands below. Invented."""

from __future__ import annotations

import re
from datetime import date

import pytest
from starlette.testclient import TestClient

from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.yard_file import read_yard
from breadline.web.app import create_app
from web.conftest import HERE
from web.served import found
from web.test_evidence_page import plain
from web.test_rounds_page import FOLDER, TODAY
from web.test_yard_forms import LOOK

LATER = date(2027, 1, 15)


@pytest.fixture(scope="module")
def over(tmp_path_factory):
    """The pages a year after a plan was chosen, and the yard."""
    path = tmp_path_factory.mktemp("past") / "book.sqlite"
    book = Book(path, TODAY)
    book.open_operation("Sorrel Bend Bees (invented)")
    key = book.add_yard(read_yard(FOLDER / "yard.toml"), FIRST_YARD / "weather.csv")
    client = TestClient(create_app(path, lambda p: Book(p, TODAY)), base_url=HERE, headers={"origin": HERE})
    text = (FOLDER / "rounds.toml").read_text("utf-8")
    found(client, key, {"kind": "frames", "file": text})
    kept = client.post(f"/rounds/{key}/choose", data={"asked": text, "at": "1", "threshold": "30"})
    assert kept.status_code == 200
    app = create_app(path, lambda p: Book(p, LATER), lambda: LATER)
    return TestClient(app, base_url=HERE, headers={"origin": HERE}), key


def test_an_old_count_comes_first_and_the_plan_before_stands_below(over):
    client, key = over
    page = client.get(f"/rounds/{key}").text
    said = plain(page)
    assert said.index("Count again") < said.index("The plan before, chosen on 20")
    assert "Ask for plans for the season" not in said
    assert not re.search("You stop once|pays if|Ask the same|Ask again", said), (
        "nothing of it is to be followed"
    )
    assert f"/rounds/{key}/paper/order-list.pdf" in page, "its sheets are still there"


def test_with_a_new_count_the_question_for_the_season_ahead_comes_first(over):
    client, key = over
    look = LOOK | {"on": "2027-01-10", "mites_on": "2027-01-05"}
    assert client.post(f"/yards/{key}/look", data=look).status_code == 200
    page = client.get(f"/rounds/{key}").text
    said = plain(page)
    asks, before = (
        said.index(text) for text in ("Ask for plans for the season", "The plan before, chosen on 20")
    )
    assert asks < before
    assert "What only the plan file below says stays" in said
    assert not re.search("You stop once|pays if|Ask the same|Ask again", said)
    assert f"/rounds/{key}/paper/order-list.pdf" in page
