"""What takes longer than a second goes on beside a page that says so, and can be left. All invented."""

from __future__ import annotations

import re
import threading
from datetime import date

import pytest
from starlette.testclient import TestClient

from breadline.jobs.bring_in import brought_in
from breadline.jobs.sheet_read import SheetAsked
from breadline.jobs.yards_ready import ReadyBook
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
