"""The page that gives yards weather and bloom, and the list that shows how far it is. All invented."""

from __future__ import annotations

import threading
from datetime import date

import pytest
from starlette.testclient import TestClient

from breadline.jobs.book import YardLine
from breadline.jobs.bring_in import brought_in
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.sheet_read import SheetAsked
from breadline.jobs.yards_pass import Passes
from breadline.jobs.yards_ready import ReadyBook
from breadline.weather.service import TERMS
from breadline.web.app import create_app
from web.conftest import HERE

TODAY = date(2026, 8, 5)
SHEET = (
    b"Yard,Latitude,Longitude,Colonies,Country\nAlder Flat,38.5,-121.0,48,US\nDry Fork,38.6,-121.0,60,US\n"
)


@pytest.fixture
def book(tmp_path):
    path = tmp_path / "book.sqlite"
    brought_in(path, "yards.csv", SHEET, SheetAsked(), TODAY)
    return ReadyBook(path, TODAY)


@pytest.fixture
def client(book):
    app = create_app(book.path, None, lambda: TODAY)
    return TestClient(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)


def test_weather_and_bloom_are_given_for_the_yards_that_are_ticked(client, book):
    keys = [one.key for one in book.stand_of_yards()]
    assert "2 of 2 yards lack a count, weather or bloom." in client.get("/weather").text
    file = {"file": ("past.csv", (FIRST_YARD / "weather.csv").read_bytes())}
    assert "Weather is kept for 1 yard." in client.post("/weather", files=file, data={"yard": keys[:1]}).text
    region = {"region": "california-foothills", "yard": keys}
    assert "The calendar of bloom is set for 2 yards." in client.post("/weather/bloom", data=region).text
    first, second = book.stand_of_yards()
    assert (first.weather, second.weather) == ("past.csv", "")
    assert first.bloom == second.bloom == "California foothills without summer rain"
    assert "2 of 2 yards lack a count or weather." in client.get("/weather").text


def test_what_does_not_do_is_refused_and_nothing_is_kept(client, book):
    keys = [one.key for one in book.stand_of_yards()]
    for name, content in (("empty.csv", b""), ("words.csv", b"no weather at all")):
        answer = client.post("/weather", files={"file": (name, content)}, data={"yard": keys})
        assert answer.status_code == 422
        assert "Nothing was changed." in answer.text
    nobody = client.post("/weather/bloom", data={"region": "california-foothills"})
    assert "none is ticked" in nobody.text
    assert client.post("/weather/bloom", data={"region": "atlantis", "yard": keys}).status_code == 422
    assert all(not one.weather and not one.bloom for one in book.stand_of_yards())


def test_a_refusal_names_its_place_and_what_to_do_in_the_readers_language(client, book):
    keys = [one.key for one in book.stand_of_yards()]
    spanish = {"cookie": "language=es"}
    empty = {"file": ("empty.csv", b"")}
    html = client.post("/weather", files=empty, data={"yard": keys}, headers=spanish).text
    assert "<b>Archivo de clima:</b>" in html
    assert "Elija un archivo de años pasados." in html
    nobody = client.post("/weather/bloom", data={"region": "california-foothills"}, headers=spanish).text
    assert "<b>Apiarios:</b>" in nobody
    assert "<b>Yards:</b>" in client.post("/weather/bloom", data={"region": "california-foothills"}).text


def test_nothing_leaves_the_machine_before_the_terms_are_accepted(client, book, tmp_path, monkeypatch):
    asked = []

    def archive(address, _seconds):
        asked.append(address)
        raise OSError("no network here")

    client.app.state.weather_opener = archive
    monkeypatch.setattr(ReadyBook.fetch_weather, "__defaults__", (None, tmp_path / "cache"))
    keys = [one.key for one in book.stand_of_yards()]
    refused = client.post("/weather/archive", data={"yard": keys})
    assert "terms have to be accepted" in refused.text
    assert TERMS[:40] in refused.text
    assert asked == []
    accepted = client.post("/weather/archive", data={"yard": keys, "accept": "yes"})
    assert "could not be reached" in accepted.text
    assert "latitude=38.5000&longitude=-121.0000" in asked[0]


def test_a_list_that_takes_long_says_how_far_it_is_and_holds_while_the_book_stands():
    passes, go, times = Passes(), threading.Event(), []

    def each():
        times.append(len(times))
        yield YardLine("a", f"A{len(times)}", 1, None, None)
        go.wait(20)
        yield YardLine("b", f"B{len(times)}", 1, None, None)

    def names(stand, seconds):
        lines, whole = passes.lines(each, stand, seconds)
        return [one.name for one in lines], whole

    assert names("as it was", 0.2) == (["A1"], False)
    go.set()
    assert names("as it was", 20.0) == (["A1", "B1"], True)
    assert names("as it was", 20.0) == (["A1", "B1"], True), "nothing is worked out twice"
    assert names("changed", 20.0) == (["A2", "B2"], True)
    assert len(times) == 2


def test_an_error_on_the_way_is_raised_to_the_page_and_the_next_page_tries_again():
    tries = []

    def each():
        tries.append(1)
        if len(tries) == 1:
            raise KeyError("broken")
        yield YardLine("a", "A", 1, None, None)

    passes = Passes()
    with pytest.raises(KeyError):
        passes.lines(each, "", 5.0)
    assert len(passes.lines(each, "", 5.0)[0]) == 1


def test_what_the_list_goes_by_changes_with_every_entry_and_not_with_a_look(book):
    before = book.newest_entries()
    book.yards()
    assert book.newest_entries() == before
    book.give_calendar("california-foothills", [book.stand_of_yards()[0].key])
    after = book.newest_entries()
    assert after != before
    book.edit_figure("bread.cells_per_deep_frame", 6000, 6500, 7000, "our own combs")
    assert book.newest_entries() not in (before, after)
