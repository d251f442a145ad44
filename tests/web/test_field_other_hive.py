"""A question answered with another hive: the page shows what stands there first. All invented."""

from __future__ import annotations

import json
import re
from datetime import timedelta
from uuid import UUID

import pytest
from sqlalchemy import select

from breadline.records import colonies
from breadline.records.append_only import current
from breadline.records.engine import looking, open_book
from breadline.records.field_tables import FieldReading
from breadline.records.tables import Reading, Visit
from web.test_field_entries import frames
from web.test_field_keying import client, kept
from web.test_field_page import NOW, batch

__all__ = ["client"]
PAGE = "/field/questions"


def waiting(client) -> None:
    """A1 with 7.5 frames, A2 with 8; another phone has A1 with 3, which is asked about."""
    entries = {"tag": "A1", "seen": frames(7.5)}, {"tag": "A2", "seen": frames(8.0)}
    client.post("/field/send", content=batch(client.yard, *entries))
    client.post("/field/send", content=batch(client.yard, {"tag": "A1", "seen": frames(3.0)}, phone="crew 2"))


def word_for(client, tag: str) -> dict[str, str]:
    """The form of the only question, with a hive chosen."""
    (question,) = client.book.questions()
    hive = next(key for key, name in question.hives if name == tag)
    return {"entry": question.id, "hive": hive, "because": "wrong lid", "take": "yes"}


@pytest.mark.parametrize(
    ("spoken", "says"),
    [
        (
            "en",
            (
                "At that hive there stands for that day",
                "bees 8 frames",
                "Take this one in its place",
                "in the book, given to hive A2",
            ),
        ),
        (
            "es",
            (
                "En esa colmena consta para ese día",
                "abejas 8 cuadros",
                "Tomar esta en su lugar",
                "en el libro, dada a la colmena A2",
            ),
        ),
    ],
)
def test_what_stands_at_the_named_hive_is_shown_before_it_goes(client, spoken, says):
    waiting(client)
    typed = word_for(client, "A2")
    shown = client.post(PAGE, data=typed, headers={"cookie": f"language={spoken}"})
    assert shown.status_code == 422
    assert all(one in shown.text for one in says[:3])
    assert f'value="{typed["hive"]}" selected' in shown.text, "the hive stays as it was chosen"
    assert 'value="wrong lid"' in shown.text
    assert shown.text.count(typed["entry"]) == 1, "it is asked once"
    assert kept(client) == [("frames_of_bees", 7.5), ("frames_of_bees", 8.0)]
    keys = re.search(r'name="shown" value="([^"]+)"', shown.text)
    assert keys is not None
    done = client.post(PAGE, data=typed | {"shown": keys[1]}, follow_redirects=False)
    assert done.status_code == 303
    assert kept(client) == [("frames_of_bees", 3.0), ("frames_of_bees", 7.5)]
    listed = client.get(f"/field/entries/{client.yard}", headers={"cookie": f"language={spoken}"}).text
    assert listed.count(says[3]) == 1, "whose it is now"


def test_kept_what_stands_there_the_entry_is_set_aside_whole(client):
    waiting(client)
    typed = word_for(client, "A2")
    keys = re.search(r'name="shown" value="([^"]+)"', client.post(PAGE, data=typed).text)
    assert keys is not None
    done = client.post(PAGE, data=typed | {"shown": keys[1], "take": "no"}, follow_redirects=False)
    assert done.status_code == 303
    assert kept(client) == [("frames_of_bees", 7.5), ("frames_of_bees", 8.0)]
    assert client.book.questions() == ()


def test_keys_of_another_hive_are_none_of_this_one(client):
    waiting(client)
    typed = word_for(client, "A2")
    keys = re.search(r'name="shown" value="([^"]+)"', client.post(PAGE, data=typed).text)
    assert keys is not None
    client.post("/field/send", content=batch(client.yard, {"tag": "A3", "seen": frames(9.0)}))
    other = client.post(PAGE, data=word_for(client, "A3") | {"shown": keys[1]})
    assert other.status_code == 422
    assert "bees 9 frames" in other.text
    assert kept(client) == [("frames_of_bees", one) for one in (7.5, 8.0, 9.0)]


