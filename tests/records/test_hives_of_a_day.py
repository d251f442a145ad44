"""What hives looked at one by one say of their yard: stores, pollen and how many were looked in. Invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from sqlalchemy import Engine

from book_places import Places
from breadline.errors import RecordError
from breadline.jobs.bring_in import NotReady, brought_in
from breadline.jobs.sheet_read import SheetAsked
from breadline.need.yard import Yard
from breadline.records import colonies, readings, yards
from breadline.records.address import BookAt
from breadline.records.engine import is_there, looking, open_book, shut_book, writing
from breadline.records.no_bees import hives_without_bees
from breadline.records.readings import Look, Seen
from breadline.records.yard_rows import FROM_SHEET

DAY, TODAY = date(2026, 5, 3), date(2026, 5, 4)


def of_hives(book: Engine, yard: Yard, *hives: tuple[Seen, ...]) -> Yard:
    """The yard as known after a sheet of hives, each with what was seen in it."""
    with writing(book) as session:
        key = yards.add_yard(session, yard)
        visit = readings.add_visit(session, key, Look(DAY, note=f"{FROM_SHEET}may.csv"))
        for n, seen in enumerate(hives, 1):
            hive = colonies.place_colony(session, key, f"A{n}")
            for one in seen:
                readings.add(session, visit.id, one, hive)
    with looking(book) as session:
        return yards.yard_as_known(session, key, TODAY)


def test_a_sheet_of_two_hives_tells_stores_pollen_and_how_many_were_looked_in(at: BookAt) -> None:
    brought_in(at, "yards.csv", b"name,lat,lon,hives\nHome,-37.8,175.3,2\n", SheetAsked(), TODAY)
    heads = "yard,hive,date,frames of bees,brood,bread,queen,honey,pollen coming in\n"
    rows = "Home,1,2026-05-03,8,4,1,eggs,enough,little\nHome,2,2026-05-03,6,3,0.5,eggs,enough,little\n"
    asked = SheetAsked(units={"frames_of_bees": "full", "bread": "frames"}, new_colonies=True)
    done = brought_in(at, "may.csv", (heads + rows).encode(), asked, TODAY)
    assert dict(done.made)["readings"] == 12
    book = open_book(at)
    with looking(book) as session:
        known = yards.yard_as_known(session, yards.yards(session)[0].id, TODAY)
    shut_book(book)
    assert (known.health.honey, known.health.honey_note) == ("enough", "")
    assert (known.forage.coming_in, known.forage.seen_on) == ("little", DAY)
    assert (known.count.colonies_looked_in, known.count.bread) == (2, 0.75)
    assert (known.health.queens_laying, known.health.queens_looked_for) == (2, 2)


def test_a_look_and_a_sheet_that_is_asked_about_make_no_book(places: Places) -> None:
    at, comma = places.new(), b"name;lat;lon;hives\nHome;-37,8;175,3;2\n"
    with pytest.raises(NotReady):
        brought_in(at, "yards.csv", comma, SheetAsked(), TODAY)  # which looks first
    assert not is_there(at)
    places.give_back(at)


def test_a_sheet_of_averages_tells_in_how_many_hives_and_asks_what_was_fed_hive_by_hive(at: BookAt) -> None:
    brought_in(at, "yards.csv", b"name,lat,lon,hives\nHome,-37.8,175.3,20\n", SheetAsked(), TODAY)
    units = {"frames_of_bees": "full", "bread": "frames", "put_on": "g"}
    hives = b"yard,hive,date,fed\nHome,1,2026-05-03,450\nHome,2,2026-05-03,300\n"
    brought_in(at, "hives.csv", hives, SheetAsked(units=units, new_colonies=True), TODAY)
    heads = "yard,date,frames of bees,brood,bread,hives looked in,fed\n"
    mean = f"{heads}Home,2026-05-03,8,4,1,6,375\n".encode()
    asked = SheetAsked(units=units)
    with pytest.raises(NotReady, match="Row 2: what a yard was fed on average"):
        brought_in(at, "mean.csv", mean, asked, TODAY)
    brought_in(at, "mean.csv", mean, replace(asked, same_feed=True), TODAY)
    book = open_book(at)
    with looking(book) as session:
        known = yards.yard_as_known(session, yards.yards(session)[0].id, TODAY)
    shut_book(book)
    assert (known.count.colonies_looked_in, known.count.bread) == (6, 1.0)
    assert [given.grams for given in known.given] == [375.0]  # (450 + 300) / 2, once


@pytest.mark.parametrize(
    ("words", "said", "note"),
    [
        (("enough", "enough", "enough"), "enough", ""),
        (("light", "enough", "enough"), "enough", "1 of 3 light"),
        (("light", "enough"), "light", "1 of 2 light"),
        (("light", "light"), "light", ""),
    ],
)
def test_a_yard_is_light_where_half_of_its_hives_are(book: Engine, yard: Yard, words, said, note) -> None:
    known = of_hives(book, yard, *((Seen("honey", word=word),) for word in words))
    assert (known.health.honey, known.health.honey_note) == (said, note)


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("none", "little", "plenty"), "little"),
        (("none", "plenty"), "none"),
        (("plenty", "little", "plenty"), "plenty"),
    ],
)
def test_pollen_is_that_of_the_middle_hive(book: Engine, yard: Yard, words, said) -> None:
    known = of_hives(book, yard, *((Seen("pollen_seen", word=word),) for word in words))
    assert known.forage.coming_in == said


def test_arcs_lie_in_a_yard_where_most_hives_have_one(book: Engine, yard: Yard) -> None:
    arcs = [(Seen("fresh_arcs", value),) for value in (1.0, 1.0, 0.0)]
    assert of_hives(book, yard, *arcs).forage.fresh_arcs is True
    assert of_hives(book, yard, *arcs[1:]).forage.fresh_arcs is False


def test_hives_without_a_word_leave_what_was_last_known(book: Engine, yard: Yard) -> None:
    known = of_hives(book, yard, (Seen("frames_of_brood", 3.0),), (Seen("frames_of_brood", 4.0),))
    assert (known.forage.coming_in, known.forage.seen_on) == (yard.forage.coming_in, yard.today)
    assert known.health.honey == yard.health.honey


def test_a_hive_without_bees_is_no_part_of_the_average_colony(book: Engine, yard: Yard) -> None:
    def hive(bees: float, bread: float, queen: str) -> tuple[Seen, ...]:
        return (Seen("frames_of_bees", bees, "frames", definition="full"), Seen("frames_of_brood", bees / 2),
                Seen("bread", bread, "frames"), Seen("queen_status", word=queen))  # fmt: skip

    known = of_hives(book, yard, hive(6.0, 1.0, "eggs"), hive(0.0, 3.0, "neither"), hive(4.0, 0.5, "eggs"))
    assert (known.count.frames_of_bees, known.count.bread, known.count.frames_of_brood) == (5.0, 0.75, 2.5)
    assert (known.count.colonies_looked_in, known.health.queens_looked_for) == (2, 2)


def test_where_only_dead_hives_were_looked_at_the_count_before_them_holds(book: Engine, yard: Yard) -> None:
    dead = (Seen("frames_of_bees", 0.0, "frames", definition="full"), Seen("bread", 0.0, "frames"))
    assert of_hives(book, yard, dead, dead).count == yard.count


def test_hives_without_bees_are_named_until_it_is_said_what_became_of_them(book: Engine, yard: Yard) -> None:
    with writing(book) as session:
        key = yards.add_yard(session, yard)
        hives = [colonies.place_colony(session, key, tag) for tag in ("A1", "A2", "A3")]
        for on, frames in ((DAY - timedelta(days=9), (0.0, 5.0, 3.0)), (DAY, (4.0, 0.0, 0.0))):
            visit = readings.add_visit(session, key, Look(on, note=f"{FROM_SHEET}may.csv"))
            for hive, bees in zip(hives, frames, strict=True):
                readings.add(session, visit.id, Seen("frames_of_bees", bees, definition="full"), hive)
        assert hives_without_bees(session, key, TODAY) == (("A2", DAY), ("A3", DAY))
        colonies.ended(session, hives[1], "dead", DAY)
        assert hives_without_bees(session, key, TODAY) == (("A3", DAY),)


def test_where_no_hive_of_the_first_count_had_bees_the_season_begins_at_the_next(
    book: Engine, yard: Yard
) -> None:
    def counted(on: date, start: str | None, bees: float) -> None:
        visit = readings.add_visit(session, key, Look(on, start=start, note=f"{FROM_SHEET}may.csv"))
        readings.add(session, visit.id, Seen("frames_of_bees", bees, "frames", definition="full"), hive)
        readings.add(session, visit.id, Seen("bread", 2.0, "frames"), hive)

    with writing(book) as session:
        key = yards.add_yard(session, yard)
        for visit in readings.visits(session, key, yard.today):
            readings.withdraw_visit(session, visit.id, "not this yard")
        hive = colonies.place_colony(session, key, "A1")
        counted(DAY - timedelta(days=9), None, 0.0)
        with pytest.raises(RecordError, match="hive with bees up to 4 May 2026; without bees: A1"):
            yards.yard_as_known(session, key, TODAY)
        counted(DAY, "inspection", 6.0)
        count = yards.yard_as_known(session, key, TODAY).count
    assert (count.on, count.frames_of_bees, count.bread) == (DAY, 6.0, 2.0)
