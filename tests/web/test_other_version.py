"""A form of a page that an earlier version made writes nothing, and what was typed is shown. All invented."""

from __future__ import annotations

import re
import sqlite3
from datetime import date
from html import unescape
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from breadline.jobs.book import Book
from breadline.web import form_fields
from breadline.web.app import create_app
from breadline.web.own_fields import MARK
from house import tree
from web.crawl import HERE, routes
from web.form_names import forms_of

TODAY = date(2026, 1, 20)
NEW = {"name": "Hazel Bank", "colonies": "12", "latitude": "33.9", "longitude": "-83.6", "country": "us",
       "aim": "splits", "aim_on": "2026-03-25", "aim_frames": "8", "kept_for": "trade"}  # fmt: skip


@pytest.fixture
def path(tmp_path):
    Book(tmp_path / "book.sqlite", TODAY).open_operation("Sorrel Bend Bees (invented)")
    return tmp_path / "book.sqlite"


@pytest.fixture
def client(path):
    app = create_app(path, lambda p: Book(p, TODAY), lambda: TODAY)
    return TestClient(app, base_url=HERE, headers={"origin": HERE}, follow_redirects=False)


def all_of(path: Path) -> list[str]:
    """Everything that stands in a book."""
    with sqlite3.connect(path) as there:
        return list(there.iterdump())


def mark_in(client: TestClient, address: str) -> str:
    found = re.search(rf'name="{MARK}" value="(\w+)"', client.get(address).text)
    assert found is not None
    return found[1]


def test_a_form_as_it_is_now_is_taken_with_its_mark_and_without(client):
    assert client.post("/yards/new", data=NEW | {MARK: mark_in(client, "/yards/new")}).status_code == 303
    assert client.post("/yards/new", data=NEW | {"name": "Alder Flat"}).status_code == 303
    yards = client.get("/").text
    assert "Hazel Bank" in yards
    assert "Alder Flat" in yards


def test_a_field_that_is_called_otherwise_now_is_not_passed_over(client, path):
    before = all_of(path)
    sent = client.post("/yards/new", data=NEW | {"hives_in_reach": "140 <b>"})
    assert sent.status_code == 409
    assert "140 &lt;b&gt;" in sent.text
    assert "hives_in_reach" in sent.text
    assert "Hazel Bank" in sent.text
    assert 'href="/yards/new"' in sent.text
    assert all_of(path) == before


def test_a_page_whose_form_has_a_field_more_today_is_not_taken(client, path, monkeypatch):
    mark, before = mark_in(client, "/yards/new"), all_of(path)
    one_more = {**form_fields.SENT, "/yards/new": form_fields.SENT["/yards/new"] + " fenced"}
    monkeypatch.setattr(form_fields, "SENT", one_more)
    assert mark_in(client, "/yards/new") != mark
    sent = client.post("/yards/new", data=NEW | {MARK: mark})
    assert sent.status_code == 409
    assert "Hazel Bank" in sent.text
    assert all_of(path) == before
    assert mark_in(client, "/language") == form_fields.mark(
        "/language"
    )  # a form that did not change is as it was


@pytest.mark.parametrize(
    ("language", "said"),
    [("en", "Nothing was written down."), ("es", "No se anotó nada.")],
)
def test_it_is_said_in_the_language_of_the_reader(client, language, said):
    sent = client.post(f"/yards/new?language={language}", data=NEW | {"hives_in_reach": "140"})
    assert sent.status_code == 409
    assert said in sent.text


def test_the_way_back_leads_to_the_page_that_the_form_stood_on(client):
    from_there = {"referer": f"{HERE}/yards/new?language=es"}
    sent = client.post("/yards/new", data={"x": "1"}, headers=from_there)
    assert 'href="/yards/new?language=es"' in sent.text
    elsewhere = client.post("/yards/new", data={"x": "1"}, headers={"referer": "http://other.example/a"})
    assert 'href="/yards/new"' in elsewhere.text
    assert "other.example" not in elsewhere.text
    only_sent_to = client.post("/feed/file", data={"x": "1"}, headers={"referer": f"{HERE}/weather/bloom"})
    assert 'href="/feed"' in only_sent_to.text


