"""The second part of the evidence: own check groups, and several growers' trials. All invented."""

from __future__ import annotations

import re
import time
from dataclasses import replace
from datetime import date

import pytest
from starlette.testclient import TestClient

from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.trial_file import trial_from_text
from breadline.need.words import day_and_year
from breadline.trial.design import Allocation, CheckArm
from breadline.web.app import create_app
from house import tree
from jobs.travelled import finished, text
from sheets.read_back import words as words_of
from web.conftest import HERE

TODAY = date(2026, 11, 20)
FILES = [
    ("files", (f"{n}.json", text(finished(n), name=f"Trial {n}"), "application/json")) for n in (1, 2, 3)
]


def plain(html: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html))


def through(client, answer):
    """The page of a learning once it is through, on a busy machine too."""
    for _ in range(600):
        if "/learning/" not in answer.url.path:
            return answer
        time.sleep(0.05)
        answer = client.get(answer.url.path)
    raise AssertionError("the lesson was never through")


@pytest.fixture
def book(tmp_path):
    made = BeliefBook(tmp_path / "book.sqlite", TODAY)
    made.open_operation("Sorrel Bend Bees (invented)")
    return made


@pytest.fixture
def client(book):
    app = create_app(book.path, None, lambda: TODAY)
    return TestClient(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)


def test_a_book_that_learnt_nothing_says_so(client):
    assert "No check group of yours has taught anything yet" in plain(client.get("/evidence/own").text)
    assert "No check group of yours has taught anything yet" in plain(client.get("/evidence").text)


def test_own_trials_are_learnt_told_and_taken_back(client, book):
    asked = {"mine": "yes", "situation": ""}
    answer = through(client, client.post("/evidence/own", files=FILES[:1], data=asked))
    assert answer.status_code == 200
    assert answer.url.path == "/evidence/own"
    shown = plain(answer.text)
    assert "None of its yards is in this book, so the season model is not asked" in shown
    assert "In your own check group fed colonies that lived had" in shown
    assert "against check, of those that lived; losses are told beside it" in shown
    assert "dead ones as none" not in shown
    assert "moved from 25 % more bees (10 % fewer to 73 % more) to" in shown
    assert answer.text.count('role="img"') == 3
    assert "Trial 1 , learnt on 20 November 2026" in shown
    assert "moved from" in plain(client.get("/evidence").text)
    (lesson,) = book.known().lessons
    taken = {"trial": lesson.taught.trial, "why": ""}
    assert "no reason is given" in plain(client.post("/evidence/own/take-back", data=taken).text)
    taken["why"] = "the feed lay in the open"
    assert "No check group of yours" in plain(client.post("/evidence/own/take-back", data=taken).text)


def test_several_growers_trials_stand_together_and_an_unfair_one_is_left_out(client, book):
    made = finished(4)
    by_hand = replace(made, design=replace(made.design, allocation=Allocation.CHOSEN))
    unfair = ("files", ("hand.json", text(by_hand, name="By hand"), "application/json"))
    answer = client.post("/evidence/own", files=[*FILES, unfair])
    shown = plain(answer.text)
    assert "3 fair trials of 4; 1 trial left out, with the reason." in shown
    assert "Left out By hand 54 and 18 not a fair comparison: the unfed colonies were chosen by hand" in shown
    assert book.known().lessons == (), "looking at trials teaches nothing"


