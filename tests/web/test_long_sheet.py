"""The sheets of a great many hives wait beside a page that can be left, and are there at once afterwards."""

from __future__ import annotations

import threading

import pytest

from breadline.jobs import check_group_paper
from breadline.language import speaking
from breadline.web.pages import working
from tests.sheets.read_back import read, words
from web.test_check_group_page import client, locked  # noqa: F401  # fixtures


@pytest.fixture
def slowly(monkeypatch):
    """A sheet that is laid out once it is let; how often it was."""
    real, let, there, often = check_group_paper.sheet, threading.Event(), threading.Event(), []

    def sheet(*asked):
        often.append(asked[1])
        there.set()
        assert let.wait(60)
        return real(*asked)

    monkeypatch.setattr(check_group_paper, "sheet", sheet)
    monkeypatch.setattr(check_group_paper, "LONG", 2)
    monkeypatch.setattr(working, "WAIT_S", 0.05)
    monkeypatch.setattr(working, "LEAVING_S", 0.05)
    yield let, there, often
    let.set()


def test_a_long_sheet_says_that_it_is_laid_out_and_is_kept(client, locked, slowly, monkeypatch):  # noqa: F811
    let, _, often = slowly
    way = f"{locked}/paper/feeding.pdf?language=es"
    page = client.get(way)
    assert "hives is being laid out." not in page.text
    assert "Se está preparando una hoja de 40 colmenas." in page.text
    let.set()
    monkeypatch.setattr(working, "WAIT_S", 60)
    made = client.get(page.url)
    assert made.headers["content-type"] == "application/pdf"
    with speaking("es"):
        assert "alimento proteico" in words(made.content)
    assert client.get(way).content == made.content
    assert often == ["feeding"], "going back lays nothing out again"
    assert "protein feed" in words(client.get(f"{locked}/paper/feeding.pdf").content)
    assert len(often) == 2


def test_a_long_sheet_that_is_left_is_not_kept(client, locked, slowly, monkeypatch):  # noqa: F811
    let, there, often = slowly
    page = client.get(f"{locked}/paper/scraping.pdf")
    assert there.wait(20)
    one = client.app.state.besides.kept()[-1]
    assert client.post(f"{page.url.path}/leave").url.path == "/"
    let.set()
    assert one.done(60)
    assert one.came is None
    monkeypatch.setattr(working, "WAIT_S", 60)
    again = client.get(f"{locked}/paper/scraping.pdf")
    assert len(read(again.content).pages) >= 1
    assert often == ["scraping", "scraping"]
