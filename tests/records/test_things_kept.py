"""Readings, visits, colonies, weather files and edited figures, one thing at a time."""

from __future__ import annotations

from datetime import date
from uuid import UUID, uuid4

import pytest
from sqlalchemy import Engine, text

from breadline.errors import RecordError
from breadline.knowledge.shelf import Edit
from breadline.need.yard import Yard
from breadline.records import figure_edits, readings, weather_kept, yards
from breadline.records.engine import looking, writing
from breadline.records.readings import Look, Seen
from breadline.records.tables import Weather

DAY = date(2026, 3, 12)


@pytest.fixture
def key(book: Engine, yard: Yard) -> UUID:
    with writing(book) as session:
        return yards.add_yard(session, yard)


def test_a_yard_as_known_earlier_leaves_out_what_came_later(book: Engine, key: UUID, yard: Yard) -> None:
    with writing(book) as session:
        visit = readings.add_visit(session, key, Look(DAY, 2))
        readings.add(session, visit.id, Seen("bread", 0.25, "frames"))
        readings.add(session, visit.id, Seen("pollen_seen", word="plenty"))
        later = yards.yard_as_known(session, key, DAY)
        assert (later.count.bread, later.count.on, later.forage.coming_in) == (0.25, DAY, "plenty")
        assert later.forage.fresh_arcs is None  # seen on an earlier visit, so not "today"
        assert later.health == yard.health
        assert yards.yard_as_known(session, key, yard.today) == yard
        with pytest.raises(RecordError, match="no count of bread"):
            yards.yard_as_known(session, key, date(2026, 3, 1))


def test_a_corrected_visit_takes_its_readings_along(book: Engine, key: UUID) -> None:
    with writing(book) as session:
        visit = readings.add_visit(session, key, Look(DAY, 2))
        readings.add(session, visit.id, Seen("bread", 0.25, "frames"))
        moved = readings.correct_visit(session, visit.id, Look(date(2026, 3, 11), 3), "wrong day")
        count = yards.yard_as_known(session, key, DAY).count
        assert (count.on, count.bread, count.colonies_looked_in) == (date(2026, 3, 11), 0.25, 3)
        assert readings.of_visit(session, visit.id) == []
        assert [row.value for row in readings.of_visit(session, moved.id)] == [0.25]


def test_a_withdrawn_visit_counts_no_more(book: Engine, key: UUID, yard: Yard) -> None:
    with writing(book) as session:
        visit = readings.add_visit(session, key, Look(DAY, 2))
        readings.add(session, visit.id, Seen("bread", 0.25, "frames"))
        readings.withdraw_visit(session, visit.id, "another yard")
        assert yards.yard_as_known(session, key, DAY).count == yard.count
        assert visit.id not in [row.id for row in readings.visits(session, key, DAY)]


def test_nothing_is_read_on_a_visit_that_does_not_hold(book: Engine, key: UUID) -> None:
    with writing(book) as session:
        gone = readings.add_visit(session, key, Look(DAY))
        readings.withdraw_visit(session, gone.id, "another yard")
        moved = readings.add_visit(session, key, Look(DAY))
        readings.correct_visit(session, moved.id, Look(DAY, 3), "three hives")
        for visit in (gone, moved):
            with pytest.raises(RecordError, match="a visit that holds now"):
                readings.add(session, visit.id, Seen("bees_kg", 1.0))
            with pytest.raises(RecordError, match="corrected or withdrawn before"):
                readings.correct_visit(session, visit.id, Look(DAY, 4), "four hives")


def test_one_colony_is_not_the_yard(book: Engine, key: UUID, yard: Yard) -> None:
    with writing(book) as session:
        colony = readings.add_colony(session, key, "7")
        visit = readings.add_visit(session, key, Look(yard.today))
        row = readings.add(session, visit.id, Seen("mites_per_100", 9.0), colony.id)
        assert row.unit == "mites/100 bees"
        assert [one.name for one in readings.colonies(session, key)] == ["7"]
        assert yards.yard_as_known(session, key, yard.today).health == yard.health
        with pytest.raises(RecordError, match="not in this yard"):
            readings.add(session, visit.id, Seen("mites_per_100", 9.0), uuid4())


@pytest.mark.parametrize(
    ("seen", "word"),
    [
        (Seen("bread", 1.0), "frames or cells or g"),
        (Seen("bread", 1.0, "lb"), "lb"),
        (Seen("mites_per_100", 1.0, "%"), "%"),
        (Seen("honey", word="plenty"), "light or enough"),
        (Seen("outside_c", float("nan")), "finite"),
        (Seen("height", 1.0), "kind"),  # type: ignore[arg-type]
    ],
)
def test_a_reading_that_does_not_fit_is_refused(book: Engine, key: UUID, seen: Seen, word: str) -> None:
    with writing(book) as session:
        visit = readings.add_visit(session, key, Look(DAY))
        with pytest.raises(RecordError, match=word):
            readings.add(session, visit.id, seen)


def test_a_correction_stays_of_its_kind(book: Engine, key: UUID) -> None:
    with writing(book) as session:
        row = readings.add(session, readings.add_visit(session, key, Look(DAY)).id, Seen("bees_kg", 1.0))
        with pytest.raises(RecordError, match="cannot become"):
            readings.correct(session, row.id, Seen("outside_c", 1.0), "")


