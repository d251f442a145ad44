"""What is fed next, yard by yard, out of the plans in force. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from starlette.testclient import TestClient

from breadline.jobs import book as books
from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.next_rounds import Coming, next_rounds, rounds_sentence
from breadline.jobs.rounds_done import RoundKept
from breadline.jobs.yard_file import read_yard
from breadline.records import plans, yard_readings
from breadline.records.engine import open_book, writing
from breadline.records.tables import Reading
from breadline.web.app import create_app
from jobs.few_seasons import run_few_seasons
from records.conftest import CHOSEN
from web.crawl import once_there

TODAY = date(2026, 1, 20)
FIRST, SECOND = date(2026, 1, 24), date(2026, 2, 7)
PLAN = replace(CHOSEN, chosen_on=TODAY, rounds=((FIRST, 226.8), (SECOND, 226.8)))


@pytest.fixture
def planned(tmp_path):
    """A book with one yard whose plan has two rounds ahead; its path and the yard's key."""
    path = tmp_path / "book.sqlite"
    book = Book(path, TODAY)
    book.open_operation("Sorrel Bend Bees (invented)")
    key = book.add_yard(read_yard(FIRST_YARD / "yard.toml"), FIRST_YARD / "weather.csv")
    keep(path, key, PLAN)
    return path, key


def keep(path, key, plan):
    engine = open_book(path)
    with writing(engine) as session:
        plans.keep_plan(session, books.key_of(key), plan)
    engine.dispose()


def test_the_next_round_is_the_first_from_today_on_of_the_plan_that_stands(planned):
    path, key = planned
    assert next_rounds(path, TODAY)[key].next == (FIRST, 226.8)
    assert next_rounds(path, FIRST)[key] == Coming(FIRST, next=(FIRST, 226.8))
    keep(path, key, replace(PLAN, sentence="Do nothing", feed="", rounds=()))
    assert next_rounds(path, TODAY) == {}, "the plan before it is in force no more"


@pytest.mark.parametrize(
    ("on", "said"),
    [
        (date(2026, 1, 25), "24 Jan, ½ lb: overdue, give it or write down what was given; next 7 Feb, ½ lb"),
        (date(2026, 1, 31), "24 Jan, ½ lb: overdue, give it or write down what was given; next 7 Feb, ½ lb"),
        (date(2026, 2, 1), "7 Feb, ½ lb; that of 24 Jan is not written down"),  # that of 7 February is nearer
        (date(2026, 2, 8), "7 Feb, ½ lb: overdue, give it or write down what was given"),
    ],
)
def test_a_round_that_was_not_given_is_overdue_until_the_next_is_nearer(planned, on, said):
    path, key = planned
    assert next_rounds(path, on)[key].words("lb").replace("\N{NO-BREAK SPACE}", " ") == said


def test_a_round_whose_time_is_over_is_not_asked_for_any_more(planned):
    path, _ = planned
    assert next_rounds(path, date(2026, 2, 15)) == {}


def test_a_round_that_was_given_some_days_early_is_not_to_come(planned, monkeypatch):
    path, key = planned
    fed = Reading(kind="feed_given", on=date(2026, 1, 21), value=226.8)
    monkeypatch.setattr(yard_readings, "fed_and_hives", lambda session, yard: ([fed], {}))
    assert next_rounds(path, date(2026, 1, 22))[key] == Coming(date(2026, 1, 22), next=(SECOND, 226.8))


def test_the_list_of_yards_shows_the_next_round_and_the_list_of_plans_begins_with_it(planned, monkeypatch):
    path, _ = planned
    run_few_seasons(monkeypatch)
    client = TestClient(
        create_app(path, lambda p: Book(p, TODAY), lambda: TODAY), base_url="http://127.0.0.1:8000"
    )
    page = once_there(client, "/").text.replace("\N{NO-BREAK SPACE}", " ")
    assert '<th scope="col">Next round</th>' in page
    assert '<td data-head="Next round">24 Jan, ½ lb</td>' in page
    plans_said = client.get("/rounds").text.replace("\N{NO-BREAK SPACE}", " ")
    assert "1 of 1 yard has a plan in force; the next round is on 24 January, in Mill Shoals." in plans_said


@pytest.mark.parametrize(("plans_of", "coming", "said"), [
    ({}, {}, "No yard has a plan in force yet."),
    ({"a": "Alder"}, {}, "1 of 3 yards has a plan in force; no round lies ahead."),
    ({"a": "Alder", "b": "Birch"}, {"a": Coming(TODAY, (SECOND, 226.8)), "b": Coming(TODAY, (FIRST, 226.8))},
     "2 of 3 yards have a plan in force; the next round is on 24 January, in Birch."),
    ({"a": "Alder", "b": "Birch"}, {"a": Coming(TODAY, (FIRST, 226.8)), "b": Coming(TODAY, (FIRST, 226.8))},
     "2 of 3 yards have a plan in force; the next round is on 24 January, in 2 yards."),
    ({"a": "Alder", "b": "Birch"},
     {"a": Coming(FIRST, (SECOND, 226.8), RoundKept(1, date(2026, 1, 22), 226.8, None, until=FIRST))},
     "2 of 3 yards have a plan in force; the next round is on 7 February, in Alder. "
     "To give still: the round of 22 January, in Alder."),
])  # fmt: skip
def test_the_sentence_of_the_plans(plans_of, coming, said):
    told = rounds_sentence(plans_of, coming, 3, TODAY).replace("\N{NO-BREAK SPACE}", " ")
    assert told == said
