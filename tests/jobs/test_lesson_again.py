"""A lesson that an earlier version kept says so, and its class is worked out again. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from starlette.testclient import TestClient

from breadline.errors import TrialError
from breadline.jobs import belief_book
from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.evidence_told import own_lines
from breadline.jobs.lesson_again import held, work_out_again
from breadline.jobs.own_evidence import own_evidence
from breadline.jobs.trial_checked import checked
from breadline.jobs.trial_file import known_again
from breadline.jobs.trial_taught import taught_by
from breadline.jobs.verdict import Prices, VerdictAsked
from breadline.jobs.verdict_file import verdict_of_trial
from breadline.jobs.verdict_onward import Onward, to_learn_from
from breadline.trial.classes import AnswerClass
from breadline.trial.colonies import Became, Ended
from breadline.web.app import create_app
from jobs import test_trial_book
from jobs.test_trial_book import ASKED, NOW
from jobs.travelled import finished
from web.conftest import HERE
from web.test_evidence_own_page import plain

LATER = date(2027, 1, 2)
written, book = test_trial_book.written, test_trial_book.book
SAYS = "Its class was kept by an earlier version (0.1.0), which drew lots less often"


@pytest.fixture
def older(book, monkeypatch):
    """The lesson of a trial of the book, as an earlier version kept it, in another class."""
    kept = book.lock(book.draw(book.candidates(["Named"]), ASKED, NOW).key, NOW)
    book.keep_ends(
        kept.key,
        [
            Ended(one.tag, Became.GRADED, one.baseline + 3 * one.arm + n % 3 / 2, ASKED.grading)
            for n, one in enumerate(kept.trial.design.started)
        ],
    )
    found = verdict_of_trial(book.trial(kept.key).trial, VerdictAsked(Prices()), LATER, ASKED.name)
    file, _ = to_learn_from(found, Onward("dearth", "autumn 2026", book.path), LATER)
    taught = taught_by(checked(file))
    assert AnswerClass(taught.given) is not AnswerClass.TOO_FEW
    with monkeypatch.context() as then:
        then.setattr(belief_book, "PROGRAM", "0.1.0")
        BeliefBook(book.path, LATER).learn(replace(taught, given=AnswerClass.TOO_FEW.value))
    return taught


def test_the_class_of_an_earlier_version_is_said_and_worked_out_again_on_the_page(book, older):
    there = BeliefBook(book.path, LATER)
    assert any(SAYS in text for _, text in own_lines(own_evidence(there.known())))
    app = create_app(book.path, None, lambda: LATER)
    client = TestClient(app, base_url=HERE, headers={"origin": HERE})
    assert SAYS in plain(client.get("/evidence/own").text)
    before = there.known().beliefs["dearth"]
    shown = plain(client.post("/evidence/own/again", data={"trial": older.trial}).text)
    assert SAYS not in shown
    assert "Work it out again" not in shown
    (lesson,) = there.known().lessons
    assert lesson.taught == older
    assert there.known().beliefs["dearth"] == before


def test_a_trial_that_the_book_does_not_hold_is_read_in_again(book, older):
    there = BeliefBook(book.path, LATER)
    assert held(there) == {older.trial}
    with pytest.raises(TrialError, match=r"does not hold its trial.*ticked as your own"):
        work_out_again(there, "0" * 64)
    there.learn(older)  # the same file again: only who judged it is new
    assert not there.known().lessons[0].older
    assert held(there) == frozenset()


def test_a_trial_is_known_again_in_whatever_order_its_ends_came_in():
    of = finished(1)
    assert known_again(replace(of, ended=of.ended[::-1])) == known_again(of)
