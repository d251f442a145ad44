"""An entry given to another hive: what stands there goes only where it was shown. Invented."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy import Engine

from breadline.records import colonies, readings, trials, yard_rows
from breadline.records.engine import looking, writing
from breadline.records.field_questions import questions
from breadline.records.field_stands import StandsThere, Taken, There
from breadline.records.field_word import answer, decide
from breadline.records.readings import Look, Seen
from breadline.trial.colonies import Became, Ended
from records.test_field import NOW, frames, place, record, take
from records.test_field_questions import word
from records.test_field_taken_back import back, bees
from records.test_field_trials import DAY, ends, trial

__all__ = ["place", "trial"]


def key_of(book: Engine, place, tag: str):
    with looking(book) as session:
        return next(one.id for one in colonies.in_rows(session, place) if one.tag == tag)


def refused(book: Engine, colony=None, new: bool = False, shown: tuple[There, ...] = ()) -> tuple[There, ...]:
    """What a yes to the only question was not shown; nothing is written."""
    keys = frozenset(one.key for one in shown)
    with pytest.raises(StandsThere) as found, writing(book) as session:
        answer(session, questions(session)[0].entry.id, True, Taken(colony, new, keys), "looked again")
    with looking(book) as session:
        assert len(questions(session)) == 1, "it waits as before"
    return found.value.there


def in_place(book: Engine, shown: tuple[There, ...], colony=None, new: bool = False) -> None:
    """A yes to the only question of one who was shown what stands."""
    keys = frozenset(one.key for one in shown)
    with writing(book) as session:
        answer(session, questions(session)[0].entry.id, True, Taken(colony, new, keys), "looked again")


def brought(book: Engine, place, kind: str, value: float, unit: str, tag: str | None = None) -> None:
    """A row of a sheet, of a hive or of the yard's average."""
    colony = None if tag is None else key_of(book, place, tag)
    with writing(book) as session:
        look = Look(NOW.date(), start=yard_rows.INSPECTION, note=f"{yard_rows.FROM_SHEET}may.csv")
        readings.add(session, readings.add_visit(session, place, look).id, Seen(kind, value, unit), colony)


@pytest.mark.parametrize("tag", ["A1", "B9"])
def test_another_phones_entry_of_the_named_hive_goes_only_where_it_was_shown(book, place, tag: str) -> None:
    """The entry came for a hive where something stands too, or for a tag that nobody listed."""
    take(book, record(place), record(place, "A2", seen=bees(8.0)))
    take(book, record(place, tag, seen=bees(3.0)), phone="crew 2")
    two = key_of(book, place, "A2")
    (stands,) = refused(book, two)
    assert stands.before is not None
    assert stands.before.said["frames_of_bees"] == (8.0, None)
    assert sorted(frames(book, place)) == [("A1", 7.5), ("A2", 8.0)]
    in_place(book, (stands,), two)
    assert sorted(frames(book, place)) == [("A1", 7.5), ("A2", 3.0)]


def test_what_stands_where_nothing_says_otherwise_is_no_question(book: Engine, place) -> None:
    take(book, record(place), record(place, "A2", seen={"queen_status": {"word": "eggs"}}))
    take(book, record(place, seen=bees(3.0)), phone="crew 2")
    word(book, True, key_of(book, place, "A2"))
    assert sorted(frames(book, place)) == [("A1", 7.5), ("A2", 3.0)]


def test_what_was_shown_and_mended_meanwhile_is_asked_about_again(book: Engine, place) -> None:
    first = record(place, "A2", seen=bees(8.0))
    take(book, record(place), first)
    take(book, record(place, seen=bees(3.0)), phone="crew 2")
    two = key_of(book, place, "A2")
    shown = refused(book, two)
    take(book, record(place, "A2", seen=bees(9.0), mends=first["id"]))
    (stands,) = refused(book, two, shown=shown)
    assert stands.before is not None
    assert stands.before.said["frames_of_bees"] == (9.0, None)
    assert ("A2", 9.0) in frames(book, place)
    in_place(book, (stands,), two)
    assert sorted(frames(book, place)) == [("A1", 7.5), ("A2", 3.0)]


def test_what_came_beside_it_meanwhile_is_asked_about_too(book: Engine, place) -> None:
    fed = {"put_on": {"value": 450.0, "unit": "g"}}
    take(book, record(place), record(place, "A2", seen=bees(8.0)))
    take(book, record(place, seen=bees(3.0) | fed), phone="crew 2")
    two = key_of(book, place, "A2")
    shown = refused(book, two)
    brought(book, place, "put_on", 200.0, "g", "A2")
    both = refused(book, two, shown=shown)
    assert [one.before.phone for one in both if one.before] == ["crew 1", "sheet"]
    in_place(book, both, two)
    assert sorted(frames(book, place)) == [("A1", 7.5), ("A2", 3.0)]


