"""What goes with an entry that is taken back, and what stays because more was said. Invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from sqlalchemy import Engine, event, text

from breadline.errors import RecordError
from breadline.records import colonies, field, hive_past, trials, yards
from breadline.records.engine import looking, writing
from breadline.records.shape import migrate
from records.test_field import NOW, frames, place, record, sent, take
from records.test_field_taken_back import back, bees
from records.test_field_trials import ends, trial

__all__ = ["place", "trial"]
BEFORE = "2026-05-02T10:30:00+02:00"


def row(book: Engine, place) -> list[tuple[str, str]]:
    with looking(book) as session:
        return [(one.tag, one.standing) for one in colonies.in_rows(session, place)]


def test_a_hive_graded_alike_on_two_days_stays_graded_without_the_first(book, place, trial) -> None:
    first, second = record(place, work="grading", at=BEFORE), record(place, work="grading", by="Bo")
    take(book, first, second)
    take(book, back(place, first, at=BEFORE))
    assert ends(book, trial) == [("Birch 47", "graded", 7.5)]
    with looking(book) as session:
        (end,) = trials.ends_of(session, trials.trial_of(session, trial))
    assert (end.graded_on, end.grader) == (NOW.date(), "Bo")
    take(book, back(place, second))
    assert ends(book, trial) == []


@pytest.mark.parametrize("later_first", [True, False])
def test_a_hive_found_dead_on_two_days_stands_again_without_both(book, place, trial, later_first) -> None:
    early = record(place, at=BEFORE, seen={}, standing="dead")
    late = record(place, seen={}, standing="dead")
    assert [one[0] for one in take(book, late, early)] == ["stored", "stored"]
    one, other = (late, early) if later_first else (early, late)
    take(book, back(place, one, at=one["at"]))
    assert row(book, place)[0] == ("A1", "dead")
    assert ends(book, trial) == [("Birch 47", "dead", None)]
    take(book, back(place, other, at=other["at"]))
    assert row(book, place)[0] == ("A1", "stands")
    assert ends(book, trial) == []


def test_a_hive_that_was_new_by_mistake_goes_with_its_entry(book: Engine, place) -> None:
    wrong = record(place, "B9", new=True)
    take(book, wrong)
    assert ("B9", "stands") in row(book, place)
    with looking(book) as session:
        gone = colonies.in_rows(session, place)[-1].id
    anew = record(place, "B9", new=True, seen=bees(4.0))
    assert [one[0] for one in take(book, back(place, wrong, "B9"))] == ["stored"]
    assert [tag for tag, _ in row(book, place)] == ["A1", "A2", "A3"]
    with looking(book) as session, pytest.raises(RecordError, match="taken off the list"):
        hive_past.past(session, gone)
    assert take(book, anew) == [("stored", "")]
    assert frames(book, place) == [("B9", 4.0)]


def test_a_hive_stays_in_the_row_where_it_was_listed_or_entered_otherwise(book: Engine, place) -> None:
    wrong, also = record(place, "B9", new=True), record(place, "B9", work="round", new=True)
    other = record(place, "B9", seen=bees(2.0))
    take(book, wrong, also)
    assert take(book, other, phone="crew 2")[0][0] == "conflict"
    take(book, back(place, wrong, "B9"))
    take(book, back(place, also, "B9"))
    assert ("B9", "stands") in row(book, place), "a question waits for it"
    with writing(book) as session:
        colonies.place_colony(session, place, "C1")
    listed = record(place, "C1")
    take(book, listed, back(place, listed, "C1"))
    assert ("C1", "stands") in row(book, place)


def test_a_batch_asks_the_book_once_however_much_it_takes_back(book: Engine, place) -> None:
    wrong = [record(place, f"H{n}", new=True, seen=bees(n % 20)) for n in range(60)]
    told = sent(*[one for each in wrong for one in (each, back(place, each, each["tag"]))])
    asked: list[str] = []
    event.listen(book, "before_cursor_execute", lambda *told: asked.append(told[2]))
    with writing(book) as session:
        answers = field.take_all(session, told, NOW)
    assert [one.answer for one in answers] == ["stored"] * 120
    whole = [one for one in asked if one.startswith("SELECT field_entry.id, field_entry.sha256")]
    assert len(whole) == 1
    assert frames(book, place) == []
    assert [tag for tag, _ in row(book, place)] == ["A1", "A2", "A3"]


def test_what_was_taken_back_before_it_came_stays_out_after_a_way_down_and_up(book: Engine, place) -> None:
    late = record(place)
    take(book, back(place, late))
    for wanted in ("0015", "head"):
        migrate(book, wanted)
    assert take(book, late) == [("stored", "it was taken back before it came")]
    assert frames(book, place) == []
    with pytest.raises(RecordError, match="cannot be changed"), book.connect() as connection:
        connection.execute(text("UPDATE field_entry SET tag = 'B'"))


def test_a_renamed_yard_keeps_its_check_group(book: Engine, place, trial) -> None:
    with writing(book) as session:
        known = yards.yard_as_known(session, place, date(2026, 5, 3))
        yards.say_again(session, place, replace(known, name="Mill Road"), "as the map has it")
    take(book, record(place, "birch 47", work="grading"))
    assert ends(book, trial) == [("Birch 47", "graded", 7.5)]
