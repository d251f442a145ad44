"""Looking through what came from phones and sheets, and taking back what was wrong. All invented."""

from __future__ import annotations

import json
import re
from datetime import date
from uuid import UUID

import pytest

from breadline.jobs.field_entries import EntryBook
from breadline.records import readings, yard_rows
from breadline.records.engine import open_book, writing
from breadline.records.readings import Look, Seen
from web.test_field_keying import FILLED, asked, client, fields, kept, sent
from web.test_field_page import NOW, batch

__all__ = ["client"]


def test_a_wrong_entry_is_taken_back_on_the_laptop_with_its_reason(client):
    right = {"tag": "A2", "seen": {"patty_left": {"word": "none"}}}
    client.post("/field/send", content=batch(client.yard, {"spoken": "robbed"}, right))
    listed = client.get(f"/field/entries/{client.yard}").text
    assert "2 entries of" in listed
    assert "left over some; “robbed”" in listed
    form = re.search(
        r'name="entry" value="([^"]+)".*?name="key" value="([^"]+)".*?name="on" value="([^"]+)"', listed
    )
    entry, key, on = form.groups()
    typed = {"entry": entry, "key": key, "on": on, "because": " "}
    refused = client.post(f"/field/entries/{client.yard}", data=typed)
    assert refused.status_code == 422
    assert "no reason is given" in refused.text
    for _ in range(2):  # a double click
        done = client.post(f"/field/entries/{client.yard}", data=typed | {"because": "it was hive A3"})
        assert "taken back, it was hive A3" in done.text
    assert kept(client) == [("patty_left", "none")]
    assert listed.count("Take back what") == 2
    assert done.text.count("Take back what") == 1, "what was taken back is not offered again"
    gone = client.post(f"/field/entries/{client.yard}", data=typed | {"entry": "A1", "because": "x"})
    assert gone.status_code == 422


def frames(value):
    return {"frames_of_bees": {"value": value, "unit": "frames", "definition": "one_layer"}}


@pytest.mark.parametrize(
    ("spoken", "says"),
    [
        ("en", ("in the book, until you have", "It counts until you have answered", "taken back with it")),
        ("es", ("en el libro, hasta que usted", "Cuenta hasta que usted responda", "se anula con ella")),
    ],
)  # fmt: skip
def test_what_counts_until_its_mend_is_answered_for_says_so_and_goes_with_it(client, spoken, says):
    body = batch(client.yard, {"seen": frames(6.0)})
    client.post("/field/send", content=body)
    key = json.loads(body)["records"][0]["id"]
    mend = batch(client.yard, {"seen": frames(75.0), "mends": key})
    assert client.post("/field/send", content=mend).json()["answers"][0]["answer"] == "conflict"
    cookie = {"cookie": f"language={spoken}"}
    listed = client.get(f"/field/entries/{client.yard}", headers=cookie).text
    asked = client.get("/field/questions", headers=cookie).text
    assert says[0] in listed
    assert says[1] in asked
    assert listed.count(says[2]) == 1, "with the mend alone"
    entry = json.loads(mend)["records"][0]["id"]
    form = re.search(rf'value="{entry}"><input type="hidden" name="key" value="([^"]+)"', listed)
    typed = {"entry": entry, "key": form[1], "on": NOW.date().isoformat(), "because": "hive A2"}
    assert client.post(f"/field/entries/{client.yard}", data=typed).text.count("taken back, hive A2") == 2
    assert kept(client) == []


def test_what_was_taken_back_without_a_word_of_why_is_said_once(client):
    body = batch(client.yard, {"spoken": "mine"})
    client.post("/field/send", content=body)
    gone = {"seen": {}, "withdraws": json.loads(body)["records"][0]["id"]}
    client.post("/field/send", content=batch(client.yard, gone))
    listed = client.get(f"/field/entries/{client.yard}").text
    assert len(re.findall("taken back(?! no longer)", listed)) == 1
    cookie = {"cookie": "language=es"}
    assert "taken back" not in client.get(f"/field/entries/{client.yard}", headers=cookie).text


