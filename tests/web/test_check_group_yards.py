"""Which yards a draw takes: none that nobody named, and with what comes first in them. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from starlette.testclient import TestClient

from breadline.errors import TrialError
from breadline.jobs.book import Book
from breadline.jobs.check_group_trial import drawn
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.trial_book import TrialsBook
from breadline.jobs.yard_file import read_yard
from breadline.knowledge.shelf import load
from breadline.trial.unit import Way
from breadline.web.app import create_app
from jobs.test_trial_book import ASKED, NOW
from web.conftest import HERE
from web.test_evidence_page import plain

TODAY = date(2026, 8, 20)


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    """Two yards side by side; in one of them many mites were counted."""
    made = TrialsBook(tmp_path_factory.mktemp("yards") / "book.sqlite", TODAY)
    made.open_operation("Sorrel Bend Bees (invented)")
    first = read_yard(FIRST_YARD / "yard.toml")
    for name, mites in (("Kiln Field", 0.8), ("Mill Shoals", 9.0)):
        health = replace(first.health, mites_per_100=mites, mites_on=date(2026, 8, 15))
        made.add_yard(replace(first, name=name, today=TODAY, health=health), FIRST_YARD / "weather.csv")
    return made


@pytest.fixture(scope="module")
def client(book):
    app = create_app(book.path, lambda p: Book(p, TODAY), lambda: TODAY)
    return TestClient(app, base_url=HERE, headers={"origin": HERE})


def test_no_yard_is_ticked_that_nobody_named(client):
    bare = client.get("/check-group/draw").text
    assert bare.count('name="yard"') == 2
    assert 'id="yard-1" checked' not in bare
    assert 'id="yard-2" checked' not in bare
    named = client.get("/check-group/draw?yard=Kiln+Field").text
    assert 'value="Kiln Field" id="yard-1" checked' in named
    assert "Something else comes" not in plain(named)


def test_a_yard_where_something_comes_first_is_named_with_it(client):
    text = plain(client.get("/check-group/draw?yard=Kiln+Field&yard=Mill+Shoals").text)
    assert "Something else comes before protein feed there: Mill Shoals, mites first." in text


def test_yards_that_one_open_feed_reaches_are_refused_with_the_flight_range(book):
    with pytest.raises(
        TrialError, match="1 to draw from for 2 groups, since dry feed in the open"
    ) as refused:
        drawn(book.candidates(), replace(ASKED, way=Way.OPEN), load().reader(), NOW)
    assert "Kiln Field and Mill Shoals stand within" in refused.value.what
    assert "flight range" in refused.value.expected
