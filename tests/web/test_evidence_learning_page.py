"""Learning that takes long: its page says how far it is, and can stop it. All invented."""

from __future__ import annotations

import threading
from datetime import date

import pytest
from starlette.testclient import TestClient

from breadline.errors import TrialError
from breadline.jobs import learning_search, trial_lessons
from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.side_by_side import Along, side_by_side
from breadline.jobs.trial_lessons import Learnt
from breadline.jobs.trial_model import Shown
from breadline.web.app import create_app
from web.conftest import HERE
from web.served import serving
from web.test_evidence_own_page import FILES, TODAY, plain


class Slow:
    """Seasons of three yards, each of which waits until the test lets it."""

    def __init__(self) -> None:
        self.may_go, self.begun = threading.Semaphore(0), 0

    def learn_from(self, file: object, to: object, along: Along) -> Learnt:
        along.begin("Autumn patties", 3)
        side_by_side(range(3), self._yard, along)
        return Learnt(None, ("Kiln Field is not in this book.",))

    def _yard(self, n: int) -> int:
        self.begun += 1
        assert self.may_go.acquire(timeout=20)
        return n


@pytest.fixture
def slow(monkeypatch):
    made = Slow()
    monkeypatch.setattr(learning_search, "learn_from", made.learn_from)
    monkeypatch.setattr("breadline.jobs.side_by_side.MOST_HANDS", 1)
    yield made
    made.may_go.release(9)


@pytest.fixture
def client(tmp_path):
    made = BeliefBook(tmp_path / "book.sqlite", TODAY)
    made.open_operation("Sorrel Bend Bees (invented)")
    return TestClient(create_app(made.path, None, lambda: TODAY), base_url=HERE, headers={"origin": HERE})


def until(seen, client, address):
    for _ in range(400):
        shown = plain(client.get(address).text)
        if seen in shown:
            return shown
        threading.Event().wait(0.02)
    raise AssertionError(f"{seen!r} never came: {shown}")


def test_the_page_counts_the_yards_and_at_the_end_says_what_could_not_be_asked(client, slow):
    going = client.post("/evidence/own", files=FILES[:1], data={"mine": "yes"})
    assert "/evidence/own/learning/" in going.url.path
    assert f"url={going.url.path}" in going.text, "a bare one loads nothing after a fragment"
    assert "0 of 3 yards of Autumn patties are run" in plain(going.text)
    again = client.post("/evidence/own", files=FILES[:1], data={"mine": "yes"})
    assert again.url.path == going.url.path, "sent twice it is one"
    slow.may_go.release()
    until("1 of 3 yards of Autumn patties is run", client, going.url.path)
    slow.may_go.release(2)
    assert "Stop" not in until("Kiln Field is not in this book", client, going.url.path)


def test_evidence_says_that_a_learning_is_under_way_while_the_old_belief_stands_there(client, slow):
    going = client.post("/evidence/own", files=FILES[:1], data={"mine": "yes"})
    for address in ("/evidence/own", "/evidence"):
        text = client.get(address).text
        assert "the learning is still under way, so what stands here is the belief before it" in plain(text)
        assert f'href="{going.url.path}"' in text
    slow.may_go.release(3)
    until("Kiln Field is not in this book", client, going.url.path)
    for address in ("/evidence/own", "/evidence"):
        assert "under way" not in plain(client.get(address).text)


def test_stopped_it_says_that_nothing_is_kept(client, slow):
    going = client.post("/evidence/own", files=FILES[:1], data={"mine": "yes"})
    threading.Timer(0.2, slow.may_go.release).start()
    stopped = client.post(f"{going.url.path}/stop")
    assert stopped.status_code == 422
    assert "Autumn patties: it was stopped" in plain(stopped.text)
    assert slow.begun == 1
    assert client.get("/evidence/own/learning/none").url.path == "/evidence/own"
    assert client.post("/evidence/own/learning/none/stop").url.path == "/evidence/own"


def test_stopped_while_every_yard_is_in_hand_it_keeps_nothing_and_waits_for_none(client, slow, monkeypatch):
    monkeypatch.setattr("breadline.jobs.side_by_side.MOST_HANDS", 4)
    going = client.post("/evidence/own", files=FILES[:1], data={"mine": "yes"})
    stopped = client.post(f"{going.url.path}/stop")
    assert stopped.status_code == 422
    assert "Autumn patties: it was stopped" in plain(stopped.text)


def test_stopped_after_the_last_yard_and_before_the_book_nothing_is_kept(client, monkeypatch):
    def stopped_at_the_end(book: object, one: object, situation: object, along: Along) -> Shown:
        along.stop()
        return Shown(None, ())

    monkeypatch.setattr(trial_lessons, "shown_by_yards", stopped_at_the_end)
    answer = client.post("/evidence/own", files=FILES[:1], data={"mine": "yes"})
    assert answer.status_code == 422
    assert "it was stopped" in plain(answer.text)
    assert client.app.state.learnings.kept()[0].to.book is not None
    assert BeliefBook(client.app.state.learnings.kept()[0].to.book, TODAY).known().lessons == ()


@pytest.mark.browser
def test_the_page_turns_by_itself_where_its_address_has_a_fragment(browser, client, slow):
    """A form sent to “…#teaches” hands the fragment on to the page of learning."""
    going = client.post("/evidence/own", files=FILES[:1], data={"mine": "yes"})
    with serving(client.app) as where:
        page = browser.new_page()
        page.goto(f"{where}{going.url.path}#teaches")
        page.get_by_text("0 of 3 yards of Autumn patties are run").wait_for()
        slow.may_go.release(3)
        page.get_by_text("Kiln Field is not in this book").wait_for(timeout=15_000)
        page.close()


def test_a_lesson_that_is_refused_later_is_said_on_its_page(client, monkeypatch):
    def refuse(file: object, to: object, along: Along) -> Learnt:
        raise TrialError("Trial 1", f"it is of {date.min.year}")

    monkeypatch.setattr(learning_search, "learn_from", refuse)
    answer = client.post("/evidence/own", files=FILES[:1], data={"mine": "yes"})
    assert answer.status_code == 422
    assert "Trial 1: it is of 1" in plain(answer.text)