def test_another_day_and_another_hive_are_both_as_they_were_said(client):
    """The hive that was named was forgotten where nothing else was asked of the other day."""
    clock = {"ahead": 0, "met": (NOW - timedelta(days=3)).isoformat()}
    told = {"tag": "A1", "seen": frames(3.0), "at": "2026-01-01T10:00:00+01:00", "clock": clock}
    client.post("/field/send", content=batch(client.yard, told))
    (question,) = client.book.questions()
    assert question.asks_day
    day = (NOW - timedelta(days=2)).date()
    typed = word_for(client, "A2") | {"was_on": question.on, "on": day.isoformat()}
    assert client.post(PAGE, data=typed, follow_redirects=False).status_code == 303
    assert kept(client) == [("frames_of_bees", 3.0)]
    with looking(open_book(client.path)) as session:
        links = set(session.scalars(select(FieldReading.reading_id)))
        (reading,) = session.scalars(current(Reading).where(Reading.id.in_(links)))
        visit = session.get_one(Visit, reading.visit_id)
        hives = {one.id: one.tag for one in colonies.in_rows(session, UUID(client.yard))}
    assert (hives[reading.colony_id], visit.on) == ("A2", day)


def asked_on_page(client, name: str) -> str:
    """A hidden field of the page, whose first is wanted."""
    found = re.search(rf'name="{name}" value="([^"]+)"', client.get(PAGE).text)
    assert found is not None
    return found[1]


@pytest.mark.parametrize("together", [False, True])
def test_what_changed_since_the_page_was_opened_is_shown_before_it_goes(client, together):
    first = batch(client.yard, {"tag": "A1", "seen": frames(7.5)}, {"tag": "A2", "seen": frames(8.0)})
    client.post("/field/send", content=first)
    doubts = [{"tag": tag, "seen": frames(3.0)} for tag in ("A1", "A2")][: 1 + together]
    client.post("/field/send", content=batch(client.yard, *doubts, phone="crew 2"))
    typed = {"take": "yes", "because": ""}
    if together:
        address, typed = f"{PAGE}/together", typed | {"entries": asked_on_page(client, "entries")}
    else:
        address = PAGE
        typed |= {"entry": asked_on_page(client, "entry"), "asked": asked_on_page(client, "asked")}
    mends = json.loads(first)["records"][0]["id"]
    mended = batch(client.yard, {"tag": "A1", "seen": frames(9.0), "mends": mends})
    assert client.post("/field/send", content=mended).json()["answers"][0]["answer"] == "stored"
    done = client.post(address, data=typed, follow_redirects=False)
    assert done.status_code == 422
    assert "changed since the page was opened" in done.text
    assert "bees 9 frames" in done.text
    assert kept(client) == [("frames_of_bees", 8.0), ("frames_of_bees", 9.0)]


def test_one_word_on_several_takes_nothing_unseen(client):
    waiting(client)
    queen, other = {"queen_status": {"word": "eggs"}}, {"queen_status": {"word": "seen"}}
    client.post("/field/send", content=batch(client.yard, {"tag": "A1", "seen": queen}, phone="crew 3"))
    both = {"tag": "A2", "seen": frames(4.0)}, {"tag": "A1", "seen": frames(3.0) | other}
    client.post("/field/send", content=batch(client.yard, *both, phone="crew 4"))
    keys = " ".join(one.id for one in client.book.questions())
    done = client.post(f"{PAGE}/together", data={"entries": keys, "take": "yes", "because": ""})
    assert done.status_code == 422
    assert "hive A1: nothing is written down yet" in done.text
    assert "bees 4 frames" in done.text, "and none of them is decided"
    assert len(client.book.questions()) == 3
