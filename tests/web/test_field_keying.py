"""Keying in a tally sheet without script: checked whole, shown, then written once. All invented."""

from __future__ import annotations

import html
import re
from datetime import UTC, datetime, time, timedelta

import pytest
from sqlalchemy import select

from breadline.jobs.field_book import FieldBook
from breadline.jobs.keying import _refused
from breadline.jobs.yard_file import read_yard
from breadline.need.words import day_and_year
from breadline.records.append_only import current
from breadline.records.engine import looking, open_book
from breadline.records.field_tables import FieldReading
from breadline.records.ids import new_id
from breadline.records.tables import Reading
from breadline.sheets.tally import sheet_code
from breadline.web.app import create_app
from web.conftest import HERE
from web.conftest import Reading as Pages
from web.test_field_page import FIRST_YARD, batch

TODAY = datetime.now(UTC).date()


@pytest.fixture
def client(feed_book):
    app = create_app(feed_book, today=lambda: TODAY)
    made = Pages(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)
    made.book = FieldBook(feed_book, TODAY)
    made.book.add_yard(read_yard(FIRST_YARD))
    made.yard = made.book.yards_for_phones()["yards"][0]["id"]
    made.book.place_hives(made.yard, [("A1", "pallet 1"), ("A2", ""), ("A3", "")])
    made.path = feed_book
    return made


def asked(client, work="round") -> dict[str, str]:
    """The fields of a fresh sheet."""
    return fields(client.get(f"/field/keying/{client.yard}?work={work}").text)


def fields(page: str) -> dict[str, str]:
    found = re.findall(r'<input type="(?:text|hidden)"[^>]*?name="([^"]+)" value="([^"]*)"', page)
    means = re.search(r'<option value="([^"]+)" selected', page)
    told = {name: html.unescape(value) for name, value in found}
    return told if means is None else told | {"means": means[1]}


def sent(client, typed, step):
    return client.post(
        f"/field/keying/{client.yard}", data=typed | {"step": step}, follow_redirects=False
    )  # fmt: skip


def kept(client) -> list[tuple[str, float | str | None]]:
    """Readings that hold and came with an entry."""
    with looking(open_book(client.path)) as session:
        links = set(session.scalars(select(FieldReading.reading_id)))
        rows = [row for row in session.scalars(current(Reading)) if row.id in links]
        return sorted(((row.kind, row.word or row.value) for row in rows), key=str)


FILLED = {"frames-0": "7h", "left-0": "s", "put-0": "1", "maggots-0": "n", "frames-1": "6", "queen-1": "e"}
READ = [("frames_of_bees", 6.0), ("frames_of_bees", 7.5), ("maggots_seen", 0.0), ("patty_left", "some"),
        ("put_on", 454.0), ("queen_status", "eggs")]  # fmt: skip


def test_rows_stand_in_walking_order_and_the_sheet_has_its_number(client):
    page = client.get(f"/field/keying/{client.yard}").text
    assert re.findall(r'name="tag-\d+" value="(A\d)"', page) == ["A1", "A2", "A3"]
    assert f"Sheet {sheet_code(['A1', 'A2', 'A3'])}." in page


def test_a_sheet_is_shown_before_it_is_written_and_then_written_once(client):
    typed = asked(client) | FILLED | {"note-1": "supersedure cells", "who": "Ada"}
    shown = sent(client, typed, "check")
    assert "2 hives of this sheet read so" in shown.text
    assert "bees 7.5 frames; left over some; put on 1 lb; maggots no" in shown.text
    assert kept(client) == []
    again = fields(shown.text)
    for _ in range(3):  # a double click, and once more after a reply that was lost
        done = sent(client, again, "write")
        assert done.status_code == 303
    assert kept(client) == sorted([*READ, ("note", None)], key=str)
    assert "stored=0&duplicate=2" in done.headers["location"]
    assert "2 that stood there before" in client.get(done.headers["location"]).text


