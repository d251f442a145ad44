"""The same question asked again has its page at once, until what it hangs on changes. All invented."""

from __future__ import annotations

import threading
from datetime import date
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from breadline.going_on import still_wanted
from breadline.jobs.bring_in import brought_in
from breadline.jobs.sheet_read import SheetAsked
from breadline.web.app import create_app
from breadline.web.kept_answers import KEPT, KeptAnswers
from breadline.web.pages import evidence_own, verdict, working
from web.conftest import HERE
from web.test_verdict_page import EXAMPLE, SAID

TODAY = date(2026, 8, 5)
SHEET = "Yard,Latitude,Longitude,Colonies,Country\n{},38.5,-121.0,48,US\n"
COOPERATORS = Path(__file__).parents[2] / "examples" / "cooperators"


@pytest.fixture
def client(tmp_path, monkeypatch):
    path = tmp_path / "book.sqlite"
    brought_in(path, "yards.csv", SHEET.format("Alder Flat").encode(), SheetAsked(), TODAY)
    monkeypatch.setattr(working, "WAIT_S", 60)
    made = TestClient(create_app(path, None, lambda: TODAY), base_url=HERE, headers={"origin": HERE})
    made.path = path
    return made


@pytest.fixture
def worked_out(monkeypatch):
    """How often a verdict was worked out."""
    real, often = verdict.verdict_of_content, []
    monkeypatch.setattr(verdict, "verdict_of_content", lambda *a, **k: often.append(a[0]) or real(*a, **k))
    return often


def asked(client, **changed):
    return client.post("/verdict", data=SAID | changed, files={"file": ("last-year.csv", EXAMPLE)})


def test_a_verdict_asked_again_is_the_one_that_there_is(client, worked_out):
    first = asked(client)
    assert asked(client).url == first.url
    assert len(worked_out) == 1
    assert asked(client, price="19").url != first.url
    assert asked(client).url == first.url
    assert len(worked_out) == 2


def test_a_verdict_is_worked_out_anew_once_the_book_or_the_reader_is_another(client, worked_out):
    first = asked(client)
    brought_in(client.path, "more.csv", SHEET.format("Bitter Run").encode(), SheetAsked(), TODAY)
    second = asked(client)
    assert second.url != first.url
    client.headers["accept-language"] = "es"
    assert asked(client).url not in (first.url, second.url)
    assert len(worked_out) == 3


def test_a_verdict_that_got_days_of_feed_answers_no_other_question(client, worked_out):
    first = asked(client)
    key = first.url.path.split("/")[-1]
    client.app.state.verdicts.change(key, client.app.state.verdicts.of(key))
    assert asked(client).url != first.url
    assert len(worked_out) == 2


def files():
    return [("files", (one.name, one.read_bytes())) for one in sorted(COOPERATORS.glob("*.json"))[:3]]


def test_trials_put_together_again_are_the_ones_that_there_are(client, monkeypatch):
    real, often = evidence_own.pooled, []
    monkeypatch.setattr(evidence_own, "pooled", lambda *a: often.append(a) or real(*a))
    first = client.post("/evidence/own", data={"whose": "A county"}, files=files())
    assert client.post("/evidence/own", data={"whose": "A county"}, files=files()).url == first.url
    assert len(often) == 1
    assert client.post("/evidence/own", data={"whose": "B county"}, files=files()).url != first.url


@pytest.mark.parametrize("what", ["a verdict", "trials together"])
def test_what_is_left_on_its_way_ends_and_keeps_nothing(client, monkeypatch, what):
    let, there, ended = threading.Event(), threading.Event(), []

    def slowly(*_, **__):
        there.set()
        assert let.wait(60)
        still_wanted()
        ended.append("worked out")

    monkeypatch.setattr(verdict, "verdict_of_content", slowly)
    monkeypatch.setattr(evidence_own, "pooled", slowly)
    monkeypatch.setattr(working, "WAIT_S", 0.05)
    monkeypatch.setattr(working, "LEAVING_S", 0.05)
    page = asked(client) if what == "a verdict" else client.post("/evidence/own", files=files())
    assert "One moment" in page.text
    assert there.wait(20)
    one = client.app.state.besides.kept()[-1]
    assert client.post(f"{page.url.path}/leave").url.path == "/"
    let.set()
    assert one.done(20)
    assert one.came is None
    assert not ended


def test_no_more_are_kept_than_there_is_room_for():
    shelf = KeptAnswers()
    words = [shelf.put(n, ("asked", n)) for n in range(KEPT + 3)]
    assert shelf.of(words[2]) is None
    assert shelf.asked(("asked", 2)) is None
    assert shelf.of(words[3]) == 3
    assert shelf.asked(("asked", 3)) == words[3]
