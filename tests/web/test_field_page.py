"""The phone pages as the server gives them: shell, worker, yards, what is sent, questions. All invented."""

from __future__ import annotations

import html
import json
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from breadline.jobs.check_group_trial import Asked
from breadline.jobs.field_book import FieldBook
from breadline.jobs.field_clock import FEW_SECONDS
from breadline.jobs.field_entries import EntryBook
from breadline.jobs.trial_book import TrialsBook
from breadline.jobs.yard_file import read_yard
from breadline.knowledge.cautions import in_the_yard
from breadline.knowledge.shelf import load
from breadline.language import say, speaking
from breadline.need.words import day_and_year
from breadline.records import colonies
from breadline.records.engine import open_book, writing
from breadline.records.ids import new_id
from breadline.trial.classes import Lines
from breadline.trial.colonies import Became, Ended
from breadline.trial.design import CheckArm, Outcome
from breadline.web.app import create_app
from breadline.web.pages.field import SHELL
from web.conftest import HERE, Reading
from web.test_other_version import all_of

NOW = datetime.now(UTC)
AHEAD = NOW.date() + timedelta(days=60)
FIRST_YARD = Path(__file__).parents[2] / "examples" / "first-yard" / "yard.toml"


@pytest.fixture
def client(feed_book):
    app = create_app(feed_book, today=lambda: NOW.date())
    made = Reading(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)
    book = FieldBook(feed_book, NOW.date())
    book.add_yard(read_yard(FIRST_YARD))
    made.yard = book.yards_for_phones()["yards"][0]["id"]
    book.place_hives(made.yard, [("A1", "pallet 1"), ("A2", "")])
    made.path = feed_book
    return made


def batch(yard: str, *records: dict, phone: str = "one", now: datetime = NOW) -> bytes:
    told = [
        {"id": str(new_id()), "work": "round", "yard": yard, "tag": "A1", "at": NOW.isoformat(),
         "seen": {"patty_left": {"word": "some"}}} | one
        for one in records
    ]  # fmt: skip
    return json.dumps(
        {"shape": "breadline.field/1", "phone": phone, "now": now.isoformat(), "records": told}
    ).encode()


def test_every_part_of_the_shell_is_there_and_may_run(client):
    for address in SHELL:
        assert client.get(address).status_code == 200, address
    policy = client.get("/field/").headers["content-security-policy"]
    assert "script-src 'self'" in policy
    assert "unsafe" not in policy
    assert "worker-src 'self'" in policy
    worker = client.get("/field/worker.js")
    assert worker.headers["content-type"].startswith("text/javascript")
    assert client.get("/field/parts.json").json()["parts"] == list(SHELL)


@pytest.mark.parametrize("spoken", ["en", "es"])
def test_the_phone_brings_along_what_to_mind_with_whom_to_ask(client, spoken):
    shown = client.get("/field/", headers={"cookie": f"language={spoken}"}).text
    told = json.loads(re.search(r'id="care">(.*?)</script>', shown)[1])
    with speaking(spoken):
        assert [line for line, _ in told] == [say(one.line) for one in in_the_yard()]
        assert all(say(one.ask) in ask for (_, ask), one in zip(told, in_the_yard(), strict=True))
    assert len(told) == 4


def test_the_hives_come_in_walking_order(client):
    told = client.get("/field/yards.json").json()
    here = next(one for one in told["yards"] if one["id"] == client.yard)
    assert [one["tag"] for one in here["hives"]] == ["A1", "A2"]
    assert told["usual"] in dict(told["definitions"])


def test_each_meaning_of_a_frame_says_how_many_bees_this_book_counts_on_it(client):
    """Four definitions lie three quarters apart: nobody can choose between words alone."""
    shipped = load().below("frame_of_bees")
    told = dict(client.get("/field/yards.json").json()["definitions"])
    for figure in shipped:
        assert told[figure.key.split(".")[1]].startswith(f"{figure.span.typical:,.0f} bees: "), figure.key
    assert len(told) == len(shipped)
    FieldBook(client.path, NOW.date()).edit_figure(
        "frame_of_bees.full", 2600, 2600, 2600, "our own combs, weighed"
    )
    assert dict(client.get("/field/yards.json").json()["definitions"])["full"].startswith("2,600 bees: ")


