"""What phones are told of feeding: rounds of a plan, and whom a check group leaves out. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, time
from types import SimpleNamespace
from uuid import UUID

import pytest

from breadline.jobs.check_group_trial import Asked
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.field_book import FieldBook
from breadline.jobs.field_given import groups_of
from breadline.jobs.rounds_paper_kept import paper_document, paper_from
from breadline.jobs.rounds_yard_paper import YardPaper
from breadline.jobs.trial_book import TrialsBook
from breadline.jobs.yard_file import read_yard
from breadline.plan.combining import Pair
from breadline.plan.cuts import Patty
from breadline.plan.paper import RoundVisit
from breadline.plan.portions import Step
from breadline.records import plans, readings, yards
from breadline.records.engine import open_book, writing
from breadline.trial.classes import Lines
from breadline.trial.colonies import CHECK, Started
from breadline.trial.design import CheckArm, Outcome, Unit

TODAY = date(2026, 8, 20)
GRADED = date(2026, 11, 20)
ASKED = Asked("Autumn", Outcome.FRAMES, CheckArm.SAME_CARE, Lines(0.9, 0.5), GRADED, 3.0, 7)
STEPS = (Step(0.0, 0.0), Step(4.0, 0.5), Step(8.0, 1.0))
VISIT = RoundVisit(
    "Named",
    1,
    date(2026, 8, 22),
    STEPS,
    (1, 5, 6),
    Patty(453.59237, "lb"),
    10,
    combine=(Pair(4.5, ("3", "4")),),
)
LATER = replace(VISIT, round=2, on=date(2026, 9, 12), joined_on=VISIT.on)
CHOSEN = plans.Chosen(
    TODAY, "asked", "sentence", "", "own mix", 12, {}, {}, {}, 1, "0", "0", ((VISIT.on, 453.59237),),
    paper_document(YardPaper("Named", "US", (VISIT, LATER))),
)  # fmt: skip


@pytest.fixture
def book(tmp_path):
    """One yard with twelve hives, each counted, and listed for the phones."""
    made = FieldBook(tmp_path / "book.sqlite", TODAY)
    key = made.add_yard(replace(read_yard(FIRST_YARD / "yard.toml"), name="Named", colonies=12))
    made.place_hives(key, [(f"{n}", "") for n in range(1, 13)])
    with writing(open_book(made.path)) as session:
        visit = readings.add_visit(session, UUID(key), readings.Look(date(2026, 8, 15)))
        for hive in readings.colonies(session, UUID(key)):
            readings.add(session, visit.id, readings.Seen("frames_of_bees", 7.0), hive.id)
    return made


def told(book: FieldBook) -> dict:
    return book.yards_for_phones()["yards"][0]


def test_the_rounds_of_the_chosen_plan_come_with_who_gets_which_piece(book):
    assert told(book)["rounds"] == []
    with writing(open_book(book.path)) as session:
        plans.keep_plan(session, UUID(told(book)["id"]), CHOSEN)
    one, later = told(book)["rounds"]
    assert (one["round"], one["on"], one["joined"]) == (1, "2026-08-22", {})
    assert one["says"] == {"3": "If healthy, combine into 4", "4": "If healthy, combine 3 here: ½ lb"}
    assert one["why"]["3"] == one["why"]["4"]
    assert one["why"]["4"].startswith(
        "Combine 3 into 4, then give 4 ½ patty (½ lb) and 3 nothing. Combine healthy"
    )
    assert one["why"]["4"].endswith("Ask your apiary inspector.")
    assert (later["says"], later["why"], later["joined"]) == ({}, {}, {"4": 4.5}), "joined on the first round"
    assert [(step["from"], step["gets"]) for step in one["steps"]] == [
        (0.0, "none"), (4.0, "½ patty (½ lb)"), (8.0, "1 patty (1 lb)"),
    ]  # fmt: skip
    assert [step["grams"] for step in one["steps"]] == [0, 227, 454]


@pytest.mark.parametrize(("pays", "says"), [(True, "to be combined"), (False, "too small")])
def test_a_plan_of_an_older_book_says_on_the_phone_what_its_sheet_says(book, pays, says):
    paper = paper_document(YardPaper("Named", "US", (VISIT,)))
    (visit,) = paper["visits"]
    for newer in ("joined", "unfed", "unfed_why"):
        del visit[newer]
    visit |= {"combine": ["3"], "combine_pays": pays}
    with writing(open_book(book.path)) as session:
        plans.keep_plan(session, UUID(told(book)["id"]), replace(CHOSEN, paper=paper))
    assert told(book)["rounds"][0]["says"] == {"3": f"Give nothing: {says}"}
    assert paper_from(paper).visits[0].unfed_why == says


@pytest.mark.parametrize("paper", [None, {"shape": "of a later version"}])
def test_a_plan_whose_sheets_were_not_kept_says_its_grams(book, paper):
    with writing(open_book(book.path)) as session:
        plans.keep_plan(session, UUID(told(book)["id"]), replace(CHOSEN, paper=paper))
    (one,) = told(book)["rounds"]
    assert [(step["from"], step["gets"]) for step in one["steps"]] == [(0.0, "1 lb")]


def test_check_hives_of_a_locked_trial_are_named_until_it_is_graded(book):
    trials = TrialsBook(book.path, TODAY)
    now = datetime(2026, 8, 20, 9, tzinfo=UTC)
    drawn = trials.draw(trials.candidates(["Named"]), ASKED, now)
    assert told(book)["check"] == {}  # not locked yet: another draw may follow
    locked = trials.lock(drawn.key, now).trial
    left_out = {one.hive for one in locked.design.started if one.arm == CHECK}
    says = told(book)["check"]
    assert set(says) == left_out
    assert 0 < len(left_out) < 12
    assert set(says.values()) == {"no protein feed; under 3 frames it is fed all the same"}
    worn = {one.tag: one.hive for one in locked.design.started}
    assert dict(told(book)["worn"]) == worn  # fed and check alike, so that it tells of no group
    with writing(open_book(book.path)) as session:
        key = UUID(told(book)["id"])
        renamed = replace(yards.yard_as_known(session, key, TODAY), name="Named anew")
        yards.say_again(session, key, renamed, "as the map has it")
    assert (set(told(book)["check"]), dict(told(book)["worn"])) == (left_out, worn)  # by the name it had
    after = FieldBook(book.path, date(2026, 11, 21))
    assert told(after)["check"] == {}
    assert dict(told(after)["worn"]) == worn  # they wear it still when they are graded a day late


@pytest.mark.parametrize(
    ("hive", "listed", "left_out"),
    [
        ("A1", "A1", {"A1"}),
        ("a1", "A1", {"A1"}),  # drawn in other letters
        ("Named A1", "A1", {"A1"}),  # a trial over yards
        ("A1", "Birch 47", {"Birch 47"}),  # written down by what it wears
    ],
)
def test_a_check_hive_is_left_out_by_whatever_name_it_is_listed(hive, listed, left_out):
    design = SimpleNamespace(
        outcome=Outcome.FRAMES, grading=GRADED, check_arm=CheckArm.SAME_CARE, unit=Unit.COLONY
    )
    hives = (Started("Birch 47", "Named", "1", CHECK, hive=hive),)
    at = datetime.combine(TODAY, time(9), UTC)
    trial = SimpleNamespace(
        design=design, seal="x", rescue_below=0.0, without_end=hives, drawn_at=at, locked_at=at
    )
    assert set(groups_of(trial, ("Named",), frozenset({listed, "A2"}), TODAY)) == left_out
