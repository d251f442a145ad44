"""A hive's page: its readings in time, what it was given, what became of it. Invented."""

from __future__ import annotations

import json
from datetime import UTC, date, datetime
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from breadline.jobs.bring_in import brought_in
from breadline.jobs.hive_told import HiveBook, HiveTold
from breadline.jobs.sheet_read import SheetAsked
from breadline.records.ids import new_id
from breadline.web.app import create_app
from web.conftest import HERE

TODAY = date(2026, 11, 25)
NOW = datetime(2026, 11, 20, 9, tzinfo=UTC)
ASKED = SheetAsked(units={"frames_of_bees": "full", "bread": "frames", "put_on": "lb"}, new_colonies=True)
VISITS = b"""yard,hive,date,frames of bees,bread,fed,queen,note
Mill,1,2026-03-04,5,1,,seen,
Mill,1,2026-03-28,6.5,,1,eggs,moved a frame
Mill,2,2026-03-28,4,,,seen,
Mill,3,2024-05-01,4,,,seen,
"""


@pytest.fixture(scope="module")
def book(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A yard of three hives: one is found dead, one is merged into the first."""
    path = tmp_path_factory.mktemp("hive") / "book.db"
    brought_in(path, "yards.csv", b"name,lat,lon,hives,country\nMill,40.1,-88.2,3,US\n", SheetAsked(), TODAY)
    brought_in(path, "visits.csv", VISITS, ASKED, TODAY)
    own = HiveBook(path, TODAY)
    yard = own.keys_by_name()["Mill"]
    seen = {"frames_of_bees": {"value": 7.0, "unit": "frames"}, "put_on": {"value": 227.0, "unit": "g"}}
    told = [{"id": str(new_id()), "work": "round", "yard": yard, "tag": "1", "seen": seen,
             "at": "2026-11-19T10:30:00-06:00"},
            {"id": str(new_id()), "work": "round", "yard": yard, "tag": "2", "seen": {}, "standing": "dead",
             "at": "2026-11-19T10:31:00-06:00"}]  # fmt: skip
    batch = {"shape": "breadline.field/1", "phone": "crew", "now": NOW.isoformat(), "records": told}
    own.take(json.dumps(batch).encode(), NOW)
    hives = {one.tag: str(one.id) for one in own.hives(yard)[1]}
    own.hive_ended(hives["3"], "merged", hives["1"])
    return path


def told_of(book: Path, tag: str, before: date | None = None) -> HiveTold:
    own = HiveBook(book, TODAY)
    hives = {one.tag: str(one.id) for one in own.hives(own.keys_by_name()["Mill"])[1]}
    return own.hive(hives[tag], before)


def test_readings_stand_newest_first_with_what_was_given(book: Path) -> None:
    told = told_of(book, "1")
    assert told.sentence == "7 frames of bees, 6 days ago."
    assert told.heads == ("Bees [frames]", "Bread", "Queen", "Put on")
    assert [(str(one.on), one.cells) for one in told.days] == [
        ("2026-11-19", ("7", "", "", "½ lb")),
        ("2026-03-28", ("6½", "", "eggs", "1 lb")),
        ("2026-03-04", ("5", "1 frame", "seen", "")),
    ]
    assert told.days[1].more == "moved a frame"
    assert told.given_said == "1½ lb in the last twelve months, put on 2 times."
    assert told.under == "3 was merged into it on 25 November 2026."


def test_what_became_of_it_is_said_first(book: Path) -> None:
    assert told_of(book, "2").sentence == "Hive 2 was found dead on 19 November 2026."
    assert told_of(book, "3").sentence == "Hive 3 was merged into 1 on 25 November 2026."
    assert told_of(book, "2").became == ("It was found dead on 19 November 2026 (found dead on a visit).",)
    assert told_of(book, "3").given_said == "Nothing was put on it singly in the last twelve months."


def test_older_readings_follow_by_whole_days(book: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("breadline.records.hive_past.AT_ONCE", 4)
    told = told_of(book, "1")
    assert [str(one.on) for one in told.days] == ["2026-11-19"]
    assert told.older == date(2026, 11, 19)
    rest = told_of(book, "1", told.older)
    assert str(rest.days[0].on) == "2026-03-28"
    assert told.given == told_of(book, "1", told.older).given, "what was given is told whole"


def test_the_page_is_reached_from_the_yard(book: Path) -> None:
    client = TestClient(create_app(book, today=lambda: TODAY), base_url=HERE, raise_server_exceptions=False)
    own = HiveBook(book, TODAY)
    yard = own.keys_by_name()["Mill"]
    hives = client.get(f"/field/hives/{yard}").text
    key = next(str(one.id) for one in own.hives(yard)[1] if one.tag == "1")
    assert f'href="/hives/{key}"' in hives
    shown = client.get(f"/hives/{key}")
    assert shown.status_code == 200
    assert "7 frames of bees, 6 days ago." in shown.text
    assert client.get("/hives/nothing").status_code in (404, 422)
    assert client.get(f"/hives/{key}?before=soon").status_code in (404, 422)
