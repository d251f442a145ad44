"""What comes in and what is taken out, on both databases: sheets never twice, a whole book row by row."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from book_places import Places
from breadline.errors import RecordError
from breadline.jobs.bring_in import brought_in
from breadline.jobs.export import taken_out
from breadline.jobs.export_json import book_from_json
from breadline.jobs.safe_copy import backed_up
from breadline.jobs.sheet_read import SheetAsked
from breadline.jobs.verified import verified
from breadline.need.yard import Yard
from breadline.records import yards
from breadline.records.address import BookAt, OnServer
from breadline.records.engine import looking, open_book, shut_book, writing
from tests.records.conftest import MILL_LANE

NOW = datetime(2026, 3, 12, tzinfo=UTC)
SHEET = (
    b"yard,hive,date,frames,queen,note\nMill Lane,1,2026-03-11,7.5,eggs,\xc3\xa4\n"
    b"Mill Lane,2,2026-03-11,0,,\n"
)
ASKED = SheetAsked(units={"frames_of_bees": "full"}, new_colonies=True)


def filled(at: BookAt) -> None:
    engine = open_book(at)
    with writing(engine) as session:
        yards.add_yard(session, MILL_LANE)
    shut_book(engine)


def test_a_sheet_comes_in_once_on_both_databases(at: BookAt) -> None:
    filled(at)
    done = brought_in(at, "march.csv", SHEET, ASKED, date(2026, 3, 12))
    assert (done.rows, dict(done.made)) == (2, {"colonies": 2, "visits": 1, "readings": 4})
    assert brought_in(at, "march.csv", SHEET, ASKED, date(2026, 3, 12)).rows == 0
    assert verified(at).findings == ()


def test_a_whole_book_goes_from_either_database_to_a_file_and_back(at: BookAt, tmp_path: Path) -> None:
    filled(at)
    brought_in(at, "march.csv", SHEET, ASKED, date(2026, 3, 12))
    taken_out(at, tmp_path / "all.json", "json", NOW)
    new = tmp_path / "new.db"
    whole = book_from_json(tmp_path / "all.json", new)
    taken_out(new, tmp_path / "again.json", "json", NOW)
    assert (tmp_path / "again.json").read_bytes() == (tmp_path / "all.json").read_bytes()
    assert whole.records > 20
    with looking(open_book(new)) as session:
        (row,) = yards.yards(session)
        known: Yard = yards.yard_as_known(session, row.id, MILL_LANE.today)
    assert known == MILL_LANE


def test_a_whole_book_goes_from_a_file_to_either_database(places: Places, tmp_path: Path) -> None:
    at = places.new()
    old = tmp_path / "old.db"
    filled(old)
    taken_out(old, tmp_path / "all.json", "json", NOW)
    book_from_json(tmp_path / "all.json", at)
    taken_out(at, tmp_path / "again.json", "json", NOW)
    assert (tmp_path / "again.json").read_bytes() == (tmp_path / "all.json").read_bytes()
    with pytest.raises(RecordError, match="there is a book already"):
        book_from_json(tmp_path / "all.json", at)
    places.give_back(at)


def test_the_other_forms_come_from_both_databases(at: BookAt, tmp_path: Path) -> None:
    filled(at)
    for form in ("csv", "xlsx", "geojson"):
        assert taken_out(at, tmp_path / f"all-{form}", form, NOW).records


def test_a_book_on_a_server_is_backed_up_by_the_server(at: BookAt, tmp_path: Path) -> None:
    filled(at)
    if isinstance(at, OnServer):
        with pytest.raises(RecordError, match="pg_dump"):
            backed_up(at, tmp_path / "copy.db", date(2026, 3, 12))
    else:
        assert backed_up(at, tmp_path / "copy.db", date(2026, 3, 12)).contents.records