def test_what_is_wrong_is_named_by_row_and_column_and_nothing_typed_is_lost(client):
    typed = asked(client) | FILLED | {"frames-1": "6,5", "left-2": "half", "put-2": "2"}
    refused = sent(client, typed, "check")
    assert refused.status_code == 422
    for said in ("Row 2, hive A2, Frames of bees", "Row 3, hive A3, Left over", "Row 3, hive A3, Put on"):
        assert said in refused.text
    assert "3 cells are to be mended" in refused.text
    assert fields(refused.text) == typed
    assert refused.text.count('aria-invalid="true"') == 3
    client.cookies.set("language", "es")
    spanish = sent(client, typed, "check").text
    assert "Fila 2, colmena A2, Cuadros con abejas" in spanish
    client.cookies.delete("language")
    assert sent(client, typed, "write").status_code == 422
    assert kept(client) == []


def test_a_row_that_is_mended_after_it_was_written_takes_the_place_of_itself(client):
    typed = asked(client) | FILLED
    assert sent(client, typed, "write").status_code == 303
    mended = typed | {"frames-0": "8"}
    assert "in place of what you keyed in before" in sent(client, mended, "check").text
    for _ in range(2):
        assert "conflict=0" in sent(client, mended, "write").headers["location"]
    assert [value for kind, value in kept(client) if kind == "frames_of_bees"] == [6.0, 8.0]


def test_the_same_sheet_in_another_form_adds_nothing_and_other_numbers_are_asked_about(client):
    assert sent(client, asked(client) | FILLED, "write").status_code == 303
    second = asked(client) | FILLED
    assert "2 stand in the book already" in sent(client, second, "check").text
    assert "stored=0&duplicate=2&conflict=0" in sent(client, second, "write").headers["location"]
    third = asked(client) | FILLED | {"frames-1": "9"}
    assert "you will be asked" in sent(client, third, "check").text
    assert "conflict=1" in sent(client, third, "write").headers["location"]
    assert kept(client) == READ
    (question,) = client.book.questions()
    assert question.why.startswith("hive A2 was keyed in from paper too")


def test_a_sheet_that_does_not_agree_is_decided_at_one_word(client):
    assert sent(client, asked(client) | FILLED, "write").status_code == 303
    other = asked(client) | FILLED | {"frames-0": "3", "frames-1": "9"}
    assert "conflict=2" in sent(client, other, "write").headers["location"]
    entries = [one.id for one in client.book.questions()]
    page = client.get("/field/questions").text
    assert "2 hives wait for one reason" in page
    assert day_and_year(TODAY) in page
    (held,) = re.findall(r'name="entries" value="([^"]*)"', page)
    assert [one.partition(".")[0] for one in held.split()] == entries, "each with the key of its question"
    where, both = "/field/questions/together", {"entries": held, "take": "yes"}
    assert client.post(where, data=both | {"entries": f"{held.split()[0]} {new_id()}"}).status_code == 422
    assert kept(client) == READ, "all of them or none"
    assert client.post(where, data=both, follow_redirects=False).status_code == 303
    assert [value for kind, value in kept(client) if kind == "frames_of_bees"] == [3.0, 9.0]
    assert "Nothing waits for your word" in client.get("/field/questions").text


def test_what_a_phone_sent_of_the_same_hive_and_day_is_not_overwritten(client):
    client.post("/field/send", content=batch(client.yard, {"seen": {"patty_left": {"word": "most"}}}))
    assert "conflict=1" in sent(client, asked(client) | FILLED, "write").headers["location"]
    (question,) = client.book.questions()
    assert "on a phone" in question.why


