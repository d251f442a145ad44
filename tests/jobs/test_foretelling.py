"""Outlooks shown from a book are kept and held against later counts; a real book, an invented yard."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import replace
from datetime import date
from pathlib import Path
from uuid import UUID

import pytest
from sqlalchemy import select

from breadline.jobs import foretelling, lately
from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD, TODAY, make_demo
from breadline.jobs.demo_record import pasts
from breadline.jobs.foretelling import own_errors, with_boxes
from breadline.jobs.foretelling_told import record_document, record_lines
from breadline.jobs.season import season_answer, season_from_files
from breadline.jobs.yard_file import read_yard
from breadline.knowledge.season_draws import shipped_draws
from breadline.knowledge.shelf import load
from breadline.need.foretold import Compared
from breadline.need.foretold_words import place_words
from breadline.need.yard import Given, Inspection, Yard
from breadline.records import yards
from breadline.records.engine import looking, open_book, writing
from breadline.records.outlooks import CountedLater
from breadline.records.tables import OutlookRow, Visit
from breadline.web.pages.season import season_page

LATER = date(2026, 2, 16)
KEPT = "It is kept as shown"


@pytest.fixture(scope="module")
def yard() -> Yard:
    return read_yard(FIRST_YARD / "yard.toml")


@pytest.fixture
def path(tmp_path: Path, yard: Yard) -> Path:
    """A book with one yard, which nobody has looked at yet."""
    Book(tmp_path / "book.sqlite", TODAY).add_yard(yard, FIRST_YARD / "weather.csv")
    return tmp_path / "book.sqlite"


def counted_again(yard: Yard, frames: float, on: date = LATER) -> Yard:
    return replace(yard, today=on, count=replace(yard.count, on=on, frames_of_bees=frames))


def one_yard(book: Book):
    (told,) = book.record().yards
    return told


def test_what_was_shown_is_kept_once_and_as_it_was_shown(path: Path) -> None:
    book = Book(path, TODAY)
    answer = book.season(book.first_yard())
    Book(path, TODAY).yards()
    engine = open_book(path)
    with looking(engine) as session:
        (row,) = session.scalars(select(OutlookRow))
        assert answer.outlook is not None
        today = (TODAY - answer.outlook.dates[0]).days
        adults = answer.outlook.adults
        assert row.first == TODAY
        assert len(row.bands["adults"]) == len(answer.outlook.dates) - today
        last = row.bands["adults"][-1]
        assert last == [round(float(v[-1])) for v in (adults.low, adults.middle, adults.high)]
        assert row.counted_on == answer.yard.count.on
        assert row.members == answer.outlook.members
    engine.dispose()


def test_a_later_count_is_held_against_the_outlook_before_it(path: Path, yard: Yard) -> None:
    book = Book(path, TODAY)
    outlook = book.season(book.first_yard()).outlook
    assert outlook is not None
    middle = float(outlook.adults.middle[outlook.dates.index(LATER)])
    frames = round(2 * middle / outlook.bees_a_frame) / 2
    later = Book(path, LATER)
    later.add_yard(counted_again(yard, frames))
    later.season(later.first_yard())  # made from this very count: it must change nothing
    told = one_yard(later)
    (bees,) = [row for row in told.rows if row.what == "bees"]
    assert bees.shown_on == TODAY
    assert bees.middle == round(middle)
    assert bees.place == "inside"
    assert told.outlooks == 2
    assert told.bees.coverage.of == 1
    (first,) = [aside for aside in told.aside if aside.what == "bees"]
    assert first.on == yard.count.on


def test_a_season_asked_for_a_past_day_is_no_foretelling(path: Path, yard: Yard) -> None:
    later = Book(path, LATER)
    later.add_yard(counted_again(yard, 6.0))
    Book(path, TODAY).yards()  # as of a day before the count, but after it was written down
    told = one_yard(later)
    assert told.outlooks == 1
    assert not told.rows


def test_a_dead_yard_is_outside_and_named(path: Path, yard: Yard) -> None:
    book = Book(path, TODAY)
    book.yards()
    later = Book(path, LATER)
    later.add_yard(counted_again(yard, 0.0))
    (bees,) = [row for row in one_yard(later).rows if row.what == "bees"]
    assert bees.place == "died"
    assert later.record().bees.died == 1
    said = "\n".join(text for _, text in record_lines(later.record()))
    assert "died, outside" in said


def test_another_definition_is_turned_into_bees(path: Path, yard: Yard) -> None:
    Book(path, TODAY).yards()
    later = Book(path, LATER)
    again = counted_again(yard, 6.0)
    later.add_yard(replace(again, count=replace(again.count, frame_means="full")))
    (bees,) = [row for row in one_yard(later).rows if row.what == "bees"]
    full = next(f.span.typical for f in later.figures("frame_of_bees.full"))
    assert bees.counted == 6.0 * full


def test_feed_nobody_reckoned_with_sets_the_count_aside(path: Path, yard: Yard) -> None:
    Book(path, TODAY).yards()
    later = Book(path, LATER)
    later.add_yard(replace(counted_again(yard, 6.0), given=(Given(date(2026, 1, 30), 450.0),)))
    told = one_yard(later)
    assert not told.rows
    assert any("feed went on" in aside.why for aside in told.aside)


def test_an_outlook_with_feed_keeps_the_fed_course(path: Path, yard: Yard) -> None:
    fed = replace(yard, given=(Given(date(2026, 1, 20), 900.0),))
    book = Book(path, TODAY)
    book.add_yard(fed)
    outlook = book.season(book.first_yard()).outlook
    assert outlook is not None
    assert outlook.adults_fed is not None
    later = Book(path, LATER)
    later.add_yard(replace(counted_again(yard, 6.0), given=fed.given))
    (bees,) = [row for row in one_yard(later).rows if row.what == "bees"]
    assert bees.middle == round(float(outlook.adults_fed.middle[outlook.dates.index(LATER)]))


def test_an_inspection_is_a_later_count_in_the_boxes_and_words_of_the_count(path: Path, yard: Yard) -> None:
    Book(path, TODAY).yards()
    later = Book(path, LATER)
    later.add_yard(replace(yard, today=LATER, inspections=(Inspection(LATER, 6, 6.0, frames_of_brood=2.0),)))
    later.season(later.first_yard())  # fitted to this inspection: it must change nothing
    told = one_yard(later)
    bees, brood = told.rows
    assert (bees.what, bees.on, bees.shown_on) == ("bees", LATER, TODAY)
    assert bees.counted == 6.0 * next(f.span.typical for f in later.figures("frame_of_bees.one_layer"))
    assert brood.counted > 0
    assert told.outlooks == 2


def test_a_look_without_boxes_has_those_of_the_count_before() -> None:
    first, then = Visit(on=TODAY, boxes=["medium"]), Visit(on=LATER, boxes=None)
    looks = [CountedLater(visit, {}, UUID(int=1), 0) for visit in (first, then)]
    assert [boxes for _, boxes in with_boxes(looks)] == [["medium"], ["medium"]]


def test_an_edited_figure_makes_another_version(path: Path) -> None:
    book = Book(path, TODAY)
    book.yards()
    book.edit_figure("season.tph", 4.0, 5.0, 6.0, "counted here")
    book.yards()
    engine = open_book(path)
    with looking(engine) as session:
        rows = list(session.scalars(select(OutlookRow)))
        assert len({row.draws for row in rows}) == len(rows) == 2
    engine.dispose()


def test_other_sets_of_parameters_make_another_version(monkeypatch: pytest.MonkeyPatch) -> None:
    sets = shipped_draws()
    was = foretelling.draws_version(load())
    moved = {name: values + (name == "Lmax") for name, values in sets.items()}
    monkeypatch.setattr(foretelling, "shipped_draws", lambda: moved)
    assert foretelling.draws_version(load()) != was


def test_the_demo_has_a_record_and_its_answer_is_that_of_the_files(tmp_path: Path) -> None:
    book = make_demo(tmp_path / "demo.sqlite")
    record = book.record()
    counts = sum(len(past) // 2 for past in pasts().values())
    assert record.bees.coverage.of == counts
    assert {yard.name for yard in record.yards if yard.rows} == set(pasts())
    told = book.season(book.first_yard())
    plain = season_from_files(FIRST_YARD / "yard.toml", FIRST_YARD / "weather.csv")
    assert told.yard == plain.yard
    assert told.advice == plain.advice


def test_the_document_holds_every_count(tmp_path: Path) -> None:
    record = make_demo(tmp_path / "demo.sqlite").record()
    told = record_document(record)
    rows = [row for yard in record.yards for row in yard.rows]
    assert sum(len(yard["counts"]) for yard in told["yards"]) == len(rows) > 0
    assert all(isinstance(row, Compared) for row in rows)
    # Four yards, each counted in one year: counts of one yard in one season are one trial.
    assert told["bees"]["yard_seasons"] == 4
    assert [yard["bees"]["yard_seasons"] for yard in told["yards"] if yard["counts"]] == [1] * 4
    aside = [text for yard in told["yards"] for text in yard["not_compared"]]
    assert all(one["why"] for one in aside)
    notes = " ".join(told["notes"])
    assert "varroa, swarming, queen failure" in notes, "what no outlook held, and a count does"
    none = [row for row in rows if row.what == "brood" and row.counted == 0]
    assert ("less than a tenth of a frame" in notes) == bool(none)
    assert all(row.place == "below" or "none seen may be up to" in place_words(row) for row in none)


def test_a_yard_taken_off_the_list_keeps_its_place_in_the_record(path: Path, yard: Yard) -> None:
    book = Book(path, TODAY)
    book.yards()
    later = Book(path, LATER)
    later.add_yard(counted_again(yard, 0.0))
    before = later.record()
    engine = open_book(path)
    with writing(engine) as session:
        yards.withdraw_yard(session, UUID(later.first_yard()), "all of it died")
    engine.dispose()
    after = Book(path, LATER).record()
    assert after.bees == before.bees
    (told,) = after.yards
    assert not told.listed
    assert told.name == yard.name
    assert any("off the list" in text for _, text in record_lines(after))


def test_an_outlook_that_cannot_be_kept_is_shown_all_the_same_and_says_so(path: Path) -> None:
    book = Book(path, TODAY)
    key = book.first_yard()
    with closing(sqlite3.connect(path)) as raw:
        raw.execute(
            "CREATE TRIGGER full BEFORE INSERT ON outlook "
            "BEGIN SELECT RAISE(ABORT, 'database or disk is full'); END"
        )
        raw.commit()
    answer = book.season(key)
    assert answer.outlook is not None
    (told,) = [note for note in answer.weather_notes if "could not be kept" in note.text]
    assert told.kind == "warning"
    assert "disk is full" in told.text
    assert book.record().outlooks == 0
    assert KEPT not in season_page("", answer).body.decode()


def test_the_page_says_that_its_outlook_is_kept(path: Path) -> None:
    book = Book(path, TODAY)
    assert KEPT in season_page("", book.season(book.first_yard())).body.decode()


def test_a_fit_takes_the_yards_own_error_else_that_of_all(tmp_path: Path) -> None:
    record = make_demo(tmp_path / "demo.sqlite").record()
    assert record.bees.own_error is not None
    shelf = load()
    belief = shelf["fit.model_bees_log_sd"].span.typical
    of_all = record.bees.own_error.believed(belief)
    own = own_errors(record, record.yards[0].id, shelf)
    assert own["bees"] == of_all, "five counts of a yard are not enough"
    enough = replace(record.bees, own_error=replace(record.bees.own_error, log_sd=0.5))
    first = replace(record.yards[0], bees=enough)
    changed = replace(record, yards=(first, *record.yards[1:]))
    assert own_errors(changed, first.id, shelf)["bees"] == enough.own_error.believed(belief) > of_all
    assert own_errors(changed, record.yards[1].id, shelf)["bees"] == of_all


def test_a_fit_of_a_yard_in_the_book_goes_by_the_record(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    book = make_demo(tmp_path / "demo.sqlite")
    known, answered, asked = yards.known_and_before, season_answer, []

    def inspected(session, key, today):
        yard, looks = known(session, key, today)
        look = Inspection(today, 6, yard.count.frames_of_bees, yard.count.frame_means)
        return replace(yard, inspections=(look,)), looks

    def spied(yard, weather, shelf, how):
        asked.append(how.own_error)
        return answered(replace(yard, inspections=()), weather, shelf, how)

    monkeypatch.setattr("breadline.jobs.book.season_answer", spied)
    book.season(book.first_yard())
    assert not [own for own in asked if own is not None], "without inspections nothing is fitted"
    monkeypatch.setattr(yards, "known_and_before", inspected)
    lately._place.cache_clear()  # nothing was written down that would make it look again
    book.season(book.first_yard())
    assert asked[-1] == own_errors(book.record(), book.first_yard(), load())
    assert asked[-1]["bees"] > 0