def test_what_is_sent_is_answered_one_by_one(client):
    body = batch(client.yard, {}, {"tag": "Z9"}, {"work": "dance"})
    answers = client.post("/field/send", content=body).json()["answers"]
    assert [one["answer"] for one in answers] == ["stored", "conflict", "refused"]
    again = client.post("/field/send", content=body).json()["answers"]
    assert [one["answer"] for one in again] == ["duplicate", "conflict", "refused"]


@pytest.mark.parametrize("body", [b"", b"{", b"[]", b'{"shape": "other"}', b"\xff\xfe"])
def test_what_is_no_batch_is_refused_whole(client, body):
    answer = client.post("/field/send", content=body)
    assert answer.status_code == 422
    assert answer.json()["error"]["do"]


def test_a_question_is_shown_and_answered(client):
    client.post("/field/send", content=batch(client.yard, {}))
    client.post(
        "/field/send", content=batch(client.yard, {"seen": {"patty_left": {"word": "most"}}}, phone="two")
    )
    page = client.get("/field/questions").text
    assert "1 entry waits" in page
    assert "left over most" in page
    assert "left over some" in page
    entry = page.split('name="entry" value="')[1].split('"')[0]
    told = client.post(
        "/field/questions", data={"entry": entry, "take": "yes", "hive": "", "because": "looked"}
    )
    assert "Nothing waits" in told.text
    assert client.post("/field/questions", data={"entry": entry, "take": "yes"}).status_code == 422
    for mistyped in ({"entry": "A1"}, {"entry": entry, "hive": "A1"}, {}):
        refused = client.post("/field/questions", data={"take": "yes"} | mistyped)
        assert refused.status_code == 422
        assert "is no key" in refused.text


def test_a_question_names_who_entered_what_and_what_would_be_lost(client):
    bread = {"bread": {"value": 1.0, "unit": "frames"}, "patty_left": {"word": "some"}}
    now = datetime.now(UTC)
    one = {"at": now.isoformat()}
    client.post("/field/send", content=batch(client.yard, one | {"seen": bread, "by": "Wren"}, now=now))
    most = one | {"seen": {"patty_left": {"word": "most"}}, "by": "Finch"}
    client.post("/field/send", content=batch(client.yard, most, phone="two", now=now))
    page = client.get("/field/questions").text
    at = f"{now:%H:%M}"
    assert f"(Finch at {at})" in page
    assert f"(Wren at {at})" in page
    assert "Taking this one sets aside what the other one alone has: bread 1 frame." in page


def test_of_several_questions_at_one_word_each_says_who_entered_it_and_what_would_be_lost(client):
    seen = {"patty_left": {"word": "some"}}
    here = {"at": NOW.isoformat(), "by": "Wren"}
    bread = here | {"tag": "A2", "seen": seen | {"bread": {"value": 2.0, "unit": "frames"}}}
    spoken = here | {"seen": seen, "spoken": "robbed"}
    began = datetime.now(UTC) - timedelta(seconds=FEW_SECONDS)  # by so much a phone's clock is let be
    client.post("/field/send", content=batch(client.yard, spoken, bread))
    most = {"seen": {"patty_left": {"word": "most"}}, "by": "Finch", "at": NOW.isoformat()}
    client.post("/field/send", content=batch(client.yard, most, most | {"tag": "A2"}, phone="two"))
    page = client.get("/field/questions").text
    table = page.split('action="/field/questions/together"')[1].split("</form>")[0]
    rows = dict(re.findall(r'<th scope="row">(A\d)</th>(.*?)</tr>', table, re.S))
    assert rows.keys() == {"A1", "A2"}
    said = [
        at
        for row in rows.values()
        for who in ("Finch", "Wren")
        for at in re.findall(rf"\({who} at (.*?)\)", row)
    ]
    assert len(said) == 4
    minutes = (datetime.now(UTC) - began).seconds // 60 + 2
    assert set(said) <= {f"{began + timedelta(minutes=n):%H:%M}" for n in range(minutes)}, "by our clock"
    assert "Gone if this one is taken: “robbed”" in rows["A1"]
    assert "Gone if this one is taken: bread 2 frames" in rows["A2"]
    assert "of 2 hives: see their rows." in table