@pytest.mark.parametrize("phone", ["laptop", "paper"])
def test_a_phone_cannot_say_that_it_is_the_laptop(client, phone):
    body = batch(client.yard, {"spoken": "mine"})
    key = json.loads(body)["records"][0]["id"]
    client.post("/field/send", content=body)
    gone = {"seen": {}, "withdraws": key, "because": "not mine"}
    answer = client.post("/field/send", content=batch(client.yard, gone, phone=phone)).json()["answers"][0]
    assert answer["answer"] == "conflict"
    assert len(kept(client)) == 2


def test_another_day_is_shown_and_a_day_that_is_none_is_said(client):
    assert "Nothing was entered here yet" in client.get(f"/field/entries/{client.yard}").text
    day = date(2026, 1, 2).isoformat()
    assert "Nothing was entered on" in client.get(f"/field/entries/{client.yard}?on={day}").text
    assert client.get(f"/field/entries/{client.yard}?on=yesterday").status_code == 422


def test_a_row_blanked_after_it_was_written_is_taken_back_once(client):
    typed = asked(client) | FILLED
    assert sent(client, typed, "write").status_code == 303
    cleared = typed | {key: "" for key in FILLED if key.endswith("-0")}
    shown = sent(client, cleared, "check").text
    assert "taken back: its row is blank now" in shown
    assert len(kept(client)) == 6, "nothing is written before the second button"
    again = fields(shown)
    for place in ("back=1", "back=0"):
        assert place in sent(client, again, "write").headers["location"]
    assert kept(client) == [("frames_of_bees", 6.0), ("queen_status", "eggs")]
    assert "1 taken back" in client.get(f"/field/keying/{client.yard}?stored=0&back=1").text


def test_a_row_that_was_blanked_and_filled_again_is_written_anew(client):
    typed = asked(client) | {"frames-0": "7"}
    for frames in ("7", "", "8", "7"):
        assert sent(client, typed | {"frames-0": frames, "frames-1": "5"}, "write").status_code == 303
    assert kept(client) == [("frames_of_bees", 5.0), ("frames_of_bees", 7.0)], "back to the first number too"
    assert client.book.questions() == ()


def test_what_a_person_left_out_of_an_entry_is_no_longer_said_to_be_in_the_book(client):
    """A sheet told what the yard was fed on average; it was kept, and the phone's feed counts as nothing."""
    on = NOW.date()
    with writing(open_book(client.path)) as session:
        look = Look(on, note=f"{yard_rows.FROM_SHEET}may.csv")
        visit = readings.add_visit(session, UUID(client.yard), look)
        readings.add(session, visit.id, Seen("feed_given", 200.0, "g/colony", on=on))
    fed = {"seen": {"put_on": {"value": 454.0, "unit": "g"}, "patty_left": {"word": "some"}}}
    unfed = {"tag": "A2", "seen": {"patty_left": {"word": "none"}}}
    client.post("/field/send", content=batch(client.yard, fed, unfed))
    (question,) = client.book.questions()
    assert question.feed_alone
    client.book.decide(question.id, False, "", "weighed it")
    lines = {one.tag: one.state for one in EntryBook(client.path, on).entry_day(client.yard).lines}
    assert lines == {"A1": "in the book, all but put on 1 lb, which counts as nothing", "A2": "in the book"}
    page = client.get(f"/field/entries/{client.yard}").text
    assert "all but put on 1 lb, which counts as nothing, weighed it" in page


def test_a_hive_that_was_called_dead_by_mistake_can_be_chosen_and_stands_again(client):
    address = f"/field/hives/{client.yard}"

    def chosen(tag):
        html = client.get(address).text
        select = re.search(r'<select name="hive">(.*?)</select>', html, re.S)[1]
        return {name: key for key, name in re.findall(r'value="([^"]+)">([^<]+)<', select)}[tag]

    said = {"hive": chosen("A2"), "into": "", "on": ""}
    client.post(f"/field/ended/{client.yard}", data=said | {"standing": "dead"})
    assert "No longer there" in client.get(address).text
    back = client.post(
        f"/field/ended/{client.yard}", data=said | {"hive": chosen("A2"), "standing": "stands"}
    )
    assert back.status_code == 200
    assert "No longer there" not in back.text