def test_a_row_that_ends_a_hive_seen_that_day_is_announced_and_waits_after_back(client):
    noon = datetime.combine(TODAY, time(12), UTC).isoformat()
    seen = {"work": "look", "at": noon, "seen": {"frames_of_brood": {"value": 3.0, "unit": "frames"}}}
    client.post("/field/send", content=batch(client.yard, seen, now=datetime.now(UTC)))
    typed = asked(client) | {"frames-0": "d", "frames-1": "6"}
    before = kept(client)
    for _ in range(2):
        shown = html.unescape(sent(client, typed, "check").text)
        assert "You will be asked about 1." in shown
        assert "you will be asked: hive A1 was entered on a phone at 12:00 too, as alive: which one" in shown
        assert (kept(client), client.book.questions()) == (before, ()), (
            "asked in earnest, and none of it stays"
        )
    assert "stored=1&duplicate=0&conflict=1" in sent(client, typed, "write").headers["location"]
    (question,) = client.book.questions()
    again = sent(client, typed, "check").text  # after Back, in the same form
    assert "1 was keyed in before and waits for your word; it is not written again." in again
    assert "1 stands in the book already, just so" in again
    assert "stored=0&duplicate=1&conflict=1" in sent(client, typed, "write").headers["location"]
    other = asked(client) | {"frames-0": "d"}  # and in another form
    assert "waits for your word" in sent(client, other, "check").text
    assert [one.id for one in client.book.questions()] == [question.id]


def test_a_row_that_a_phone_sent_just_so_counts_once_and_stays_where_the_phone_mends_its_own(client):
    on = datetime.now(UTC).isoformat()
    some = {"id": str(new_id()), "at": on, "seen": {"patty_left": {"word": "some"}}}
    client.post("/field/send", content=batch(client.yard, some))
    typed = asked(client) | {"left-0": "s"}
    assert "1 was entered on a phone just so, and counts once" in sent(client, typed, "check").text
    assert "stored=0&duplicate=1&conflict=0" in sent(client, typed, "write").headers["location"]
    assert kept(client) == [("patty_left", "some")]
    mend = {"at": on, "seen": {"patty_left": {"word": "most"}}, "mends": some["id"]}
    answer = client.post("/field/send", content=batch(client.yard, mend)).json()["answers"][0]
    assert (answer["answer"], "keyed in from paper" in answer["why"]) == ("conflict", True)
    assert kept(client) == [("patty_left", "some")]


def test_a_hive_that_is_not_listed_is_asked_about_and_then_written_as_new(client):
    typed = asked(client) | {"tag-3": "B9", "frames-3": "5"}
    refused = sent(client, typed, "check")
    assert "Row 4, hive B9: no such hive is listed here" in refused.text
    assert sent(client, typed | {"new-3": "1"}, "write").status_code == 303
    assert [one.tag for one in client.book.hives(client.yard)[1]] == ["A1", "A2", "A3", "B9"]
    assert kept(client) == [("frames_of_bees", 5.0)]


def test_a_dead_hive_is_written_as_dead_and_nothing_else_can_be_said_of_it(client):
    typed = asked(client) | {"frames-0": "d"}
    assert "the hive is dead" in sent(client, typed | {"queen-0": "s"}, "check").text
    assert sent(client, typed, "write").status_code == 303
    assert [one.standing for one in client.book.hives(client.yard)[1]] == ["dead", "stands", "stands"]


def test_a_tag_on_two_rows_an_empty_sheet_and_a_day_to_come_are_said(client):
    typed = asked(client)
    assert "Nothing is keyed in yet" in sent(client, typed, "check").text
    twice = typed | {"frames-0": "4", "tag-3": "a1", "frames-3": "5"}
    assert "it is on row 1 too" in sent(client, twice, "check").text
    for day in (
        (TODAY + timedelta(days=1)).isoformat(),
        "03/05/2026",
        "",
        (TODAY - timedelta(days=500)).isoformat(),
    ):
        said = sent(client, typed | {"frames-0": "4", "on": day}, "check")
        assert said.status_code == 422
        assert "Date: " in said.text
    assert kept(client) == []


