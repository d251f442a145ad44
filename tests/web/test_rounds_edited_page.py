"""Rounds asked again with other prices, where the plan before said more than the form. All invented."""

from __future__ import annotations

import re
from functools import partial
from html import unescape
from urllib.parse import urlencode

from starlette.testclient import TestClient

from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.rounds import Way
from breadline.jobs.yard_file import read_yard
from breadline.web.app import create_app
from breadline.web.pages import rounds as pages
from web.conftest import HERE
from web.served import found
from web.test_evidence_page import plain
from web.test_rounds_page import FOLDER, TODAY


def sent(text: str) -> dict[str, str]:
    """What a browser sends of the form that asks for plans."""
    form = text[text.index('aria-label="Ask for plans"') :].partition("</form>")[0]
    typed = dict(re.findall(r'<input type="(?:text|hidden)" name="([^"]+)" value="([^"]*)"', form))
    for name, rest in re.findall(r'<select name="([^"]+)"[^>]*>(.*?)</select>', form, re.S):
        typed[name] = next(iter(re.findall(r'<option value="([^"]*)" selected', rest)), "")
    typed["file"] = re.findall(r'<textarea name="file"[^>]*>(.*?)</textarea>', form, re.S)[0]
    return {key: unescape(value) for key, value in typed.items()}


def test_prices_that_were_changed_are_asked_although_the_plan_file_says_more(tmp_path, monkeypatch):
    monkeypatch.setattr(pages, "Way", partial(Way, draws=20))
    path = tmp_path / "book.sqlite"
    book = Book(path, TODAY)
    book.open_operation("Sorrel Bend Bees (invented)")
    key = book.add_yard(read_yard(FOLDER / "yard.toml"), FIRST_YARD / "weather.csv")
    client = TestClient(create_app(path, lambda p: Book(p, TODAY)), base_url=HERE, headers={"origin": HERE})
    text = (FOLDER / "rounds.toml").read_text("utf-8")
    first = found(client, key, {"kind": "frames", "file": text})
    assert "at US$190" in plain(first.text)
    client.post(f"/rounds/{key}/choose", data={"asked": text, "at": "0"})
    form = sent(client.get(f"/rounds/{key}").text)
    assert (form["target.fee"], form["file"].strip()) == ("190", text.strip())
    edited = form | {"target.fee": "260", "work.wage": "33", "file": form["file"].replace("\n", "\r\n")}
    again = found(client, key, edited)
    assert "at US$260" in plain(again.text)
    assert "at US$190" not in plain(again.text)
    asked = unescape(re.findall(r'name="asked"[^>]*>([^<]*)</textarea>', again.text)[0])
    assert "box_lb = 40" in asked
    assert "wage = 33" in asked
    both = edited | {"file": form["file"].replace("fee = 190", "fee = 200")}
    told = client.get(f"/rounds/{key}/plans?{urlencode(both)}")
    assert told.status_code == 422
    assert "is 260 in its field and 200 in the plan file" in plain(told.text)
