"""Only this machine, only our own forms, only short bodies; and nothing from elsewhere on a page."""

from __future__ import annotations

import asyncio
import re
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest
from markupsafe import escape

from breadline.jobs.book import YardLine
from breadline.web.app import create_app
from web.conftest import HERE

FORM = {"low": "0.1", "typical": "0.2", "high": "0.3", "why": "our own comb"}
PATHS = ["/", "/yards/tarweed", "/figures", "/straight-answer"]
ENGLISH = {"This form", "Breadline answers", "Too long:"}
CHANGE = "/figures/bread.g_per_cell"


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1.evil.example", "", "192.168.1.5:8000"])
def test_another_host_is_refused(client, host):
    answer = client.get("/", headers={"host": host})
    assert answer.status_code == 421
    assert "Tarweed" not in answer.text


@pytest.mark.parametrize(("spoken", "begins"), [("en", "This form did not"), ("es", "Este formulario no")])
def test_who_is_refused_reads_why_in_their_language(client, spoken, begins):
    theirs = {"accept-language": spoken}
    form = client.post(CHANGE, data=FORM, headers=theirs | {"origin": "http://evil.example"}).text
    host = client.get("/", headers=theirs | {"host": "evil.example"}).text
    proxy = client.get("/", headers=theirs | {"forwarded": "for=203.0.113.9"}).text
    long = client.post(CHANGE, content="why=" + "x" * 70_000, headers=theirs).text
    assert form.startswith(begins)
    assert "64 KiB" in long
    english = [" ".join(said.split()[:2]) in ENGLISH for said in (form, host, proxy, long)]
    assert english == [spoken == "en"] * 4


@pytest.mark.parametrize("host", ["127.0.0.1:8000", "localhost:9", "[::1]:8000"])
def test_this_machine_is_answered(client, host):
    assert client.get("/", headers={"host": host}).status_code == 200


@pytest.mark.parametrize(
    "origin", ["http://evil.example", "null", "http://127.0.0.1:9999", "https://127.0.0.1:8000"]
)
def test_a_form_from_another_page_changes_nothing(client, book, origin):
    assert client.post(CHANGE, data=FORM, headers={"origin": origin}).status_code == 403
    assert not any(figure.edited for figure in book.figures())


def test_a_form_that_cannot_say_where_it_is_from_changes_nothing(client, book):
    del client.headers["origin"]
    assert client.post(CHANGE, data=FORM).status_code == 403
    assert client.post(CHANGE, data=FORM, headers={"sec-fetch-site": "cross-site"}).status_code == 403
    assert not any(figure.edited for figure in book.figures())
    answer = client.post(CHANGE, data=FORM, headers={"sec-fetch-site": "same-origin"}, follow_redirects=False)
    assert answer.status_code == 303


def test_a_long_body_is_refused_whether_it_says_its_length_or_not(client, book):
    long = "why=" + "x" * 70_000
    kind = {"content-type": "application/x-www-form-urlencoded"}
    assert client.post(CHANGE, content=long, headers=kind).status_code == 413
    parts = (part.encode() for part in [long[i : i + 9000] for i in range(0, len(long), 9000)])
    assert client.post(CHANGE, content=parts, headers=kind).status_code == 413
    assert not any(figure.edited for figure in book.figures())


def test_half_a_form_whose_sender_left_changes_nothing(book):
    """A body cut short, and then the connection is gone: the server must not take it for the whole."""
    form = b"low=0.1&typical=0.2&high=0.3&why=weighed"
    told = [{"type": "http.request", "body": form, "more_body": True}, {"type": "http.disconnect"}]
    kind = b"application/x-www-form-urlencoded"
    headers = {b"host": b"127.0.0.1:8000", b"origin": HERE.encode(), b"content-type": kind}
    scope = {
        "type": "http", "method": "POST", "path": CHANGE, "raw_path": CHANGE.encode(), "query_string": b"",
        "root_path": "", "scheme": "http", "http_version": "1.1", "server": ("127.0.0.1", 8000),
        "client": ("127.0.0.1", 1), "headers": list(headers.items()),
    }  # fmt: skip
    sent = []

    async def receive():
        return told.pop(0)

    async def send(message):
        sent.append(message)

    app = create_app(Path("pretend.sqlite"), book.opened)
    # In a thread of its own: a browser of another test may have left its loop running in this one.
    with ThreadPoolExecutor(1) as apart:
        apart.submit(asyncio.run, app(scope, receive, send)).result()
    assert sent == []
    assert not any(figure.edited for figure in book.figures())


