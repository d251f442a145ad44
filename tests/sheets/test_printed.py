"""A long layout says how long the last of its kind took, and is not handed out where it is left."""

from __future__ import annotations

from datetime import date

import pytest

from breadline.going_on import NobodyWaits, watched
from breadline.sheets import printed
from breadline.sheets.hive_tags import CODES, tags_printed
from breadline.sheets.labels import label_sheets

SHEET = label_sheets()["a4_21"]
ON = date(2026, 8, 5)


def steps(tags: list[str]) -> list[tuple[int, int, str]]:
    seen: list[tuple[int, int, str]] = []
    with watched(lambda *step: seen.append(step) or True):
        tags_printed(tags, SHEET, ON)
    return [step for step in seen if step[1]]


def test_the_last_long_one_of_its_kind_says_how_long_it_took(monkeypatch):
    monkeypatch.setattr(printed, "_TOOK", {})
    monkeypatch.setattr(printed, "LONG_S", 1000.0)
    assert printed.TOOK not in {far for *_, far in steps(["A1"])}
    assert printed.TOOK not in {far for *_, far in steps(["A1"])}, "a short one tells nothing of a long one"
    monkeypatch.setattr(printed, "LONG_S", 0.0)
    steps(["A1"])
    told = [(done, of) for done, of, far in steps(["A1"]) if far == printed.TOOK]
    assert len(told) == 1
    assert told[0][0] == 0
    assert told[0][1] >= 1
    assert list(printed._TOOK) == ["hive_tags.typ"]


def test_tags_are_counted_as_they_are_drawn():
    assert [step for step in steps(["A1", "A2", "A3"]) if step[2] == CODES] == [
        (0, 3, CODES), (1, 3, CODES), (2, 3, CODES),
    ]  # fmt: skip


def test_tags_that_are_left_are_drawn_no_further(monkeypatch):
    monkeypatch.setattr(printed, "_laid_out", lambda *_: pytest.fail("it was laid out"))
    seen = []
    with watched(lambda done, *_: seen.append(done) or done < 2), pytest.raises(NobodyWaits):
        tags_printed(["A1", "A2", "A3", "A4"], SHEET, ON)
    assert seen == [0, 1, 2]


def test_a_sheet_that_was_left_while_it_was_laid_out_is_not_handed_out(monkeypatch):
    left = []
    monkeypatch.setattr(printed, "_laid_out", lambda *_: left.append(True) or b"%PDF")
    with watched(lambda *_: not left), pytest.raises(NobodyWaits):
        printed.printed("hive_tags.typ", {}, ON)
    assert left == [True]