def test_a_question_with_a_field_that_nobody_reads_is_not_answered(client):
    sent = client.get("/straight-answer", params={"asked": "yes", "where": "34", "pollen_seen": "much"})
    assert sent.status_code == 409
    assert "pollen_seen" in sent.text
    assert "much" in sent.text
    assert unescape(sent.text).count("/straight-answer?asked=yes&where=34") == 1  # what is still known


def test_an_address_is_not_said_to_be_a_form_that_was_to_be_written(client):
    said = client.get("/figures?find=pollen&from=letter").text
    assert "This address asks for what no page here answers" in said
    assert "Nothing was written down" not in said
    assert 'href="/figures?find=pollen"' in said


def test_records_of_a_phone_are_no_form_whatever_they_are_called(client):
    as_form = {"content-type": "application/x-www-form-urlencoded"}
    for body in (b"", b"{}", b"a=1"):
        assert client.post("/field/send", content=body, headers=as_form).status_code == 422


def test_where_a_page_came_from_may_be_no_address(client):
    refused = client.post("/yards/new", data=NEW | {"gone": "1"}, headers={"referer": "http://["})
    assert refused.status_code == 409
    assert 'href="/yards/new"' in refused.text


def test_a_script_is_told_in_a_piece_and_the_page_keeps_what_was_typed(client):
    sent = client.post("/feed/look", data={"part-0-weight": "3"}, headers={"hx-request": "true"})
    assert sent.status_code == 200
    assert 'role="alert"' in sent.text
    assert "<html" not in sent.text


def test_a_file_is_named_and_a_name_that_came_twice_is_shown_twice(client, path):
    before = all_of(path)
    sent = client.post("/weather", data={"yard": ["a1", "b2"], "years": "9"},
                       files={"file": ("dry creek.csv", b"date,high\n")})  # fmt: skip
    assert sent.status_code == 409
    assert "dry creek.csv" in sent.text
    assert "a1" in sent.text
    assert "b2" in sent.text
    assert all_of(path) == before


def test_every_path_that_takes_a_form_stands_in_the_table(client):
    takes = {one.path for one in routes() if "POST" in one.methods}
    assert {*form_fields.SENT} <= takes
    for one in takes - {"/field/send"}:  # what a phone sends is no form
        address = re.sub(r"\{number\}", "1", one)
        address = re.sub(r"\{[^}]*\}", "none", address)
        sent = client.post(address, data={"nobody_reads_it": "a word of mine"})
        assert sent.status_code == 409, one
        assert "a word of mine" in sent.text, one


def test_lines_and_rows_are_known_however_many_there_are():
    known = {"tag-0", "tag-1203", "frames-12", "note-3", "listed-7", "step"}
    assert form_fields.unknown(form_fields.SENT, "/field/keying/{yard_id}", known) == set()
    strange = {"tag-", "tag-x", "frame-12", "tag-1 "}
    assert form_fields.unknown(form_fields.SENT, "/field/keying/{yard_id}", strange) == strange


def test_every_form_of_a_page_has_its_mark(client):
    forms = [form for method, _, form in forms_of(client.get("/language").text) if method == "post"]
    assert len(forms) == 3
    assert {form.stands[MARK] for form in forms} == {form_fields.mark("/language")}


def test_no_name_of_the_table_is_one_that_nothing_has():
    there = [one for one in (tree.ROOT / "src" / "breadline").rglob("*") if one.suffix in (".html", ".py")]
    text = "\n".join(one.read_text("utf-8") for one in there if one.name != "form_fields.py")
    every = {
        name
        for table in (form_fields.SENT, form_fields.ASKED)
        for it in table.values()
        for name in it.split()
    }
    made = " ".join((form_fields._ROUNDS, form_fields._KEYED, form_fields._CONTENTS))  # from the program
    for name in sorted(every - {*made.split()}):
        whole = ".{1,12}".join(re.escape(part) for part in re.split(r"[#*]", name) if part)
        last = re.escape(re.sub(r"^.*#-|-#$", "", name).replace("_pct", "").replace("_mg", ""))
        assert re.search(rf'"{whole}|{whole}"|"{last}(_pct|_mg)?"', text), name