def test_trials_put_together_are_told_to_each_reader_in_their_language(client):
    """Read in Spanish as if they had been put together in Spanish, and in English again as first."""
    made = finished(4)
    by_hand = replace(made, design=replace(made.design, allocation=Allocation.CHOSEN))
    fed_both = replace(made, design=replace(made.design, check_arm=CheckArm.SUGAR))
    others = [("hand.json", text(by_hand, name="By hand")), ("syrup.json", text(fed_both, name="Syrup"))]
    others += [("again.json", FILES[0][1][1]), ("list.json", "[]")]
    sent = [*FILES, *(("files", (name, content, "application/json")) for name, content in others)]

    def read(at: str, language: str) -> str:
        told = client.get(at, params={"language": language})
        assert told.status_code == 200
        return plain(re.sub(r"/together/[\w-]+", "", told.text))

    english = client.post("/evidence/own", files=sent).url.path
    first = read(english, "en")
    for words in ("the unfed colonies were chosen by hand", "the same trial as another file",
                  "its check group had", "list.json"):  # fmt: skip
        assert words in first
    spanish = client.post("/evidence/own?language=es", files=sent).url.path
    assert spanish != english
    assert read(english, "es") == read(spanish, "es") != first
    assert "chosen by hand" not in read(english, "es")
    assert read(spanish, "en") == read(english, "en") == first
    both = [client.get(f"{at}/county.pdf", params={"language": "es"}) for at in (english, spanish)]
    assert words_of(both[0].content) == words_of(both[1].content)
    assert words_of(both[0].content) != words_of(client.get(f"{english}/county.pdf").content)


def test_a_file_that_is_none_is_said_beside_the_form(client):
    for content in ("", "{}", "\xff"):
        answer = client.post("/evidence/own", files=[("files", ("a.json", content.encode("latin-1")))])
        assert answer.status_code == 422
        assert "a.json" in answer.text


@pytest.mark.browser
def test_the_pages_fit_a_phone_and_a_desk(client, browser):
    through(client, client.post("/evidence/own", files=FILES[:2], data={"mine": "yes"}))
    together, own = client.post("/evidence/own", files=FILES), client.get("/evidence/own")
    shown = browser.new_page()

    def answered(route):
        path = route.request.url.removeprefix(HERE)
        asked = {"/together": together, "/evidence/own": own}.get(path) or client.get(path)
        route.fulfill(status=asked.status_code, body=asked.content, headers=dict(asked.headers))

    shown.route("**/*", answered)
    for path in ("/evidence/own", "/together"):
        shown.goto(f"{HERE}{path}")
        shown.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
        for width in (390, 1280):
            shown.set_viewport_size({"width": width, "height": 844})
            assert shown.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 0
            assert shown.locator("svg[role=img]:visible").count() == 1
    shown.close()


def test_the_verdict_page_keeps_what_its_trial_teaches_and_saves_the_open_file(client, book):
    sheet = (tree.ROOT / "examples" / "first-verdict" / "colonies.csv").read_bytes()
    asked = {"cost": "16", "price": "18", "drawn": "lot"}
    verdict = client.post("/verdict", data=asked, files={"file": ("last-year.csv", sheet)})
    assert "Keep what it teaches" in verdict.text
    said = {"season": "autumn 2026", "situation": "dearth"}
    saved = client.post(f"{verdict.url.path}/trial.json", data=said)
    assert "Tarweed" not in saved.text
    assert trial_from_text(saved.text, "saved").season == "autumn 2026"
    own = through(client, client.post(f"{verdict.url.path}/learn", data=said))
    assert own.url.path == "/evidence/own"
    (lesson,) = book.known().lessons
    assert (lesson.taught.season, lesson.taught.situation) == ("autumn 2026", "dearth")
    assert lesson.taught.trial == trial_from_text(saved.text, "saved").digest
    again = client.get(verdict.url.path).text.replace("\N{NO-BREAK SPACE}", " ")
    assert f"Learnt on {day_and_year(lesson.learnt_on)}" in again
    assert 'href="/evidence/own"' in again
    assert "Keep what it teaches" not in again, "one trial teaches once"
    by_hand = client.post("/verdict", data=asked | {"drawn": "hand"}, files={"file": ("a.csv", sheet)})
    assert "Keep what it teaches" not in by_hand.text
    nobody = client.post("/verdict", data=asked | {"drawn": "unknown"}, files={"file": ("a.csv", sheet)})
    assert "Keep what it teaches" not in nobody.text
    assert "teaches next season" in nobody.text
