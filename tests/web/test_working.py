"""What takes longer than a second goes on beside a page that says so, and can be left. All invented."""

from __future__ import annotations

import re
import threading
from datetime import date

import pytest
from starlette.testclient import TestClient

from breadline.errors import BreadlineError
from breadline.going_on import NobodyWaits, still_wanted, watched
from breadline.jobs import sheet_read
from breadline.jobs.beside import Beside
from breadline.jobs.book import Book
from breadline.jobs.bring_in import brought_in
from breadline.jobs.sheet_read import SheetAsked
from breadline.jobs.yards_ready import ReadyBook
from breadline.records import yards
from breadline.records.engine import looking, open_book, shut_book, writing
from breadline.web.app import create_app
from breadline.web.pages import bring_in, working
from web.conftest import HERE
from web.test_bring_in_page import as_it_stands

TODAY = date(2026, 8, 5)
SHEET = b"Yard,Latitude,Longitude,Colonies,Country\nAlder Flat,38.5,-121.0,48,US\n"


@pytest.fixture
def slow(tmp_path, monkeypatch):
    """Pages over a book of one yard whose archive answers when it is let; asked how often."""
    path, let, asked = tmp_path / "book.sqlite", threading.Event(), []
    brought_in(path, "yards.csv", SHEET, SheetAsked(), TODAY)

    def fetched(self, keys, accepted, opener=None, wanted=lambda: True):
        asked.append(keys)
        assert let.wait(60)
        if wanted():
            asked.append("kept")
        return 1

    monkeypatch.setattr(ReadyBook, "fetch_weather", fetched)
    monkeypatch.setattr(working, "WAIT_S", 0.05)
    client = TestClient(create_app(path, None, lambda: TODAY), base_url=HERE, headers={"origin": HERE})
    key = ReadyBook(path, TODAY).stand_of_yards()[0].key
    yield client, {"yard": key, "accept": "yes"}, let, asked
    let.set()


def test_a_fetch_says_that_it_goes_on_and_its_answer_follows(slow, monkeypatch):
    client, form, let, asked = slow
    page = client.post("/weather/archive", data=form)
    assert "being fetched from the archive" in page.text
    assert 'http-equiv="refresh"' in page.text
    again = client.post("/weather/archive", data=form)
    assert again.url == page.url, "sent twice it is one"
    let.set()
    monkeypatch.setattr(working, "WAIT_S", 60)
    assert "Weather is kept for 1 yard." in client.get(page.url).text
    assert asked == [[form["yard"]], "kept"]


def test_what_is_left_writes_nothing_more_down(slow):
    client, form, let, asked = slow
    page = client.post("/weather/archive", data=form)
    way = re.search(r'action="(/working/[0-9a-f]+/leave)"', page.text)[1]
    assert client.post(way).url.path == "/"
    let.set()
    assert client.get(page.url).status_code == 422
    assert "kept" not in asked


def test_a_sheet_that_takes_long_says_so(slow, monkeypatch):
    client, _, let, _ = slow
    real = bring_in.looked_over

    def slowly(*asked):
        assert let.wait(60)
        return real(*asked)

    monkeypatch.setattr(bring_in, "looked_over", slowly)
    page = client.post("/bring-in", files={"file": ("more.csv", SHEET.replace(b"Alder", b"Bitter"))})
    assert "The sheet is being gone through." in page.text
    let.set()
    monkeypatch.setattr(working, "WAIT_S", 60)
    look = client.get(page.url).text
    assert "Write it down" in look
    assert "told=" in str(client.post("/bring-in/write", data=as_it_stands(look)).url)
    back = client.get(page.url)  # Back of the browser, to a look of what is written down
    assert back.status_code == 422
    assert "Write it down" not in back.text


