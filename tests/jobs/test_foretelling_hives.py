"""Hives that phones and sheets went through one by one, in the record of foretelling. An invented yard."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path
from uuid import UUID

import pytest

from breadline.jobs.book import Book
from breadline.jobs.bring_in import brought_in
from breadline.jobs.demo import FIRST_YARD, TODAY
from breadline.jobs.foretelling import YardRecord
from breadline.jobs.foretelling_told import record_document, record_lines
from breadline.jobs.sheet_read import SheetAsked
from breadline.jobs.yard_file import read_yard
from breadline.records import colonies, readings, trials
from breadline.records.engine import open_book, shut_book, writing
from breadline.records.readings import Look, Seen
from breadline.records.yard_rows import FROM_PHONE
from breadline.trial.colonies import Started

FED, LATER = date(2026, 1, 30), date(2026, 2, 16)
YARD = read_yard(FIRST_YARD / "yard.toml")


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A book with one yard of 24 colonies, whose outlook was shown."""
    book = Book(tmp_path / "book.sqlite", TODAY)
    book.add_yard(YARD, FIRST_YARD / "weather.csv")
    book.season(book.first_yard())
    return tmp_path / "book.sqlite"


def on_phones(path: Path, on: date, *hives: dict[str, float], first: int = 1) -> None:
    """A day of phones: of each hive what was seen of it, by kind."""
    engine = open_book(path)
    with writing(engine) as session:
        key = UUID(Book(path, TODAY).first_yard())
        visit = readings.add_visit(session, key, Look(on, note=FROM_PHONE))
        for n, seen in enumerate(hives, first):
            hive = colonies.place_colony(session, key, f"H{n}")
            for kind, value in seen.items():
                means = "one_layer" if kind == "frames_of_bees" else None
                readings.add(session, visit.id, Seen(kind, value, definition=means), hive)
    shut_book(engine)


def told(path: Path) -> YardRecord:
    (yard,) = Book(path, LATER).record().yards
    return yard


def why(path: Path) -> set[str]:
    return {one.why for one in told(path).aside if one.on == LATER}


def test_a_day_of_phones_is_one_count_of_the_yard(path: Path) -> None:
    on_phones(path, LATER, *({"frames_of_bees": f, "frames_of_brood": 2.0} for f in (8.0, 6.0, 5.0)))
    on_phones(path, LATER, {"frames_of_bees": 5.0}, {"frames_of_bees": 0.0}, first=4)
    yard = told(path)
    (bees,) = [row for row in yard.rows if row.what == "bees"]
    a_frame = next(f.span.typical for f in Book(path, LATER).figures("frame_of_bees.one_layer"))
    assert bees.counted == pytest.approx((8.0 + 6.0 + 5.0 + 5.0) / 4 * a_frame)
    assert (bees.on, bees.shown_on, bees.hives, bees.empty) == (LATER, TODAY, 4, 1)
    assert why(path) == {"fewer than four hives with bees were counted, and others stood there"}, "of brood"
    lines = [text for _, text in record_lines(Book(path, LATER).record())]
    assert any("frames of bees (mean of 4 hives, without 1 that had no bees)" in text for text in lines)
    (document,) = record_document(Book(path, LATER).record())["yards"]
    assert (document["counts"][0]["hives"], document["counts"][0]["hives_without_bees"]) == (4, 1)


def test_a_sheet_of_hives_that_was_brought_in_is_a_count_too(path: Path) -> None:
    rows = "".join(f"{YARD.name},{n},2026-02-16,6\n" for n in range(1, 7))
    asked = SheetAsked(units={"frames_of_bees": "one_layer"}, new_colonies=True)
    content = f"yard,hive,date,frames of bees\n{rows}".encode()
    brought_in(path, "february.csv", content, asked, LATER)
    (bees,) = told(path).rows
    assert (bees.what, bees.hives) == ("bees", 6)


def test_what_was_told_of_the_yards_average_goes_before_its_hives(path: Path) -> None:
    on_phones(path, LATER, *({"frames_of_bees": 4.0} for _ in range(5)))
    engine = open_book(path)
    with writing(engine) as session:
        visit = readings.add_visit(session, UUID(Book(path, TODAY).first_yard()), Look(LATER, 6))
        readings.add(session, visit.id, Seen("frames_of_bees", 7.0, definition="one_layer"))
    shut_book(engine)
    (bees,) = told(path).rows
    assert bees.hives is None
    assert bees.counted == pytest.approx(
        7.0 * next(f.span.typical for f in Book(path, LATER).figures("frame_of_bees.one_layer"))
    )


