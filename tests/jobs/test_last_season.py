"""A book of two seasons: what the first taught, and how the plan changed because of it. All invented."""

from __future__ import annotations

import re
import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import date

import pytest
from starlette.testclient import TestClient

from breadline.jobs.belief_book import BeliefBook, Taught
from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.last_season import SeasonsBook
from breadline.jobs.rounds import Way
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.yard_file import read_yard
from breadline.language import speaking
from breadline.web.app import create_app
from house import tree
from jobs.few_seasons import run_few_seasons

FOLDER = tree.ROOT / "examples" / "first-rounds"
THEN, NOW = date(2025, 1, 20), date(2026, 1, 20)
WAY = Way(draws=20)
ASKED = (FOLDER / "rounds.toml").read_text("utf-8")


def yard(on: date):
    """The example's yard, counted in the season of a day."""
    of = read_yard(FOLDER / "yard.toml")
    goal = (
        None
        if of.goal is None or of.goal.on is None
        else replace(of.goal, on=of.goal.on.replace(year=on.year))
    )
    count = replace(of.count, on=of.count.on.replace(year=on.year))
    health = replace(of.health, mites_on=date(on.year - 1, 12, 28))
    return replace(of, today=on, count=count, health=health, goal=goal)


def chosen(path, key: str, on: date) -> str:
    """The best plan of a season, kept; its sentence."""
    book = RoundsBook(path, on)
    asked = ASKED.replace("2025-", f"{on.year - 1}-")  # rounds of the year before
    told = book.rounds(key, asked.replace("2026-", f"{on.year}-").replace("= 2026", f"= {on.year}"), WAY)
    return book.keep_plan(key, told, told.taken(None)).sentence


def lesson(situation: str, log_ratio: float) -> Taught:
    return Taught(
        situation, f"spring {THEN.year}", "Sorrel Bend, spring", "a" * 64, date(THEN.year, 5, 2), "E",
        log_ratio, 0.03, 60, 24,
    )  # fmt: skip


@pytest.fixture(scope="module")
def first_season(tmp_path_factory):
    """A book in which the plan of the first season was chosen; its key and the plan's situation."""
    path = tmp_path_factory.mktemp("two") / "book.sqlite"
    book = Book(path, THEN)
    book.open_operation("Sorrel Bend Bees (invented)")
    key = book.add_yard(yard(THEN), FIRST_YARD / "weather.csv")
    plan = chosen(path, key, THEN)
    kept = RoundsBook(path, THEN).plan(key)
    assert kept is not None
    return path, key, plan, kept.belief["situation"]


@pytest.fixture
def two(first_season, tmp_path):
    path, *rest = first_season
    with closing(sqlite3.connect(path)) as made, closing(sqlite3.connect(tmp_path / "b.sqlite")) as copy:
        made.backup(copy)
    return tmp_path / "b.sqlite", *rest


def test_a_first_season_has_nothing_before_it(two):
    path, key, *_ = two
    assert SeasonsBook(path, THEN).last_season(key) is None