def test_what_breaks_beside_its_page_is_told_there(slow, monkeypatch):
    client, form, _, _ = slow
    monkeypatch.setattr(working, "WAIT_S", 60)
    monkeypatch.setattr(ReadyBook, "fetch_weather", lambda *_, **__: 1 / 0)
    monkeypatch.setattr(threading, "excepthook", lambda _: None)
    quiet = TestClient(
        client.app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False
    )  # fmt: skip
    answer = quiet.post("/weather/archive", data=form)
    assert answer.status_code == 500
    assert "ZeroDivisionError" in answer.text


ROWS = [b"Alder Flat,A%d,2026-08-01,7\n" % n for n in range(4000)]
MANY = b"Yard,Hive,Date,Frames of bees\n" + b"".join(ROWS)
AS = {"unit:frames_of_bees": "full", "new-colonies": "yes"}


def held_at(monkeypatch, where, row):
    """Let the work ask whether it goes on no further than that row before it is let."""
    real, let, there = where.still_wanted, threading.Event(), threading.Event()

    def asked(done=0, of=0):
        real(done, of)
        if done >= row:
            there.set()
            assert let.wait(60)
            real(done, of)

    monkeypatch.setattr(where, "still_wanted", asked)
    return there, let


def test_a_sheet_that_is_left_while_it_is_written_ends_and_writes_nothing(slow, monkeypatch):
    client = slow[0]
    monkeypatch.setattr(working, "WAIT_S", 60)
    look = client.post("/bring-in", files={"file": ("many.csv", MANY)})
    for _ in range(2):  # its units first, then its hives
        look = client.post("/bring-in/look", data={**as_it_stands(look.text), **AS})
    assert "Write it down" in look.text
    before = Book(client.app.state.book_path, TODAY).newest_entries()
    monkeypatch.setattr(working, "WAIT_S", 0.05)
    monkeypatch.setattr(working, "LEAVING_S", 0.05)
    there, let = held_at(monkeypatch, sheet_read, 2000)
    page = client.post("/bring-in/write", data=as_it_stands(look.text))
    assert there.wait(20)
    assert "The sheet is being written down. 2,000 of 4,000 rows." in client.get(page.url).text
    one = next(one for one in client.app.state.besides.kept() if one.key == page.url.path.split("/")[-1])
    assert client.post(f"{page.url.path}/leave").url.path == "/"
    let.set()
    assert one.done(20)
    assert one.trouble is not None
    assert "nobody waits" in str(one.trouble)
    assert Book(client.app.state.book_path, TODAY).newest_entries() == before
    monkeypatch.setattr(working, "WAIT_S", 60)
    again = client.get(look.url).text  # the sheet is still there, to be written after all
    assert "told=" in str(client.post("/bring-in/write", data=as_it_stands(again)).url)


def test_leaving_is_no_error_that_a_look_is_left_out_for():
    """Where an answer does without a look that cannot be had, it must not do without it for being left."""
    assert not issubclass(NobodyWaits, BreadlineError)
    left = Beside("a verdict", lambda _: _without_what_failed())
    left.leave()
    assert left.go_on().done(20)
    assert left.came is None
    assert "nobody waits" in str(left.trouble)


def _without_what_failed() -> str:
    try:
        still_wanted()
    except BreadlineError:
        return "an answer without it"
    return "an answer"


def test_what_was_left_too_late_is_shown(slow, monkeypatch):
    client, form, let, _ = slow
    page = client.post("/weather/archive", data=form)
    monkeypatch.setattr(ReadyBook, "fetch_weather", lambda *_, **__: 1)
    let.set()
    monkeypatch.setattr(working, "WAIT_S", 60)
    left = client.post(f"{page.url.path}/leave")
    assert "Weather is kept for 1 yard." in left.text


def test_nothing_is_saved_that_nobody_waits_for(tmp_path):
    engine = open_book(tmp_path / "book.sqlite")
    with pytest.raises(NobodyWaits), watched(lambda done, of, far: False), writing(engine) as session:
        yards.add_operation(session, "Left")
    with looking(engine) as session:
        assert not yards.operations(session)
    shut_book(engine)
