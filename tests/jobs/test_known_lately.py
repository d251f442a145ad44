"""A yard as rounds know it, in a program that runs on, is what a program begun anew knows. All invented."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.field_book import FieldBook
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.yard_file import read_yard
from breadline.records.ids import new_id

NOW = datetime(2026, 2, 3, 16, tzinfo=UTC)
TODAY = NOW.date()


def test_what_a_second_person_tells_just_so_and_takes_back_is_known_at_once(tmp_path: Path) -> None:
    read, then = read_yard(FIRST_YARD / "yard.toml"), TODAY - timedelta(days=3)
    yard = replace(read, today=then, count=replace(read.count, on=then),
                   health=replace(read.health, mites_on=None, mites_per_100=None))  # fmt: skip
    book = FieldBook(tmp_path / "book.db", TODAY)
    key = book.add_yard(yard)
    book.place_hives(key, [("A1", ""), ("A2", "")])

    def send(phone: str, hour: int, work: str, **told: Any) -> str:
        at = (NOW - timedelta(hours=9 - hour)).isoformat()
        one = {"id": str(new_id()), "work": work, "yard": key, "tag": "A1", "at": at, **told}
        body = {"shape": "breadline.field/1", "phone": phone, "now": NOW.isoformat(), "records": [one]}
        (answer,) = book.take(json.dumps(body).encode(), NOW)["answers"]
        assert answer["answer"] == "stored"
        return str(one["id"])

    def frames() -> tuple[float, ...]:
        """By a book that asks again and again in one program."""
        return RoundsBook(book.path, TODAY).yard(key).inspections[-1].frames_each

    five = {"frames_of_bees": {"value": 5.0}, "bread": {"value": 0.5, "unit": "frames"}}
    send("one", 1, "look", seen=five)
    assert frames() == (5.0,)
    send("one", 2, "round", seen={**five, "frames_of_bees": {"value": 7.0}})
    assert frames() == (7.0,)
    last = send("two", 3, "look", seen=five)
    assert frames() == (5.0,)
    send("two", 4, "look", withdraws=last, because="wrong hive")
    assert frames() == (7.0,)
