"""A chosen plan against what was done of it, by phones and by hand. All invented."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from uuid import UUID

import pytest

from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.field_book import FieldBook
from breadline.jobs.next_rounds import next_rounds
from breadline.jobs.rounds import Way
from breadline.jobs.rounds_as_kept import kept_paper
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_done import RoundKept, held_against
from breadline.jobs.rounds_paper_kept import paper_document
from breadline.need.yard import Given
from breadline.records import outlooks
from breadline.records.engine import looking, shut_all_books
from breadline.records.ids import new_id
from breadline.records.yard_readings import days_fed
from breadline.web.pages.rounds_kept import became, kept_shown
from jobs.first_rounds import TEXT, YARD, book_with_the_yard

TAGS = ("A1", "A2", "A3", "A4")


@pytest.fixture(scope="module")
def searched(tmp_path_factory):
    """A book with the yard, and what the search of its rounds found: made once."""
    book = book_with_the_yard(tmp_path_factory.mktemp("searched"))
    told = book.rounds(book.first_yard(), TEXT, Way(draws=20))
    shut_all_books()
    return book.path, told


@pytest.fixture
def book(searched, tmp_path):
    """A copy of it to write in."""
    return RoundsBook(Path(shutil.copy(searched[0], tmp_path)), YARD.today)


@pytest.fixture
def told(searched):
    return searched[1]


def sent_by_phone(book: RoundsBook, on: date, grams: dict[str, float]) -> None:
    """A round of hives, one by one; a hive that got nothing says so."""
    now = datetime(on.year, on.month, on.day, 12, tzinfo=UTC)
    field = FieldBook(book.path, on)
    yard = book.first_yard()
    field.place_hives(yard, [(tag, "") for tag in TAGS])
    seen = [(tag, {"frames_of_bees": {"value": 7.0, "unit": "frames"}, "put_on": {"value": g, "unit": "g"}})
            for tag, g in grams.items()]  # fmt: skip
    records = [
        {"id": str(new_id()), "work": "round", "yard": yard, "tag": tag, "at": now.isoformat(), "seen": one}
        for tag, one in seen
    ]
    told = {"shape": "breadline.field/1", "phone": "one", "now": now.isoformat(), "records": records}
    answers = field.take(json.dumps(told).encode(), now)["answers"]
    assert {one["answer"] for one in answers} == {"stored"}


def test_a_round_that_phones_told_hive_by_hive_is_given(book, told):
    key = book.first_yard()
    book.keep_plan(key, told, told.taken(1))  # as last year: 10 and 24 February
    sent_by_phone(book, date(2026, 2, 11), dict.fromkeys(TAGS, 454.0))
    later = RoundsBook(book.path, date(2026, 2, 20))
    kept = later.plan(key)
    assert [(one.given, one.given_on) for one in kept.rounds] == [(454.0, date(2026, 2, 11)), (None, None)]
    assert kept.done(later.today) == (
        "0 of 1 round due by now written down as given. "
        "The round of 10 February 2026 is written down for 4 of 39 hives."
    ), "of 40 hives a pair is joined, and the next round is nearer"
    assert kept.beside == ()


def test_a_round_of_which_a_part_was_given_says_how_much(book, told):
    key = book.first_yard()
    book.keep_plan(key, told, told.taken(1))  # 1 lb each on 10 and 24 February
    sent_by_phone(book, date(2026, 2, 10), {"A1": 454.0, "A2": 0.0, "A3": 0.0, "A4": 0.0})
    sent_by_phone(book, date(2026, 2, 24), dict.fromkeys(TAGS, 440.0))
    later = RoundsBook(book.path, date(2026, 2, 26))
    rows = kept_shown(later.plan(key), later)["rounds"]
    assert [one["given"] for one in rows] == [
        "given 10 Feb: ¼ lb a colony on average, 1 lb planned",
        "given 24 Feb: written down for 4 of 39 hives",
    ]


def test_hives_that_had_their_piece_are_not_held_against_the_mean_of_those_that_get_none(book, told):
    key, day = book.first_yard(), date(2026, 2, 10)
    book.keep_plan(key, told, told.taken(1))
    kept = book.plan(key)
    of = ((96.0, 113.4), 26)  # 26 of 31 get a quarter pound: 3.4 oz a colony of the yard, by hand
    seen = RoundKept(1, day, 113.4, 113.4, day, hives=10, fed=26)
    assert became(seen, of, kept, day) == "given 10 Feb: written down for 10 of 26 hives"
    assert became(replace(seen, hives=31, given=95.0), of, kept, day) == "given 10 Feb"
    less = became(replace(seen, given=60.0), of, kept, day)
    assert less == "given 10 Feb: 2 oz a colony on average, 3 oz planned"
    assert "planned" in became(replace(seen, hives=None), of, kept, day), "the whole yard was told as one"


def test_what_the_yard_was_given_is_one_and_the_same_for_season_plan_and_record(book):
    key = book.first_yard()
    sent_by_phone(book, date(2026, 2, 11), {"A1": 454.0, "A2": 454.0, "A3": 454.0, "A4": 0.0})
    later = RoundsBook(book.path, date(2026, 2, 20))
    with looking(later._engine) as session:
        mean = outlooks.fed(session, UUID(key)).given
        a_fed_one = outlooks.fed(session, UUID(key), fed_alone=True).given
    assert mean == later.yard(key).given == (Given(date(2026, 2, 11), pytest.approx(340.5)),)
    assert a_fed_one == (Given(date(2026, 2, 11), 454.0),)


def test_a_round_that_took_two_days_is_one_round_and_no_second_feed(book, told):
    key = book.first_yard()
    book.keep_plan(key, told, told.taken(1))  # as last year: 10 and 24 February
    sent_by_phone(book, date(2026, 2, 10), dict.fromkeys(TAGS[:3], 454.0))
    sent_by_phone(book, date(2026, 2, 12), dict.fromkeys(TAGS[3:], 454.0))
    later = RoundsBook(book.path, date(2026, 2, 26))
    assert later.yard(key).given == (Given(date(2026, 2, 10), 454.0),)
    sent_by_phone(book, date(2026, 2, 13), dict.fromkeys(TAGS[:1], 200.0))  # fed again: another one
    assert [(one.on.day, one.grams) for one in later.yard(key).given] == [(10, 454.0), (13, 200.0)]
    sent_by_phone(book, date(2026, 2, 24), dict.fromkeys(TAGS, 400.0))
    kept = later.plan(key)
    assert [(one.given, one.given_on.day) for one in kept.rounds] == [(454.0, 10), (400.0, 24)]
    assert kept.beside == ((date(2026, 2, 13), 200.0),)
    with looking(later._engine) as session:  # a lock goes by every day
        assert {on.day for on in days_fed(session, UUID(key))} == {10, 12, 13, 24}


@pytest.mark.parametrize(
    ("given", "rounds", "beside"),
    [
        ([25], [None, 25], []),  # two days before the second, five after the first
        ([20, 25], [20, 25], []),
        ([21, 22], [21, 22], []),
        ([26, 27], [None, 27], [26]),  # six days after the first
        ([23, 24], [23, 24], []),
        ([14, 30], [None, 30], [14]),
    ],
)
def test_a_feeding_counts_for_the_round_that_it_is_nearest_to(given, rounds, beside):
    planned = [(date(2026, 1, 20), 450.0), (date(2026, 1, 27), 450.0)]
    kept, other = held_against(planned, [Given(date(2026, 1, day), 450.0) for day in given])
    assert [one.given_on and one.given_on.day for one in kept] == rounds
    assert [one.on.day for one in other] == beside


def test_a_round_that_was_written_down_for_some_hives_says_for_how_many(book, told):
    """Two of four hives on the day and one two days later; of the fourth nothing was sent."""
    key = book.first_yard()
    book.keep_plan(key, told, told.taken(1))  # of 40 colonies, 39 are fed
    sent_by_phone(book, date(2026, 2, 10), {"A1": 454.0, "A2": 454.0})
    sent_by_phone(book, date(2026, 2, 12), {"A3": 454.0})
    later = RoundsBook(book.path, date(2026, 2, 20))
    kept = later.plan(key)
    assert [one.hives for one in kept.rounds] == [3, None]
    fed = kept.sheets.visits[0].fed
    rows = kept_shown(kept, later)["rounds"]
    assert rows[0]["given"] == f"given 10 Feb: written down for 3 of {fed} hives"
    paper = replace(kept.sheets.visits[0], counts=tuple(min(n, 3) for n in kept.sheets.visits[0].counts))
    few = paper_document(replace(kept.sheets, visits=(paper, *kept.sheets.visits[1:])))
    assert kept_shown(replace(kept, paper=few), later)["rounds"][0]["given"] == "given 10 Feb"


def test_hives_missed_in_a_round_of_a_plan_and_fed_days_later_are_of_that_round(book, told):
    """Rounds on 10 and 24 February: on the 16th the first is nearer, on the 20th the second."""
    key = book.first_yard()
    book.keep_plan(key, told, told.taken(1))
    sent_by_phone(book, date(2026, 2, 10), dict.fromkeys(TAGS[:2], 454.0))
    sent_by_phone(book, date(2026, 2, 16), {"A3": 454.0, "A1": 300.0})  # one that was missed, one fed again
    later = RoundsBook(book.path, date(2026, 2, 20))
    kept = later.plan(key)
    assert [(one.given, one.given_on, one.hives) for one in kept.rounds] == [
        (454.0, date(2026, 2, 10), 3), (None, None, None)
    ]  # fmt: skip
    assert kept.beside == ((date(2026, 2, 16), 300.0),)
    assert later.yard(key).given == (Given(date(2026, 2, 10), 454.0), Given(date(2026, 2, 16), 300.0))
    sent_by_phone(book, date(2026, 2, 20), {"A4": 454.0})  # of the second round, four days early
    kept = later.plan(key)
    assert [(one.given_on, one.hives) for one in kept.rounds] == [
        (date(2026, 2, 10), 3), (date(2026, 2, 20), 1)
    ]  # fmt: skip
    with looking(later._engine) as session:
        assert outlooks.fed(session, UUID(key)).given == later.yard(key).given


def test_without_a_plan_hives_fed_more_than_three_days_later_are_another_feeding(book):
    key = book.first_yard()
    sent_by_phone(book, date(2026, 2, 10), dict.fromkeys(TAGS[:2], 454.0))
    sent_by_phone(book, date(2026, 2, 16), dict.fromkeys(TAGS[2:], 454.0))
    given = RoundsBook(book.path, date(2026, 2, 20)).yard(key).given
    assert [one.on.day for one in given] == [10, 16]


def test_a_round_told_for_some_hives_is_told_alike_on_the_list_the_plan_and_its_sheet(book, told):
    key = book.first_yard()
    book.keep_plan(key, told, told.taken(1))
    sent_by_phone(book, date(2026, 2, 10), dict.fromkeys(TAGS, 454.0))
    later = RoundsBook(book.path, date(2026, 2, 12))
    kept = later.plan(key)
    coming = next_rounds(book.path, later.today)[key]
    assert coming.words("lb").replace("\N{NO-BREAK SPACE}", " ") == (
        "10 Feb, 1 lb: given for 4 of 39 hives; next 24 Feb, 1 lb"
    )
    assert kept.done(later.today).startswith("0 of 1 round due by now written down as given.")
    assert kept.done(later.today).endswith(
        "written down for 4 of 39 hives: feed the others, or write them down."
    )
    paper = kept_paper(later, key, kept, "", lambda: told)
    assert paper.visits[0].done == (
        "Written down as given on 10 February 2026 for 4 of 39 hives: feed the others."
    )
    assert paper.visits[1].done == ""
    before = RoundsBook(book.path, date(2026, 2, 9)).plan(key)
    assert before.rounds[0].given is None, "as of a day before it nothing was given"


def test_signs_of_foulbrood_stand_on_a_chosen_plan_and_its_sheets(tmp_path):
    sick = replace(YARD, health=replace(YARD.health, foulbrood_signs=True))
    book = RoundsBook(tmp_path / "sick.sqlite", YARD.today)
    book.open_operation("Sorrel Bend Bees (invented)")
    book.add_yard(sick, FIRST_YARD / "weather.csv")
    key = book.first_yard()
    told = book.rounds(key, TEXT, Way(draws=20))
    stop = "Stop: signs of foulbrood. Feed nothing, move no gear, and call the apiary inspector today."
    kept = book.keep_plan(key, told, told.taken(1))
    assert book.changed(key, kept) == stop
    nothing = book.keep_plan(key, told, told.taken(0), "called the inspector")
    assert nothing.rounds == ()
    assert book.changed(key, nothing) == ""