def test_hives_of_which_half_were_fed_are_held_against_the_feed_that_they_got(path: Path) -> None:
    """All eight stand for the yard as it was fed; the four that got nothing, counted alone, do not."""
    on_phones(path, FED, *({"put_on": 450.0} if n < 4 else {"put_on": 0.0} for n in range(8)))
    Book(path, FED).season(Book(path, TODAY).first_yard())  # reckons with 225 g a colony
    frames = [{"frames_of_bees": 6.0}] * 4
    on_phones(path, LATER, *frames, first=5)
    assert why(path) == {
        "the hives that were counted were fed otherwise than the outlook reckoned for the yard"
    }
    on_phones(path, LATER, *frames)
    (bees,) = told(path).rows
    assert (bees.hives, bees.shown_on) == (8, FED)


def test_feed_told_of_the_yard_alone_beside_a_check_group_sets_its_hives_aside(path: Path) -> None:
    engine = open_book(path)
    with writing(engine) as session:
        key = UUID(Book(path, TODAY).first_yard())
        drawn = trials.keep_draw(
            session, "Winter", {}, [Started(f"T{n}", YARD.name, "", n % 2, hive=f"H{n}") for n in range(1, 9)]
        )
        at = datetime.combine(TODAY, datetime.min.time(), UTC).isoformat()
        trials.keep_lock(session, drawn, {"locked_at": at, "design": {"grading": "2026-03-20"}}, "a" * 64)
        visit = readings.add_visit(session, key, Look(FED))
        readings.add(session, visit.id, Seen("feed_given", 450.0, on=FED))
    shut_book(engine)
    Book(path, FED).season(Book(path, TODAY).first_yard())
    on_phones(path, LATER, *({"frames_of_bees": 6.0} for _ in range(8)))
    assert why(path) == {"feed was told of the yard alone while a check group stood in it"}


def test_hives_without_bees_alone_are_no_dead_yard(path: Path) -> None:
    on_phones(path, LATER, {"frames_of_bees": 0.0}, {"frames_of_bees": 0.0})
    assert why(path) == {"the hives that were counted had no bees, and others stood there"}
    on_phones(path, LATER, *({"frames_of_bees": 0.0} for _ in range(22)), first=3)
    (bees,) = told(path).rows
    assert bees.place == "died"


def test_hives_that_were_lost_and_replaced_in_earlier_seasons_are_no_part_of_the_yard(path: Path) -> None:
    """22 of 24 died two years ago and others stand in their places: two without bees are no dead yard."""
    engine = open_book(path)
    with writing(engine) as session:
        key = UUID(Book(path, TODAY).first_yard())
        for n in range(22):
            old = colonies.place_colony(session, key, f"old {n}")
            colonies.ended(session, old, "dead", date(2024, 2, 1))
        for n in range(1, 25):
            colonies.place_colony(session, key, f"H{n}")
    shut_book(engine)
    on_phones(path, LATER, {"frames_of_bees": 0.0}, {"frames_of_bees": 0.0})
    assert why(path) == {"the hives that were counted had no bees, and others stood there"}
    on_phones(path, LATER, {"frames_of_bees": 6.0}, first=3)
    assert why(path) == {"fewer than four hives with bees were counted, and others stood there"}


def test_all_hives_that_live_are_enough_where_one_was_found_dead_that_day(path: Path) -> None:
    engine = open_book(path)
    with writing(engine) as session:
        key = UUID(Book(path, TODAY).first_yard())
        hives = [colonies.place_colony(session, key, f"H{n}") for n in range(1, 25)]
        for hive in hives[3:]:
            colonies.ended(session, hive, "dead", date(2026, 2, 10))
        colonies.ended(session, hives[2], "dead", LATER)
    shut_book(engine)
    on_phones(path, LATER, {"frames_of_bees": 6.0}, {"frames_of_bees": 4.0}, {"frames_of_bees": 0.0})
    (bees,) = told(path).rows
    assert (bees.hives, bees.empty) == (2, 1)