@pytest.mark.parametrize(("tag", "kind", "unit"), [("A2", "put_on", "g"), (None, "feed_given", "g/colony")])
def test_a_row_and_an_average_of_a_sheet_go_only_where_they_were_shown(book, place, tag, kind, unit) -> None:
    brought(book, place, kind, 200.0, unit, tag)
    take(book, record(place, "B9", seen={"put_on": {"value": 450.0, "unit": "g"}}))
    two = key_of(book, place, "A2")
    (stands,) = refused(book, two)
    assert stands.before is not None
    assert stands.before.said == {"put_on": (200.0, None)}
    in_place(book, (stands,), two)
    with looking(book) as session:
        assert questions(session) == []


def test_an_end_of_a_check_group_goes_only_where_it_was_shown(book: Engine, place, trial) -> None:
    with writing(book) as session:
        was = Ended("Alder 12", Became.GRADED, 5.0, DAY, "Bo")
        trials.keep_end(session, trials.trial_of(session, trial), was)
    take(book, record(place, "B9", work="grading"))
    two = key_of(book, place, "A2")
    (stands,) = refused(book, two)
    assert "has hive Alder 12 as graded, 5 already" in stands.why
    assert ends(book, trial) == [("Alder 12", "graded", 5.0)]
    in_place(book, (stands,), two)
    assert ends(book, trial) == [("Alder 12", "graded", 7.5)]


def test_an_end_that_came_with_what_is_shown_is_not_asked_about_by_itself(book: Engine, place, trial) -> None:
    take(book, record(place, "A2", work="grading", seen=bees(5.0)))
    take(book, record(place, "B9", work="grading"))
    two = key_of(book, place, "A2")
    shown = refused(book, two)
    assert len(shown) == 1
    in_place(book, shown, two)
    assert ends(book, trial) == [("Alder 12", "graded", 7.5)]


def test_an_end_beside_another_entry_is_never_written_over_unseen(book: Engine, place, trial) -> None:
    """The question shows the other entry of the hive, and not what the check group has."""
    take(book, record(place, "A2", work="grading", seen=bees(5.0)))
    with writing(book) as session:
        trials.keep_end(
            session, trials.trial_of(session, trial), Ended("Alder 12", Became.GRADED, 6.0, DAY, "Bo")
        )
    take(book, record(place, "A2", work="grading"), phone="crew 2")
    entry, end = refused(book)
    assert entry.before is not None
    assert "as graded, 6 already" in end.why
    in_place(book, (entry, end))
    assert ends(book, trial) == [("Alder 12", "graded", 7.5)]


def test_a_new_hive_of_a_tag_that_was_listed_meanwhile_replaces_nothing_unseen(book: Engine, place) -> None:
    take(book, record(place, "B9"))
    take(book, record(place, "B9", seen=bees(3.0)), phone="crew 2")
    with writing(book) as session:
        first = next(one for one in questions(session) if one.entry.phone == "crew 1")
        decide(session, first.entry.id, True, None, "new", True)
    (stands,) = refused(book, new=True)
    assert stands.before is not None
    assert frames(book, place) == [("B9", 7.5)]
    in_place(book, (stands,), new=True)
    assert frames(book, place) == [("B9", 3.0)]


def test_a_hive_found_dead_does_not_take_the_place_of_one_merged_unseen(book: Engine, place) -> None:
    one, two = key_of(book, place, "A1"), key_of(book, place, "A2")
    with writing(book) as session:
        colonies.ended(session, two, "merged", NOW.date() - timedelta(days=2), one)
    take(book, record(place, "B9", seen={}, standing="dead"))
    (stands,) = refused(book, two)
    assert "hive A2 is written down as merged into A1" in stands.why


def test_of_one_hive_all_that_differs_is_shown_before_it_goes(book: Engine, place) -> None:
    """Two phones wrote down different things of it, and the question stands beside one of them."""
    queen, seen = {"queen_status": {"word": "eggs"}}, {"queen_status": {"word": "seen"}}
    take(book, record(place))
    take(book, record(place, seen=queen), phone="crew 2")
    take(book, record(place, seen=bees(3.0) | seen), phone="crew 3")
    both = refused(book)
    assert [one.before.phone for one in both if one.before] == ["crew 1", "crew 2"]
    in_place(book, both)
    assert frames(book, place) == [("A1", 3.0)]


def test_a_death_given_to_another_hive_goes_with_its_entry(book: Engine, place, trial) -> None:
    """It has no reading: taken back by its phone, the hive stayed dead, and its end in the check group."""
    dead = record(place, "B9", seen={}, standing="dead")
    take(book, dead)
    word(book, True, key_of(book, place, "A2"))
    assert standing(book, place, "A2") == "dead"
    assert ends(book, trial) == [("Alder 12", "dead", None)]
    assert take(book, back(place, dead)) == [("stored", "")]
    assert standing(book, place, "A2") == "stands"
    assert ends(book, trial) == []


def standing(book: Engine, place, tag: str) -> str:
    with looking(book) as session:
        return next(one.standing for one in colonies.in_rows(session, place) if one.tag == tag)
