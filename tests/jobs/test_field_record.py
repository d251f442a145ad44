"""A record that cannot be read is told in our words, with the part that is wrong. All invented."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from breadline.cli.app import app
from breadline.jobs.field_record import Unread, batch_of
from breadline.records.engine import open_book

NOW = datetime(2026, 3, 12, 12, tzinfo=UTC)
KEY = "019cd7c9-4d00-7abc-8def-000000000001"
SOUND: dict[str, Any] = {
    "id": KEY, "work": "look", "yard": KEY, "tag": "A1", "at": "2026-03-12T10:00:00-05:00"
}  # fmt: skip
BAD: dict[str, tuple[dict[str, Any], str]] = {
    "a key": ({"id": "x"}, "id: it is no key (a UUID)"),
    "no key": ({"id": None}, "id: it is no key (a UUID)"),
    "a work": ({"work": "dance"}, "work: it is none of 'round', 'grading', 'look'"),
    "no tag": ({"tag": ""}, "tag: it is empty"),
    "a long tag": ({"tag": "x" * 41}, "tag: it is longer than 40 letters"),
    "a naive time": ({"at": "2026-03-12T10:00:00"}, "at: it is a time without its offset"),
    "no time": ({"at": "yesterday"}, "at: it is no time such as"),
    "a part of tomorrow": ({"mood": 1}, "mood: this program does not know it; a newer one may"),
    "a word for a number": ({"seen": {"bread": {"value": "six"}}}, "seen, bread, value: it is no number"),
    "below nought": ({"seen": {"bread": {"value": -1}}}, "seen, bread, value: it is less than 0"),
    "far too much": ({"seen": {"bread": {"value": 1e9}}}, "seen, bread, value: it is more than 100,000"),
    "no list": ({"seen": [1]}, "seen: it is no list of things by name"),
    "half a clock": ({"clock": {"ahead": 1}}, "clock, met: it is missing"),
    "a reason alone": ({"because": "x"}, "a reason is given without the key of what it takes back"),
    "two things at once": ({"withdraws": KEY, "new": True}, "takes an entry back tells nothing else"),
    "a number for a text": ({"spoken": 5}, "spoken: it is no text"),
    "no truth": ({"new": "maybe"}, "new: it is neither true nor false"),
}
THEIRS = ("input", "valid", "field", "should", "expected", "string", "extra", "value error", "instance")


def body(*records: object) -> bytes:
    return json.dumps({"shape": "breadline.field/1", "phone": "Crew 1", "records": records}).encode()


@pytest.mark.parametrize("what", BAD)
def test_what_is_wrong_with_a_record_is_said_in_our_words(what: str) -> None:
    more, said = BAD[what]
    (one,) = batch_of(body(SOUND | more), NOW).records
    assert isinstance(one, Unread)
    assert said in one.why
    assert not [word for word in THEIRS if word in one.why.lower()], "words of a library"


def test_what_is_no_record_at_all_is_said() -> None:
    (one,) = batch_of(body(5), NOW).records
    assert one == Unread("", "the record: it is no list of things by name")


@pytest.mark.parametrize("content", [body(SOUND)[:60], b"{}", b"\xff\xfe"])
def test_a_file_that_is_cut_short_is_called_by_its_name(tmp_path: Path, content: bytes) -> None:
    book, file = tmp_path / "own.sqlite", tmp_path / "crew 1.json"
    open_book(book).dispose()
    file.write_bytes(content)
    result = CliRunner().invoke(app, ["take", str(book), str(file)])
    assert str(result.exception).startswith(f"{file}: it is ")
