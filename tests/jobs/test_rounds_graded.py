"""Hives that the book has counted are the graded ones of its plans. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from uuid import UUID

import pytest

from breadline.jobs import rounds_book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.field_book import FieldBook
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.yard_file import read_yard
from breadline.records import readings
from breadline.records.engine import open_book, writing
from house import tree

TODAY = date(2026, 1, 20)
TEXT = (tree.ROOT / "examples" / "first-rounds" / "rounds.toml").read_text("utf-8")
WITHOUT_HIVES = TEXT[: TEXT.index("# hives that were graded")]
FRAMES = {"A1": 2.0, "A2": 5.5, "A3": 7.0, "A4": 0.0}


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    """A yard with four hives, counted nine days ago, and one that nobody counted."""
    made = FieldBook(tmp_path_factory.mktemp("graded") / "book.sqlite", TODAY)
    key = made.add_yard(replace(read_yard(FIRST_YARD / "yard.toml"), colonies=12), FIRST_YARD / "weather.csv")
    made.place_hives(key, [(tag, "") for tag in (*FRAMES, "A5")])
    with writing(open_book(made.path)) as session:
        visit = readings.add_visit(session, UUID(key), readings.Look(date(2026, 1, 11)))
        for hive in readings.colonies(session, UUID(key)):
            if hive.name in FRAMES:
                readings.add(session, visit.id, readings.Seen("frames_of_bees", FRAMES[hive.name]), hive.id)
    return made.path, key


def test_the_newest_counts_of_hives_that_live(book):
    path, key = book
    assert RoundsBook(path, TODAY).graded(key) == (("A1", 2.0), ("A2", 5.5), ("A3", 7.0))


def test_counts_that_are_too_old_are_left_out(book):
    path, key = book
    assert RoundsBook(path, date(2026, 3, 20)).graded(key) == ()


def test_a_plan_that_names_hives_keeps_them_and_one_that_names_none_takes_the_book_s(book, monkeypatch):
    path, key = book
    monkeypatch.setattr(rounds_book, "rounds_answer", lambda _yard, _weather, plan, *_: plan)
    of = RoundsBook(path, TODAY)
    assert of.rounds(key, WITHOUT_HIVES).hives == of.graded(key)
    own = WITHOUT_HIVES + '[[hive]]\ntag = "B1"\nframes = 6\n'
    assert of.rounds(key, own).hives == (("B1", 6.0),)