def test_of_numbers_that_are_so_at_one_word_what_stands_in_the_way_is_asked_next_and_said(client):
    six, large = ({"frames_of_bees": {"value": value, "unit": "frames"}} for value in (6.0, 75.0))
    client.post("/field/send", content=batch(client.yard, {"seen": six}))
    client.post("/field/send", content=batch(client.yard, {"seen": large}, {"seen": large, "tag": "A2"},
                                             phone="two"))  # fmt: skip
    page = client.get("/field/questions").text
    (entries,) = re.findall(r'name="entries" value="([^"]+)"', page)
    told = client.post("/field/questions/together", data={"entries": entries, "take": "yes"}).text
    assert "Written down. Of 1 entry something else is asked now." in told
    assert "A1 was entered on another phone" in told
    lines = EntryBook(client.path, NOW.date()).entry_day(client.yard, NOW.date()).lines
    assert sorted((one.tag, one.says, one.state) for one in lines) == [
        ("A1", "bees 6 frames", "in the book"), ("A1", "bees 75 frames", "waits for your word"),
        ("A2", "bees 75 frames", "in the book"),
    ]  # fmt: skip
    entry = page.split('name="entry" value="')[1].split('"')[0]
    done = client.post("/field/questions", data={"entry": entry, "take": "no"}).text
    assert "Written down.<" in done


def test_a_saved_file_is_taken_in_once(client):
    body = batch(client.yard, {}, {"tag": "A2"})
    first = client.post("/field/file", files={"file": ("visit.json", body)}).text
    assert "2 new" in first
    second = client.post("/field/file", files={"file": ("visit.json", body)}).text
    assert "2 already in the book" in second
    cut = client.post("/field/file", files={"file": ("visit.json", body[:-9])})
    assert cut.status_code == 422
    assert "cut short" in cut.text


def test_a_tag_that_is_not_listed_can_be_answered_new(client):
    client.post("/field/send", content=batch(client.yard, {"tag": "Z9"}))
    page = client.get("/field/questions").text
    assert '<option value="">Choose one</option><option value="new">Z9, a new hive' in page
    entry = page.split('name="entry" value="')[1].split('"')[0]
    assert client.post("/field/questions", data={"entry": entry, "take": "yes"}).status_code == 422
    told = client.post("/field/questions", data={"entry": entry, "take": "yes", "hive": "new"})
    assert "Nothing waits" in told.text
    assert ">3</a>" in told.text, "the yard has a third hive"


def test_a_hive_that_was_merged_earlier_that_day_is_asked_about(client):
    book = FieldBook(client.path, NOW.date())
    hives = {one.tag: str(one.id) for one in book.hives(client.yard)[1]}
    before = datetime.now(UTC)
    book.hive_ended(hives["A1"], "merged", hives["A2"])
    after = datetime.now(UTC)
    seen_before = batch(client.yard, {"at": before.isoformat(), "tag": "A1"}, now=after)
    assert client.post("/field/send", content=seen_before).json()["answers"][0]["answer"] == "stored"
    later = batch(client.yard, {"at": after.isoformat(), "tag": "A1"}, now=after)
    (answer,) = client.post("/field/send", content=later).json()["answers"]
    assert answer["answer"] == "conflict"
    assert "merged into A2" in answer["why"]


def test_what_became_of_a_hive_can_be_of_an_earlier_day(client):
    book = FieldBook(client.path, NOW.date())
    hives = {one.tag: str(one.id) for one in book.hives(client.yard)[1]}
    tuesday = NOW.date() - timedelta(days=6)
    form = {"hive": hives["A1"], "standing": "merged", "into": hives["A2"], "on": tuesday.isoformat()}
    assert client.post(f"/field/ended/{client.yard}", data=form).status_code == 200
    assert {one.tag: one.since for one in book.hives(client.yard)[1]}["A1"] == tuesday
    ahead = client.post(f"/field/ended/{client.yard}", data=form | {"on": "2999-01-01"})
    assert ahead.status_code == 422
    assert "lies ahead of today" in ahead.text


