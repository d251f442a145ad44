"""The sheets of a great many hives wait beside a page that can be left, and are there at once afterwards."""

from __future__ import annotations

import re
import threading
from datetime import date

import pytest

from breadline.jobs import check_group_paper
from breadline.jobs.field_paper import FieldPaper
from breadline.language import speaking
from breadline.sheets import printed
from breadline.web.pages import working
from tests.sheets.read_back import read, words
from web.test_check_group_page import client, locked  # noqa: F401  # fixtures
from web.test_field_keying import client as keying  # noqa: F401  # a fixture

LONG_LAYOUT = b'#set document(title: "Long")\n#for i in range(20000) [ Hive #i stands here. #parbreak() ]'


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
    assert re.search(r"40 colmenas\. \d+ s so far\.", page.text), "a number that moves"
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


@pytest.mark.parametrize(("name", "way"), [("tally", "work=look&paper=a4"), ("tags", "labels=a4_21")])
def test_paper_of_a_yard_waits_on_a_page_too(keying, monkeypatch, name, way):  # noqa: F811
    let, often, real = threading.Event(), [], getattr(FieldPaper, name)

    def slowly(*asked):
        often.append(name)
        assert let.wait(60)
        return real(*asked)

    monkeypatch.setattr(FieldPaper, name, slowly)
    monkeypatch.setattr(working, "WAIT_S", 0.05)
    address = f"/field/{name}/{keying.yard}.pdf?{way}"
    page = keying.get(address)
    assert re.search(r"The sheet is being laid out\. \d+ s so far\.", page.text)
    let.set()
    monkeypatch.setattr(working, "WAIT_S", 60)
    made = keying.get(page.url)
    assert "A3" in words(made.content)
    assert keying.get(address).content == made.content
    assert often == [name], "going back lays nothing out again"
    keying.book.place_hives(keying.yard, [("A1", ""), ("A2", ""), ("A3", ""), ("B77", "")])
    assert "B77" in words(keying.get(address).content), "the book has changed"


def test_another_page_is_answered_while_a_sheet_is_laid_out(keying, monkeypatch):  # noqa: F811
    """The layout leaves the rest of the program its turn: a page asked for meanwhile is there before it."""
    began, over = threading.Event(), threading.Event()
    monkeypatch.setattr(printed, "_with_what_it_follows", lambda _: LONG_LAYOUT)
    assert keying.get("/field/questions").status_code == 200  # what is read once is read

    def lay_out():
        began.set()
        printed.printed("long.typ", {}, date(2026, 8, 5))
        over.set()

    one = threading.Thread(target=lay_out)
    one.start()
    assert began.wait(20)
    assert not over.wait(0.3)  # typst has it by now
    answered = keying.get("/field/questions").status_code
    still = not over.is_set()
    one.join(120)
    assert (answered, still, over.is_set()) == (200, True, True)