def test_what_is_not_there_is_said(book: Engine) -> None:
    with writing(book) as session:
        for ask in (
            lambda: yards.yard_as_known(session, uuid4(), DAY),
            lambda: readings.add_visit(session, uuid4(), Look(DAY)),
            lambda: readings.add(session, uuid4(), Seen("bees_kg", 1.0)),
            lambda: readings.history(session, uuid4()),
            lambda: readings.add_colony(session, uuid4(), "7"),
            lambda: weather_kept.keep(session, weather_kept.Came("w.csv", b"x"), uuid4()),
            lambda: figure_edits.undo(session, "invented.figure"),
            lambda: readings.correct_visit(session, uuid4(), Look(DAY), ""),
        ):
            with pytest.raises(RecordError):
                ask()


def test_yards_on_the_list_and_taken_off(book: Engine, yard: Yard) -> None:
    with writing(book) as session:
        ours, theirs = (yards.add_operation(session, name) for name in ("ours", "theirs"))
        with pytest.raises(RecordError, match="2 operations fit"):
            yards.add_yard(session, yard)
        first = yards.add_yard(session, yard, ours.id)
        second = yards.add_yard(session, yard, theirs.id)
        assert [one.id for one in yards.yards(session)] == [first, second]
        assert [one.id for one in yards.yards(session, theirs.id)] == [second]
        yards.withdraw_yard(session, first, "sold")
        assert [one.id for one in yards.yards(session)] == [second]


def test_a_weather_file_is_kept_byte_for_byte_and_once(book: Engine, key: UUID) -> None:
    content = "day,tmin [°C]\r\n2026-03-01,−2\r\n".encode("cp1252", "replace") + bytes(range(256))
    came = weather_kept.Came("w.csv", content, notes=("1 day dropped",), latitude=51.2)
    with writing(book) as session:
        everyone = weather_kept.keep(session, weather_kept.Came("all.csv", b"x"))
        assert weather_kept.newest(session, key) is everyone
        row = weather_kept.keep(session, came, key)
        assert weather_kept.keep(session, came, key) is row
    with looking(book) as session:
        back = weather_kept.newest(session, key)
        assert back is not None
        assert weather_kept.content(back) == content
        assert (back.name, back.notes, back.latitude) == ("w.csv", ["1 day dropped"], 51.2)


def test_an_older_weather_file_given_again_is_the_one_in_use(book: Engine, key: UUID) -> None:
    first, second = (weather_kept.Came(name, name.encode()) for name in ("first.csv", "second.csv"))
    with writing(book) as session:
        for came in (first, second, first):
            weather_kept.keep(session, came, key)
        last = weather_kept.newest(session, key)
        assert last is not None
        assert last.name == "first.csv"
        named_right = weather_kept.keep(session, weather_kept.Came("first.dly", b"first.csv"), key)
        assert weather_kept.newest(session, key) is named_right


@pytest.mark.parametrize("name", ["../w.csv", "/etc/w.csv", "..\\w.csv", "C:w.csv", "..", ""])
def test_a_weather_file_cannot_name_another_folder(book: Engine, key: UUID, name: str) -> None:
    with writing(book) as session, pytest.raises(RecordError, match="without a folder"):
        weather_kept.keep(session, weather_kept.Came(name, b"x"), key)
    with writing(book) as session:  # as in a book that somebody else wrote
        session.add(Weather(yard_id=key, name=name, sha256="", content=b"x", notes=[]))
        session.flush()
        with pytest.raises(RecordError, match="without a folder"):
            weather_kept.newest(session, key)


def test_an_empty_or_damaged_weather_file_is_refused(book: Engine, key: UUID) -> None:
    with writing(book) as session:
        with pytest.raises(RecordError, match="empty"):
            weather_kept.keep(session, weather_kept.Came("w.csv", b""), key)
        weather_kept.keep(session, weather_kept.Came("w.csv", b"good"), key)
    with book.begin() as connection:
        of = " ON weather" if book.dialect.name == "postgresql" else ""
        connection.execute(text(f"DROP TRIGGER weather_no_update{of}"))
        connection.execute(text("UPDATE weather SET content = :other"), {"other": b"\0"})
    with looking(book) as session:
        row = weather_kept.newest(session, key)
        assert row is not None
        with pytest.raises(RecordError, match="damaged"):
            weather_kept.content(row)


def test_an_edited_figure_and_back_to_the_shipped_one(book: Engine) -> None:
    first, second = Edit(1.0, 2.0, 3.0, "ours", DAY), Edit(2.0, 3.0, 4.0, "weighed again", DAY)
    with writing(book) as session:
        figure_edits.edit(session, "invented.figure", first)
        assert figure_edits.current_edits(session) == {"invented.figure": first}
        figure_edits.edit(session, "invented.figure", second)
        assert figure_edits.current_edits(session) == {"invented.figure": second}
        figure_edits.undo(session, "invented.figure", "the scale was off")
        assert figure_edits.current_edits(session) == {}
        with pytest.raises(RecordError, match="not edited"):
            figure_edits.undo(session, "invented.figure")
        figure_edits.edit(session, "invented.figure", first)
        assert figure_edits.current_edits(session) == {"invented.figure": first}
        line = figure_edits.edit_history(session, "invented.figure")
        assert [(row.typical, row.withdrawn, row.because) for row in line] == [
            (2.0, False, "ours"),
            (3.0, False, "weighed again"),
            (3.0, True, "the scale was off"),
            (2.0, False, "ours"),
        ]