def locked_over(client) -> tuple[TrialsBook, str]:
    """The check groups of the book, one of them over its yard locked, and its key."""
    made = TrialsBook(client.path, NOW.date())
    asked = Asked("Spring", Outcome.FRAMES, CheckArm.SAME_CARE, Lines(0.9, 0.5), AHEAD, 3.0, 7)
    name = made.yard_sizes()[0][0]
    made_of = "hive,yard\n" + "".join(f"A{n},{name}\n" for n in range(1, 13))
    return made, made.lock(made.draw(made.listed(made_of), asked, NOW).key, NOW).key


@pytest.mark.parametrize("drawn", [False, True])
def test_what_became_of_a_hive_sent_twice_is_written_once(client, drawn):
    book = FieldBook(client.path, NOW.date())
    hives = {one.tag: str(one.id) for one in book.hives(client.yard)[1]}
    if drawn:
        locked_over(client)
    for form in ({"hive": hives["A1"], "standing": "dead"},
                 {"hive": hives["A1"], "standing": "merged", "into": hives["A2"]}):  # fmt: skip
        assert client.post(f"/field/ended/{client.yard}", data=form).status_code == 200
        once = all_of(client.path)
        assert client.post(f"/field/ended/{client.yard}", data=form).status_code == 200
        assert all_of(client.path) == once


def test_two_hives_of_one_tag_are_told_apart_in_a_question(client):
    book = FieldBook(client.path, NOW.date())
    hives = {one.tag: str(one.id) for one in book.hives(client.yard)[1]}
    book.hive_ended(hives["A1"], "dead", "")
    book.place_hives(client.yard, [("A1", "pallet 9"), ("A2", "")])
    yesterday = (NOW - timedelta(days=1)).isoformat()
    client.post("/field/send", content=batch(client.yard, {"at": yesterday}))
    page = client.get("/field/questions").text
    assert "which one is it?" in page
    assert f">A1, pallet 1, dead {NOW.date()}, hive 1 of this tag</option>" in page.replace("\n", "")
    assert ">A1, pallet 9, hive 2 of this tag</option>" in page
    assert ">A2</option>" in page


def test_the_hive_that_an_entry_was_made_for_is_offered_once(client):
    seen = {"frames_of_bees": {"value": 75.0, "unit": "frames"}}
    client.post("/field/send", content=batch(client.yard, {"seen": seen}))
    page = client.get("/field/questions").text
    assert re.findall("<option[^>]*>(A[^<]*)</option>", page) == [
        "A1, as entered", "A1, a new hive that is not listed yet", "A2",
    ]  # fmt: skip


def test_a_clock_that_leaves_the_day_open_is_answered_with_a_day(client):
    far = {"ahead": 0, "met": (NOW - timedelta(days=3)).isoformat()}
    client.post("/field/send", content=batch(client.yard, {"at": "2026-01-01T10:00:00+01:00", "clock": far}))
    page = client.get("/field/questions").text
    assert "of which day is it?" in page
    entry = page.split('name="entry" value="')[1].split('"')[0]
    told = {"entry": entry, "take": "yes", "was_on": "2026-01-01", "because": "I was there"}
    refused = client.post("/field/questions", data=told | {"on": "May"})
    assert (refused.status_code, "year-month-day" in refused.text) == (422, True)
    tomorrow = client.post("/field/questions", data=told | {"on": f"{NOW.date() + timedelta(days=1)}"})
    assert (tomorrow.status_code, "lies ahead of today" in tomorrow.text) == (422, True)
    assert "of which day is it?" in tomorrow.text
    on = (NOW - timedelta(days=2)).date()
    assert "Nothing waits" in client.post("/field/questions", data=told | {"on": f"{on}"}).text
    days = EntryBook(client.path, NOW.date()).entry_day(client.yard, on)
    assert [(one.tag, one.state) for one in days.lines] == [("A1", "in the book")]


