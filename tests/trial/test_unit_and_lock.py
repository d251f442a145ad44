"""What is drawn as one, and what was locked: the seal, what changed, and the day of the answer."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from breadline.errors import TrialError
from breadline.knowledge.figure import Edit
from breadline.knowledge.shelf import load
from breadline.need.yard import Place
from breadline.plan.dry_feed import NoCheckGroup
from breadline.trial.classes import Lines
from breadline.trial.colonies import Started
from breadline.trial.design import Allocation, CheckArm, Design, Outcome, Unit
from breadline.trial.lock import canonical, deviations, open_from
from breadline.trial.unit import Stand, Way, drawn_as_one, feed_in_reach, unit_for

# One degree of latitude is 111.2 km (6371 km × π / 180), so 0.02° is 2.2 km, 0.05° 5.6 km, 0.2° 22 km
NORTH = 45.0


def stand(name: str, latitude: float, longitude: float | None = 7.0) -> Stand:
    return Stand(name, Place(latitude, longitude))


def groups(stands, edits=None, apart=False):
    return drawn_as_one(stands, load(edits or {}).reader(), apart)


def test_a_patty_in_the_hive_may_be_drawn_by_colony_and_open_feed_by_yard_only():
    assert unit_for(Way.IN_HIVE) is Unit.COLONY
    assert unit_for(Way.OPEN) is Unit.YARD


def test_yards_within_flight_range_are_one_in_chains_too():
    stands = [stand("A", NORTH), stand("B", NORTH + 0.02), stand("C", NORTH + 0.04), stand("D", NORTH + 0.3)]
    told = groups(stands)
    assert told.groups == (("A", "B", "C"), ("D",))
    assert told.said == (
        "A, B and C stand within 3 km (2 miles) of each other, or of one between: fed all or none.",
    )


def test_between_the_usual_and_the_farthest_flight_it_is_doubtful():
    told = groups([stand("A", -NORTH), stand("B", -NORTH - 0.05)])
    assert told.groups == (("A",), ("B",))
    assert told.said == (
        "Between 3 km (2 miles) and 8 km (5 miles) apart: A and B. In need bees fly that far.",
    )


def test_the_flight_range_is_the_users_to_edit():
    edit = Edit(1.0, 1.5, 2.0, "measured here", date(2026, 1, 1))
    told = groups([stand("A", NORTH), stand("B", NORTH + 0.02)], {"dry_feed.flight_range_km": edit})
    assert told.groups == (("A",), ("B",))
    assert not told.said


@pytest.mark.parametrize("unknown", [Stand("B", None), stand("B", NORTH, None)])
def test_a_yard_of_unknown_place_is_refused_unless_said_to_lie_apart(unknown):
    stands = [stand("A", NORTH), unknown]
    with pytest.raises(TrialError, match="yard B: its position is not known"):
        groups(stands)
    assert groups(stands, apart=True).groups == (("A",), ("B",))


def test_no_check_group_where_dry_feed_in_the_open_feeds_everybody():
    stood = [NoCheckGroup("A", Place(NORTH, 7.0), date(2026, 8, 1), 3.2, 8.0)]
    with pytest.raises(TrialError, match="yard B: No check group inside this flight range: since 1 August"):
        feed_in_reach([stand("B", NORTH + 0.02)], stood, "g")
    with pytest.raises(TrialError, match="yard A"):
        feed_in_reach([Stand("A", None)], stood, "g")
    told = feed_in_reach([stand("C", NORTH + 0.05), stand("D", NORTH + 0.3), Stand("E", None)], stood, "g")
    assert [sentence.partition(" may")[0].rpartition(" ")[2] for sentence in told] == ["C", "E"]


STARTED = (
    Started("Birch 47", "Home", "Home, set 1", 0, 7.5, 1, 1, hive="12"),
    Started("Anvil 23", "Home", "Home, set 1", 1, 8.0, 1, 2, hive="13"),
)
DESIGN = Design(
    Outcome.FRAMES, CheckArm.SAME_CARE, Unit.COLONY, Allocation.DRAWN, ("check", "fed"), 1, Lines(0.9, 0.5),
    date(2026, 11, 20), STARTED, seed=7, staggered=True,
)  # fmt: skip


def test_the_written_form_is_plain_and_holds_everything_that_is_locked():
    assert canonical(DESIGN).split("\n") == [
        "breadline locked design 1", "outcome\tframes of bees", "grade\t",
        "check arm\tthe same care, no protein feed", "arms\tcheck | fed", "primary\t1", "break-even\t0.9",
        "margin\t0.5", "grading\t2026-11-20", "unit\tcolony", "allocation\tdrawn by lot", "open feed\tFalse",
        "staggered\tTrue", "seed\t7", "Birch 47\t12\tHome\t\tHome, set 1\t0\t7.5\t1\t1\t",
        "Anvil 23\t13\tHome\t\tHome, set 1\t1\t8\t1\t2\t", "",
    ]  # fmt: skip


CHANGES = {
    "outcome": (Outcome.HONEY, "The outcome that pays was locked as frames of bees and is now honey."),
    "check_arm": (CheckArm.HALF, "and is now half the rate."),
    "lines": (Lines(0.6, 0.5), "The break-even was locked as 0.9 and is now 0.6."),
    "grading": (
        date(2026, 12, 1),
        "was locked as 20 November 2026 and is now 1 December",
    ),
    "seed": (8, "The seed of the draw was locked as 7 and is now 8."),
    "staggered": (None, "was locked as yes and is now not known."),
    "arms": (("check", "half", "fed"), "The list of groups was locked as check, fed"),
    "started": (STARTED[:1], "1 hive (Anvil 23) was left out after the draw"),
}


@pytest.mark.parametrize("field", CHANGES)
def test_whatever_is_changed_breaks_the_seal_and_is_told(field):
    value, says = CHANGES[field]
    now = replace(DESIGN, **{field: value})
    assert canonical(now) != canonical(DESIGN)
    assert any(says in sentence for sentence in deviations(DESIGN, now))


def test_a_hive_that_changed_its_group_or_came_later_is_named():
    moved = replace(STARTED[0], arm=1)
    graded_again = replace(STARTED[1], baseline=9.0)
    come = replace(STARTED[0], tag="Dove 25")
    told = deviations(DESIGN, replace(DESIGN, started=(moved, graded_again, come)))
    assert told == (
        "1 hive (Dove 25) was taken in without having been drawn.",
        "1 hive (Birch 47) was drawn into one group and kept in another.",
        "1 hive (Anvil 23) was written down otherwise than at the draw: yard, set, place or strength.",
    )


def test_the_same_design_has_the_same_form_and_no_deviation():
    typed_as_whole = replace(DESIGN, lines=Lines(1, 1))
    assert canonical(typed_as_whole) == canonical(replace(DESIGN, lines=Lines(1.0, 1.0)))
    assert deviations(DESIGN, replace(DESIGN)) == ()


def test_nothing_is_told_before_the_locked_day():
    with pytest.raises(TrialError, match="graded on 20 November 2026, and today is 19 November 2026"):
        open_from(DESIGN, date(2026, 11, 19))
    open_from(DESIGN, date(2026, 11, 20))