def test_mending_and_more_rows_keep_what_was_typed(client):
    typed = asked(client) | FILLED | {"who": "Ada", "tag-3": "B9"}
    assert fields(sent(client, typed, "mend").text) == typed
    more = fields(sent(client, typed, "more").text)
    assert typed.items() <= more.items()
    assert "tag-9" in more


def test_words_of_the_sheet_are_never_markup(client):
    typed = asked(client) | FILLED | {"note-0": '<b>"&', "who": "<i>"}
    shown = sent(client, typed, "check").text
    assert "<b>" not in shown.split("<main")[1].replace("<b>2 cells", "")
    assert sent(client, typed, "write").status_code == 303


def test_a_yard_of_many_hives_is_keyed_in_at_once(client):
    client.book.place_hives(client.yard, [(f"H{n:03d}", "") for n in range(180)])
    typed = asked(client)
    typed |= {f"frames-{n}": "7h" for n in range(3, 183)} | {f"note-{n}": "x" * 300 for n in range(3, 183)}
    assert "180 hives of this sheet read so" in sent(client, typed, "check").text


@pytest.mark.parametrize("work", ["look", "grading"])
def test_other_works_have_their_own_columns(client, work):
    typed = asked(client, work) | {"frames-0": "8", "brood-0": "3h"}
    assert ("put-0" in typed, "bread-0" in typed) == (False, work == "look")
    assert sent(client, typed, "write").status_code == 303
    assert kept(client) == [("frames_of_bees", 8.0), ("frames_of_brood", 3.5)]


def test_a_grading_sheet_takes_honey_mites_and_weight(client):
    typed = asked(client, "grading") | {"honey-0": "l", "mites-0": "2.5", "weight-0": "100 lb"}
    page = sent(client, typed, "check").text
    assert "honey light" in page
    assert "mites 2.5 mites/100 bees" in page
    assert "weight 100 lb" in page, "as it was keyed"
    assert sent(client, typed, "write").status_code == 303
    assert kept(client) == [("honey", "light"), ("mites_per_100", 2.5), ("weight", 45.36)]


def test_a_form_that_is_not_ours_is_refused(client):
    typed = asked(client) | FILLED
    assert sent(client, typed | {"work": "harvest"}, "write").status_code == 422
    assert sent(client, typed | {"form": "x"}, "write").status_code == 422
    assert client.get("/field/keying/0197").status_code in (404, 422)
    assert kept(client) == []


def test_a_day_ahead_of_the_clock_is_refused_at_the_check_and_in_words_of_paper(client, feed_book):
    ahead = TODAY + timedelta(days=8)
    app = create_app(feed_book, today=lambda: ahead)
    fast = Pages(app, base_url=HERE, headers={"origin": HERE})
    typed = asked(client) | {"frames-0": "6", "on": ahead.isoformat(), "step": "check"}
    answer = fast.post(f"/field/keying/{client.yard}", data=typed)
    assert answer.status_code == 422
    said = html.unescape(answer.text)
    assert f"Date: {ahead} lies ahead of the clock of this computer." in said
    assert "the phone" not in said


def test_what_the_book_refuses_of_a_sheet_names_its_hive_once_with_one_full_stop():
    said = _refused(
        "HZ2", "hive HZ2: it would be of 2026-12-04. Expected a day of the last year, up to today."
    )
    assert said == "Hive HZ2: it would be of 2026-12-04. Expected a day of the last year, up to today."
    assert _refused("HZ2", "no such thing") == "Hive HZ2: no such thing."


def test_a_sheet_without_its_meaning_of_a_frame_is_refused_with_all_that_was_typed(client):
    typed = asked(client) | {"frames-0": "6"}
    del typed["means"]  # as from a page of another version
    refused = sent(client, typed, "check")
    assert (refused.status_code, "what a frame of bees is" in refused.text) == (422, True)
    assert fields(refused.text)["frames-0"] == "6"
    assert kept(client) == []