def test_the_chart_shows_the_rounds_ahead_of_the_plan_that_stands_and_none_that_are_past(two, monkeypatch):
    path, key, *_ = two
    rounds = [one.on for one in RoundsBook(path, THEN).plan(key).rounds]
    assert rounds
    middle = rounds[len(rounds) // 2]
    assert [one.on for one in SeasonsBook(path, middle).ahead(key)] == [on for on in rounds if on > middle]
    run_few_seasons(monkeypatch)
    app = create_app(path, lambda p: Book(p, THEN), lambda: THEN)
    client = TestClient(app, base_url="http://127.0.0.1:8000", raise_server_exceptions=False)
    assert "open = planned" in client.get(f"/yards/{key}").text


def test_a_plan_chosen_on_the_day_of_a_lesson_and_after_it_knows_it(two):
    path, key, _, situation = two
    BeliefBook(path, THEN).learn(lesson(situation, -0.05))
    assert SeasonsBook(path, THEN).last_season(key).asks, "learnt after the plan, on the same day"
    chosen(path, key, THEN)
    assert SeasonsBook(path, THEN).last_season(key) is None


def test_a_lesson_after_the_plan_says_that_the_plan_does_not_know_it_yet(two):
    path, key, plan, situation = two
    BeliefBook(path, date(2025, 6, 1)).learn(lesson(situation, -0.05))
    told = SeasonsBook(path, NOW).last_season(key)
    assert told.asks
    assert told.sentence.startswith("Last season you learnt: spring 2025, fed ")
    assert "60 fed and 24 check colonies" in told.sentence
    assert f"the plan of 20 January 2025, {plan[0].lower()}{plan[1:]}" in told.sentence
    assert told.sentence.endswith("does not know it yet: ask for plans again.")


def test_the_plan_of_next_season_changed_because_of_what_was_learnt_and_the_pages_say_so(two, monkeypatch):
    path, key, plan, situation = two
    BeliefBook(path, date(2025, 6, 1)).learn(lesson(situation, -0.25))
    Book(path, NOW).add_yard(yard(NOW))
    now = chosen(path, key, NOW)
    assert now != plan, "a feed that cost bees is not planned again as it was"
    told = SeasonsBook(path, NOW).last_season(key)
    assert not told.asks
    assert "fed colonies had 22 % fewer bees" in told.sentence, "exp(-0.25) is 0.78"
    assert f"the plan changed from {plan[0].lower()}{plan[1:]}" in told.sentence
    assert f"to {now[0].lower()}{now[1:]}" in told.sentence
    assert told.sentence.endswith("(20 January 2026).")
    with speaking("es"):
        spanish = SeasonsBook(path, NOW).last_season(key)
        own_words = RoundsBook(path, NOW).plan(key).sentence
    assert own_words[1:] in spanish.sentence, "the plan as Spanish pages say it"
    assert now[1:] not in spanish.sentence
    assert [row[0] for row in spanish.money] == [
        "Elegido el",
        "Sobre no hacer nada, por colonia",
        "Costo por colonia",
    ]
    then, since = re.findall(r"(\d+) % (?:more|fewer)", told.belief)
    assert then != since
    assert "with 1 season of your own in it" in told.belief
    assert told.belief.startswith("With a season’s own luck in it"), "as plans go by, not the mean of seasons"
    heads, days, gains = told.money[0][0], told.money[0][1:], told.money[1][1:]
    assert (heads, days) == ("Chosen on", ("20 January 2025", "20 January 2026"))
    kept = RoundsBook(path, NOW).plan(key)
    assert gains[1].endswith(f"{abs(round(kept.foretold['gain'])):g}"), "as each was told on its day"
    assert len(told.money) == 3
    run_few_seasons(monkeypatch)
    app = create_app(path, lambda p: Book(p, NOW), lambda: NOW)
    client = TestClient(app, base_url="http://127.0.0.1:8000", raise_server_exceptions=False)
    assert f'href="/rounds/{key}#last-season"' in client.get("/rounds").text
    for address in (f"/yards/{key}", f"/rounds/{key}"):
        shown = client.get(address).text
        assert "From last season to this" in shown
        assert "the plan changed from" in shown
        assert "Over doing nothing, a colony" in shown
        assert 'href="/evidence/own"' in shown
    assert shown.index('id="chosen"') < shown.index('id="last-season"'), "the plan that stands comes first"


def test_without_a_check_group_nothing_was_learnt_and_the_plan_is_told_all_the_same(two):
    path, key, _, _ = two
    Book(path, NOW).add_yard(yard(NOW))
    chosen(path, key, NOW)
    told = SeasonsBook(path, NOW).last_season(key)
    assert told.sentence.startswith("Last season nothing was learnt: no fair check group")
    assert re.search(r"the plan (changed from|stayed as it was on 20 January 2025)", told.sentence)