@pytest.mark.parametrize("path", ["/static/../app.py", "/static/%2e%2e/app.py", "/static/..%2f../app.py"])
def test_no_path_leads_out_of_the_static_files(client, path):
    assert client.get(path).status_code == 404


@pytest.mark.parametrize(
    "path", ["/", "/yards/tarweed", "/figures", "/straight-answer", "/nowhere", "/static/mark.svg"]
)
def test_every_answer_carries_the_safe_headers(client, path):
    headers = client.get(path).headers
    policy = headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "script-src" not in policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["referrer-policy"] == "same-origin"


def test_our_own_fault_is_told_in_the_form_of_the_house_with_the_safe_headers(client, book, monkeypatch):
    monkeypatch.setattr(type(book), "yards", lambda self: 1 / 0)
    answer = client.get("/")
    assert answer.status_code == 500
    assert "Our fault" in answer.text
    assert "Please report it" in answer.text
    assert "default-src 'none'" in answer.headers["content-security-policy"]


@pytest.mark.parametrize(
    "path", ["/", "/yards/tarweed", "/figures", "/straight-answer", "/figures/bread.g_per_cell"]
)
def test_a_page_has_no_script_no_inline_style_and_no_foreign_address(client, path):
    text = client.get(path).text
    assert "<script" not in text
    assert not re.search(r"\son[a-z]+=", text)
    assert not re.search(r"<style|\sstyle=", text)
    own = {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xlink"}
    assert set(re.findall(r"https?://[^\"' <]+", text)) <= own


def test_a_name_with_markup_is_shown_as_text(client, book, monkeypatch):
    monkeypatch.setattr(type(book), "operation_name", "<b>Bees</b> & <i>Daughters</i>")
    text = client.get("/").text
    assert "&lt;b&gt;Bees&lt;/b&gt; &amp;" in text
    assert "<b>Bees" not in text


@pytest.mark.parametrize("name", ["<script>1</script>", '"><img src=x onerror=alert(1)>', "A & <b>B</b>"])
def test_the_name_of_a_yard_is_text_on_the_list_and_in_the_picture(client, book, monkeypatch, name):
    whole = book.season("tarweed")
    named = replace(whole, yard=replace(whole.yard, name=name, notes=(name,)))
    monkeypatch.setattr(type(book), "season", lambda self, key: named)
    monkeypatch.setattr(type(book), "yards", lambda self: [YardLine("tarweed", name, 1, named, None)])
    for path in ("/", "/yards/tarweed"):
        text = client.get(path).text
        assert escape(name) in text
        assert name not in text
        assert not re.search(r"<script|<img|<b>B<", text)


def test_what_was_typed_comes_back_as_text(client):
    typed = '"><script>alert(1)</script>'
    for answer in (
        client.get("/figures", params={"find": typed}),
        client.get("/straight-answer", params={"where": typed}),
        client.get(f"/yards/{typed}"),
        client.post(CHANGE, data=FORM | {"low": typed}),
    ):
        assert "<script" not in answer.text


def test_style_and_script_are_asked_for_again_after_an_upgrade_and_sent_only_where_they_changed(client):
    first = client.get("/static/breadline.css")
    assert first.status_code == 200
    assert first.headers["cache-control"] == "no-cache", "a browser guesses how long it may keep it else"
    same = {"if-none-match": first.headers["etag"]}
    assert client.get("/static/breadline.css", headers=same).status_code == 304
    assert client.get("/static/breadline.css", headers={"if-none-match": '"older"'}).status_code == 200
