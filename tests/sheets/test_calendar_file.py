"""The calendar file read back by an independent library, and its lines by the rules of the format."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta, timezone

import icalendar
import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.errors import RecordError
from breadline.language import speaking
from breadline.plan.mixing_days import mixing_days
from breadline.sheets.calendar_file import (
    Entry,
    calendar_file,
    escaped,
    folded,
    look_entries,
    mixing_entries,
    move_entries,
    round_entries,
    stop_entries,
    uid,
)
from tests.plan.loads import load, visit
from tests.plan.test_order import loads

STAMP = datetime(2026, 8, 1, 9, 30, tzinfo=UTC)
STOP = stop_entries([("Tarweed Flat", date(2026, 10, 20), "Fresh arcs; pollen coming in, settled weather")])


def plan_entries():
    on_trucks = loads(3, 4, syrup=3.8)
    return [
        *round_entries(on_trucks),
        *mixing_entries(mixing_days(on_trucks, 2)),
        *look_entries(on_trucks),
        *STOP,
    ]


def read(data: bytes) -> list[icalendar.Event]:
    calendar = icalendar.Calendar.from_ical(data)
    assert not calendar.errors
    return list(calendar.walk("VEVENT"))


def test_every_entry_comes_back_with_its_day_and_words():
    entries = plan_entries()
    events = read(calendar_file("plan 7", "Dry fall; rounds, 2026", entries, STAMP))
    assert len(events) == len(entries) == 3 + 3 + 3 + 1
    by_uid = {str(event["UID"]): event for event in events}
    for entry in entries:
        event = by_uid[uid("plan 7", entry)]
        assert event.start == entry.on
        assert event.end == entry.on + timedelta(days=1)
        assert type(event.start) is date
        assert str(event["SUMMARY"]) == entry.title
        assert str(event.get("DESCRIPTION", "")) == entry.notes
        assert str(event.get("LOCATION", "")) == entry.where
        assert event["DTSTAMP"].dt == STAMP
        assert event["SEQUENCE"] == 0
        assert not event.errors


def test_days_are_sorted_in_the_readers_language_and_keep_their_names():
    def said():
        return {str(one["UID"]): one["CATEGORIES"].to_ical().decode() for one in read(
            calendar_file("p", "Rounds", STOP, STAMP))}  # fmt: skip

    english = said()
    with speaking("es"):
        spanish = said()
    assert set(english.values()) == {"stop feeding?"}
    assert set(spanish.values()) == {"¿dejar de alimentar?"}
    assert english.keys() == spanish.keys()


def test_the_head_is_what_the_format_asks_for():
    calendar = icalendar.Calendar.from_ical(calendar_file("p", "Rounds, and more", [], STAMP))
    assert calendar["VERSION"] == "2.0"
    assert calendar["PRODID"]
    for name in ("NAME", "X-WR-CALNAME"):  # handed out as they stand in the file, so read once more as text
        text = icalendar.Event.from_ical(f"BEGIN:VEVENT\r\nSUMMARY:{calendar[name]}\r\nEND:VEVENT\r\n")
        assert str(text["SUMMARY"]) == "Rounds, and more"


def test_rounds_mixing_look_again_and_stop_are_told():
    titles = [str(event["SUMMARY"]) for event in read(calendar_file("p", "n", plan_entries(), STAMP))]
    assert titles[:3] == [
        "Mix for round 1: 78 patties",
        "Round 1 of 3: 4 yards",
        "Pieces of round 1 gone? 4 yards",
    ]
    assert titles[-1] == "Stop feeding? Tarweed Flat"


TEXT = st.text(max_size=300)


@given(TEXT, TEXT)
def test_any_text_comes_back_as_it_was_but_for_control_characters(title, notes):
    entry = Entry("round", "1", date(2026, 8, 25), title, notes)
    (event,) = read(calendar_file("p", "n", [entry], STAMP))

    def kept(text):
        text = text.replace("\r\n", "\n").replace("\r", "\n")
        return "".join(
            c for c in text if c in "\t\n" or (c >= " " and c != "\x7f" and not "\ud800" <= c <= "\udfff")
        )

    assert str(event["SUMMARY"]) == kept(title)
    assert str(event.get("DESCRIPTION", "")) == kept(notes)


@given(st.text(max_size=400).map(escaped))
def test_lines_are_folded_at_75_octets_and_never_within_a_letter(line):
    octets = folded(line)
    assert octets.endswith(b"\r\n")
    pieces = octets[:-2].split(b"\r\n")
    assert all(len(piece) <= 75 for piece in pieces)
    assert all(piece.startswith(b" ") for piece in pieces[1:])
    for piece in pieces:
        piece.decode("utf-8")  # raises where a letter was cut
    assert b"".join([pieces[0], *(piece[1:] for piece in pieces[1:])]).decode("utf-8") == line


@pytest.mark.parametrize(
    ("line", "lengths"),
    [("a" * 75, [75]), ("a" * 76, [75, 2]), ("a" * 149, [75, 75]), ("a" * 150, [75, 75, 2]),
     ("a" * 74 + "é", [74, 3]), ("a" * 73 + "é", [75]), ("🐝" * 19, [72, 5])],
)  # fmt: skip
def test_a_line_is_folded_just_where_it_gets_too_long(line, lengths):
    """75 octets are the most; the blank that begins a continued line is one of them."""
    assert [len(piece) for piece in folded(line)[:-2].split(b"\r\n")] == lengths


def test_a_category_is_in_the_readers_language_and_the_name_of_an_entry_stays():
    english = calendar_file("p", "n", plan_entries(), STAMP).decode()
    with speaking("es"):
        spanish = calendar_file("p", "n", plan_entries(), STAMP).decode()
    kinds = [re.findall(r"CATEGORIES:(.+)\r", text) for text in (english, spanish)]
    assert {"feeding round", "stop feeding?"} <= set(kinds[0])
    assert not set(kinds[0]) & set(kinds[1])
    assert re.findall("UID:.+", english) == re.findall("UID:.+", spanish)


def test_the_whole_file_has_network_line_ends_only():
    data = calendar_file("p", "n", plan_entries(), STAMP)
    assert data.count(b"\n") == data.count(b"\r") == data.count(b"\r\n")
    assert data.endswith(b"END:VCALENDAR\r\n")


def test_the_worked_example_of_the_format_for_escaping():
    """A semicolon, a comma, a backslash and a line end are written with a backslash before them."""
    assert escaped("a;b,c\\d\ne") == "a\\;b\\,c\\\\d\\ne"


def test_a_yard_that_is_moved_is_in_the_calendar_on_its_first_morning():
    (event,) = read(calendar_file("p", "n", move_entries([("Old Orchard", date(2027, 2, 10))]), STAMP))
    assert event["DTSTART"].dt == date(2027, 2, 10)
    assert "Old Orchard" in str(event["SUMMARY"])


def test_a_moved_entry_keeps_its_name_and_another_plan_has_others():
    entry = STOP[0]
    assert uid("p", replace(entry, on=date(2026, 11, 1), title="later")) == uid("p", entry)
    assert uid("q", entry) != uid("p", entry)
    names = [uid("p", one) for one in plan_entries()]
    assert len(set(names)) == len(names)


def test_a_round_keeps_its_name_when_the_driving_order_turns():
    one = load(3)
    turned = replace(one, visits=one.visits[::-1])
    assert uid("p", round_entries([one])[0]) == uid("p", round_entries([turned])[0])


def test_the_same_plan_gives_the_same_file_in_whatever_order_its_entries_come():
    entries = plan_entries()
    assert calendar_file("p", "n", entries, STAMP) == calendar_file("p", "n", entries[::-1], STAMP)


def test_a_stamp_in_another_zone_is_the_same_moment():
    elsewhere = STAMP.astimezone(timezone(timedelta(hours=-7)))
    assert calendar_file("p", "n", STOP, elsewhere) == calendar_file("p", "n", STOP, STAMP)


def test_changes_are_counted():
    (event,) = read(calendar_file("p", "n", STOP, STAMP, changes=3))
    assert event["SEQUENCE"] == 3


def test_no_look_where_the_next_round_comes_by_then():
    first = load(2)
    second = replace(
        first, visits=tuple(replace(v, round=3, on=v.on + timedelta(days=7)) for v in first.visits)
    )
    looks = look_entries([first, second])
    assert [(look.on, look.about) for look in looks] == [(date(2026, 9, 8), "3/1")]


def test_yards_with_other_limits_are_looked_at_on_other_days():
    one = replace(load(1), visits=(visit(0, days=3), visit(1, days=7)))
    assert [(look.on, look.where) for look in look_entries([one])] == [
        (date(2026, 8, 28), "Tarweed Flat"), (date(2026, 9, 1), "Lower Ditch"),
    ]  # fmt: skip


def test_a_stamp_without_zone_a_nameless_plan_and_doubles_are_refused():
    with pytest.raises(RecordError, match="zone"):
        calendar_file("p", "n", STOP, datetime(2026, 8, 1, 9, 30))
    with pytest.raises(RecordError, match="name"):
        calendar_file(" ", "n", STOP, STAMP)
    with pytest.raises(RecordError, match="one of each"):
        calendar_file("p", "n", [*STOP, *STOP], STAMP)


def test_two_feeds_of_one_round_are_named_and_keep_apart():
    day = date(2026, 9, 1)
    two = [replace(load(1), visits=(visit(feed=feed, on=day),)) for feed in ("Soy patty", "Yeast patty")]
    titles = [entry.title for entry in round_entries(two)]
    assert [title.rpartition(", ")[2] for title in titles] == ["Soy patty", "Yeast patty"]
    assert "patty" not in round_entries(two[:1])[0].title.lower()
    mixed = mixing_entries(mixing_days(two, 2))
    assert [entry.title.rpartition(", ")[2] for entry in mixed] == ["Soy patty", "Yeast patty"]
    events = read(calendar_file("p", "r", [*round_entries(two), *mixed], STAMP))
    assert len({str(event["UID"]) for event in events}) == 4
