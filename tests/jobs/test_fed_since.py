"""Dry feed in the open after a draw: said before, on the trial and in its verdict. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from starlette.testclient import TestClient

from breadline.jobs.book import Book
from breadline.jobs.fed_since import fed_since
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.trial_book import TrialsBook
from breadline.jobs.verdict import Prices, Told, VerdictAsked
from breadline.jobs.verdict_file import verdict_of_trial
from breadline.trial.classes import AnswerClass
from breadline.trial.colonies import Became, Ended
from breadline.verdict.fairness import Breach
from breadline.web.app import create_app
from jobs import test_trial_book
from jobs.test_trial_book import ASKED, NOW, TODAY, dry_feed_stood
from web.conftest import HERE
from web.test_evidence_page import plain

LATER = date(2026, 9, 1)
written, book = test_trial_book.written, test_trial_book.book


@pytest.fixture
def locked(book):
    kept = book.draw(book.candidates(["Named"]), ASKED, NOW)
    return book.lock(kept.key, NOW)


def client_of(path):
    app = create_app(path, lambda p: Book(p, LATER), lambda: LATER)
    return TestClient(app, base_url=HERE, headers={"origin": HERE})


def test_the_page_of_dry_feed_names_the_locked_trial_before_any_stands_and_claims_no_day(book, locked):
    key = next(key for key, name, _ in RoundsBook(book.path, LATER).yard_ids() if name == "Named")
    text = plain(client_of(book.path).get(f"/rounds/{key}/dry-feed?around=100").text)
    assert f"It would spoil the check group {ASKED.name}" in text
    assert "Once it stands there, no check group inside its flight range" in text
    assert "dry feed at Named feeds" not in text


def test_written_down_in_reach_it_spoils_the_trial_on_its_page_and_in_its_verdict(book, locked):
    dry_feed_stood(book, LATER, 0.02)  # 2.2 km
    text = plain(client_of(book.path).get(f"/check-group/{locked.key}").text)
    assert "Spoilt: since 1 September 2026 dry feed stands in the open at Bare" in text
    ends = tuple(
        Ended(one.tag, Became.GRADED, 6.0 + one.arm, locked.trial.design.grading)
        for one in locked.trial.design.started
    )
    since = fed_since(book, locked.trial)
    asked = VerdictAsked(Prices(break_even=0.9), Told(fed_in_open=since.facts))
    found = verdict_of_trial(replace(locked.trial, ended=ends), asked, date(2027, 1, 2), "trial")
    assert found.answer.given is AnswerClass.NOT_FAIR
    assert [one.breach for one in found.answer.broken] == [Breach.OPEN_FEED]
    assert "since 1 September 2026 dry feed stands in the open at Bare" in found.spoken.broke[0]


@pytest.mark.parametrize(
    ("since", "north", "word"),
    [(LATER, 0.04, "In doubt"), (LATER, 0.2, ""), (date(2026, 8, 1), 0.02, ""), (date(2027, 9, 1), 0.02, "")],
)
def test_out_of_reach_before_the_draw_or_after_the_grading_nothing_is_spoilt(
    book, locked, since, north, word
):
    dry_feed_stood(book, since, north)
    said = fed_since(TrialsBook(book.path, TODAY), locked.trial).sentence
    assert said.startswith(word) if word else said == ""