def test_what_became_of_a_hive_goes_into_its_check_group_and_over_no_other_end(client):
    made, key = locked_over(client)
    hives = {one.tag: str(one.id) for one in FieldBook(client.path, NOW.date()).hives(client.yard)[1]}
    for standing in ("dead", "stands", "sold"):
        client.post(
            f"/field/ended/{client.yard}", data={"hive": hives["A1"], "standing": standing, "into": ""}
        )
    tags = {one.hive: one.tag for one in made.trial(key).trial.design.started}
    assert [(one.tag, one.became) for one in made.trial(key).trial.ended] == [(tags["A1"], Became.SOLD)]
    made.keep_ends(key, [Ended(tags["A2"], Became.ROBBED, 1.0, NOW.date())])
    refused = client.post(
        f"/field/ended/{client.yard}", data={"hive": hives["A2"], "standing": "dead", "into": ""}
    )
    assert refused.status_code == 422
    assert "Correct it on the page Check group" in refused.text
    assert [one.standing for one in FieldBook(client.path, NOW.date()).hives(client.yard)[1]] == [
        "sold",
        "stands",
    ]


@pytest.mark.parametrize("spoken", ["en", "es"])
@pytest.mark.parametrize("standing", ["dead", "merged", "sold", "moved"])
def test_an_entry_of_a_hive_that_is_gone_waits_on_its_pages_in_the_readers_words(client, standing, spoken):
    book = FieldBook(client.path, NOW.date())
    hives = {one.tag: one.id for one in book.hives(client.yard)[1]}
    since, before = NOW.date() - timedelta(days=6), {"cookie": f"language={spoken}"}
    with writing(open_book(client.path)) as session:
        into = hives["A2"] if standing == "merged" else None
        colonies.ended(session, hives["A1"], standing, since, into)
    sent = client.post("/field/send", content=batch(client.yard, {"tag": "A1"})).json()["answers"][0]
    assert sent["answer"] == "conflict"
    with speaking(spoken):
        gone = {
            "merged": say(
                "hive {tag} was merged into {into}{since}: is this {into}, or another hive?",
                tag="A1",
                into="A2",
                since=say(" since {day}", day=day_and_year(since)),
            )
        }.get(
            standing,
            say(
                "hive {tag} is written down as {standing}{since}: is this another hive?",
                tag="A1",
                standing=say(standing),
                since=say(" since {day}", day=day_and_year(since)),
            ),
        )
    for address in ("/field/questions", f"/field/entries/{client.yard}?on={NOW.date()}"):
        shown = client.get(address, headers=before)
        assert shown.status_code == 200, address
        assert gone[1:] in html.unescape(shown.text).replace("\xa0", " "), address


def test_a_page_of_another_version_decides_nothing_and_takes_no_hive_off_the_list(client):
    client.post("/field/send", content=batch(client.yard, {"tag": "B7"}, {"tag": "B8"}))
    entries = re.findall(r'name="entry" value="([^"]+)"', client.get("/field/questions").text)
    for where, told in (("", {"entry": entries[0]}), ("/together", {"entries": " ".join(entries)})):
        for word in ({}, {"take": "1"}):
            refused = client.post(f"/field/questions{where}", data=told | word)
            assert refused.status_code == 422
            assert "it is not said whether the entry holds" in refused.text
    assert len(FieldBook(client.path, NOW.date()).questions()) == 2
    other = client.post(f"/field/hives/{client.yard}", data={"lines": "A1, told otherwise"})
    assert (other.status_code, "A1, told otherwise" in other.text) == (409, True)
    refused = client.post(f"/field/hives/{client.yard}", data={})
    assert (refused.status_code, "Open the page again" in refused.text) == (422, True)
    assert ">A1, pallet 1\nA2</textarea>" in refused.text
    here = FieldBook(client.path, NOW.date()).hives(client.yard)[1]
    assert [(one.tag, one.standing) for one in here] == [("A1", "stands"), ("A2", "stands")]
