"""Dry feed in the open after a draw: said before, on the trial and in its verdict. All invented."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from breadline.cli import rounds_stock
from breadline.cli.rounds_stock import Keeping
from breadline.errors import RecordError, TrialError
from breadline.jobs.book import Book
from breadline.jobs.check_group_file import trial_text
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.fed_since import fed_since, told_by
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.trial_book import TrialsBook
from breadline.jobs.trial_file import trial_from_text
from breadline.jobs.trial_lessons import Learning, learn_from
from breadline.jobs.verdict import Prices, Told, VerdictAsked
from breadline.jobs.verdict_file import verdict_of_content
from breadline.jobs.verdict_onward import Onward, travelling
from breadline.jobs.yard_file import read_yard
from breadline.language import speaking
from breadline.trial.classes import AnswerClass
from breadline.trial.colonies import Became, Ended
from breadline.verdict.fairness import Breach, Conduct
from breadline.web.app import create_app
from jobs import test_trial_book
from jobs.test_trial_book import ASKED, NOW, TODAY, dry_feed_stood
from web.conftest import HERE
from web.test_evidence_page import plain

LATER = date(2026, 9, 1)
READ = date(2027, 1, 2)
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


def test_the_terminal_writes_no_dry_feed_down_that_spoils_a_locked_trial_unless_it_is_said(
    book, locked, monkeypatch, capsys
):
    one = replace(read_yard(FIRST_YARD / "yard.toml"), name="Named", colonies=12, today=LATER)
    monkeypatch.setattr(rounds_stock, "read_yard", lambda path: one)
    typed = {"around": "100"}
    with pytest.raises(TrialError, match=f"It would spoil the check group {ASKED.name}.*--anyway") as told:
        rounds_stock.dry_feed(Path("yard.toml"), typed, (), Keeping(book.path), as_json=False)
    assert "Nothing is written down" in told.value.do
    assert not RoundsBook(book.path, LATER).barred()
    rounds_stock.dry_feed(Path("yard.toml"), typed, (), Keeping(book.path, anyway=True), as_json=False)
    assert "It would spoil the check group" in " ".join(capsys.readouterr().out.split())
    assert [one.yard for one in RoundsBook(book.path, LATER).barred()] == ["Named"]
    rounds_stock.dry_feed(Path("yard.toml"), typed, (), Keeping(book.path), as_json=True)
    assert json.loads(capsys.readouterr().out)["spoils"] == []  # it stands there already


def test_written_down_in_reach_it_spoils_the_trial_on_its_page_and_in_its_verdict(book, locked):
    dry_feed_stood(book, LATER, 0.02)  # 2.2 km
    text = plain(client_of(book.path).get(f"/check-group/{locked.key}").text)
    assert "Spoilt: since 1 September 2026 dry feed stands in the open at Bare" in text
    ends = tuple(
        Ended(one.tag, Became.GRADED, 6.0 + one.arm, locked.trial.design.grading)
        for one in locked.trial.design.started
    )
    text, asked = trial_text(replace(locked.trial, ended=ends)), VerdictAsked(Prices(break_even=0.9))
    found = verdict_of_content("t.json", text.encode(), asked, date(2027, 1, 2), book=book.path)
    assert found.answer.given is AnswerClass.NOT_FAIR
    assert [one.breach for one in found.answer.broken] == [Breach.OPEN_FEED]
    assert "since 1 September 2026 dry feed stands in the open at Bare" in found.spoken.broke[0]
    travelled = travelling(replace(found, finished=replace(found.finished, conduct=Conduct())), Onward())
    again = verdict_of_content("t.json", travelled.encode(), asked, date(2027, 1, 2), book=book.path)
    assert again.spoken.broke == found.spoken.broke
    with pytest.raises(TrialError, match="nothing can be learnt: not a fair comparison: since 1 September"):
        learn_from(trial_from_text(travelled, "t.json"), Learning(book.path, LATER, "dearth"))
    with pytest.raises(RecordError, match="there is no such book"):
        verdict_of_content("t.json", text.encode(), asked, LATER, book=book.path.with_name("none"))


@pytest.mark.parametrize(("north", "word"), [(0.02, "alimenta también"), (0.04, "En duda")])
def test_a_kept_verdict_tells_dry_feed_in_the_language_of_who_reads_it(book, locked, north, word):
    dry_feed_stood(book, LATER, north)
    ends = tuple(
        Ended(one.tag, Became.GRADED, 6.0 + one.arm, locked.trial.design.grading)
        for one in locked.trial.design.started
    )
    one, asked = replace(locked.trial, ended=ends), VerdictAsked(Prices(break_even=0.9))
    file = travelling(verdict_of_content("t.json", trial_text(one).encode(), asked, READ), Onward())
    for text in (trial_text(one), file):

        def judged(text=text):
            return verdict_of_content("t.json", text.encode(), asked, READ, book=book.path)

        with speaking("es"):
            spanish = judged()
        english = judged()
        with speaking("es"):
            there = said_of(english.in_this_language)
        assert there == said_of(spanish)
        assert any(word in one for one in there)
        assert said_of(spanish.in_this_language) == said_of(english)
        assert not any(word in one for one in said_of(english))


def test_a_trial_passed_on_in_one_language_tells_its_dry_feed_once_in_another(book, locked):
    dry_feed_stood(book, LATER, 0.02)
    ends = tuple(
        Ended(one.tag, Became.GRADED, 6.0 + one.arm, locked.trial.design.grading)
        for one in locked.trial.design.started
    )
    text, asked = trial_text(replace(locked.trial, ended=ends)), VerdictAsked(Prices(break_even=0.9))
    file = travelling(verdict_of_content("t.json", text.encode(), asked, READ, book=book.path), Onward())
    with speaking("es"):
        again = verdict_of_content("t.json", file.encode(), asked, READ, book=book.path)
        assert len(again.answer.broken) == 1


def said_of(one):
    """What breaks fairness, and what is doubtful."""
    return [*one.spoken.broke, *(broken.facts for broken in one.answer.broken), *one.deviations]


@pytest.mark.parametrize(
    ("since", "north", "word"),
    [(LATER, 0.04, "In doubt"), (LATER, 0.2, ""), (date(2026, 8, 1), 0.02, ""), (date(2027, 9, 1), 0.02, "")],
)
def test_out_of_reach_before_the_draw_or_after_the_grading_nothing_is_spoilt(
    book, locked, since, north, word
):
    dry_feed_stood(book, since, north)
    there = TrialsBook(book.path, TODAY)
    said = fed_since(there, locked.trial).sentence
    assert told_by(there, locked.trial, Told()).in_doubt == said
    assert said.startswith(word) if word else said == ""
