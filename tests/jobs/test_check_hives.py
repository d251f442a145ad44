"""Sheets of a plan while a check group runs: its hives are left out of all of them. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime
from uuid import UUID

import pytest

from breadline.jobs import check_hives, field_paper, rounds_paper
from breadline.jobs.check_group_trial import Asked
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.field_given import given_there
from breadline.jobs.field_paper import FieldPaper
from breadline.jobs.keyed_rows import Keyed, Row
from breadline.jobs.keying import KeyingBook, fresh_form
from breadline.jobs.rounds_as_kept import kept_paper
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_paper import Printing, papers
from breadline.jobs.rounds_paper_kept import paper_document
from breadline.jobs.rounds_yard_paper import FeedPaper, YardPaper
from breadline.jobs.trial_book import TrialsBook
from breadline.jobs.yard_file import read_yard
from breadline.plan.combining import Pair
from breadline.plan.cuts import Patty
from breadline.plan.money import Amount
from breadline.plan.paper import RoundVisit
from breadline.plan.portions import Step
from breadline.records import plans, readings
from breadline.records.engine import open_book, writing
from breadline.sheets.calendar_file import round_entries
from breadline.sheets.labels import hive_labels
from breadline.sheets.order_list import order_list_data
from breadline.sheets.tally import tally_data
from breadline.sheets.truck_sheet import truck_sheet_data
from breadline.trial.classes import Lines
from breadline.trial.colonies import CHECK, Became, Ended
from breadline.trial.design import CheckArm, Outcome

TODAY, GRADED = date(2026, 8, 20), date(2026, 11, 20)
NOW = datetime(2026, 8, 20, 9, tzinfo=UTC)
FRAMES = (3.0, 3.0, *(6.0,) * 5, *(9.0,) * 5)
POUND = Patty(453.59237, "lb")
ALL_ALIKE = RoundVisit("Named", 1, date(2026, 8, 22), (Step(0.0, 0.5),), (12,), POUND, 10, rim=True,
                       feed="own mix")  # fmt: skip
FEED = FeedPaper("own mix", Amount(8.0, "$", 2026))


@pytest.fixture
def book(tmp_path):
    """A yard of twelve hives, each counted, with a plan of one round for all of them."""
    made = FieldPaper(tmp_path / "book.sqlite", TODAY)
    key = made.add_yard(replace(read_yard(FIRST_YARD / "yard.toml"), name="Named", colonies=12))
    made.place_hives(key, [(f"{n}", "") for n in range(1, 13)])
    with writing(open_book(made.path)) as session:
        visit = readings.add_visit(session, UUID(key), readings.Look(date(2026, 8, 15)))
        for hive, frames in zip(readings.colonies(session, UUID(key)), FRAMES, strict=True):
            readings.add(session, visit.id, readings.Seen("frames_of_bees", frames), hive.id)
    return made


def chosen(book, *visits, hives=()):
    """The plan is kept; the paper that is printed of it now."""
    paper = YardPaper("Named", "US", visits, FEED, hives=tuple(hives))
    rounds = tuple((visit.on, 226.8) for visit in visits)
    key = book.yard_named("Named")
    with writing(open_book(book.path)) as session:
        plans.keep_plan(session, UUID(key), plans.Chosen(
            TODAY, "asked", "sentence", "", "own mix", 12, {}, {}, {}, 1, "0", "0", rounds,
            paper_document(paper),
        ))  # fmt: skip
    return printed(book)


def printed(book, today=TODAY):
    of, key = RoundsBook(book.path, today), book.yard_named("Named")
    return kept_paper(of, key, of.plan(key), "", lambda: pytest.fail("it was kept"))


def locked(book, arm=CheckArm.SAME_CARE, rescue_below=0.0, drawn=NOW):
    trials = TrialsBook(book.path, TODAY)
    asked = Asked("Autumn", Outcome.FRAMES, arm, Lines(0.9, 0.5), GRADED, rescue_below, 7, check=4)
    kept = trials.lock(trials.draw(trials.candidates(), asked, drawn).key, NOW)
    return kept, [one for one in kept.trial.design.started if one.arm == CHECK and one.yard == "Named"]


@pytest.mark.parametrize("lock_first", [True, False])
def test_sheets_leave_out_the_check_hives_of_a_locked_trial_whenever_the_plan_was_chosen(book, lock_first):
    if lock_first:
        _, check = locked(book, rescue_below=3.0)
        paper = chosen(book, ALL_ALIKE)
    else:
        chosen(book, ALL_ALIKE)
        _, check = locked(book, rescue_below=3.0)
        paper = printed(book)
    of = papers([paper], Printing(TODAY))
    (load,) = of.loads
    assert len(check) == 4
    assert (load.visits[0].fed, load.rims, load.given) == (8, 8, 4.0)
    assert of.order.rounds[0].fed == 8
    assert of.order.patties == load.patties
    data = truck_sheet_data(load, "us-letter")
    assert data["rule"] == [["check hives", "nothing"], ["every other colony", "½ patty (½ lb)"]]
    assert data["yards"][0]["counts"] == ["4", "8"]
    tags = ", ".join(one.tag for one in check)
    assert data["yards"][0]["borders"] == (
        f"Give nothing: check hives {tags}. One under 3 frames of bees is fed all the same."
    )
    (entry,) = round_entries(of.loads)
    assert "8 of 12 colonies. Check hives: nothing; every other colony: ½ patty (½ lb)." in entry.notes
    assert not any(one.tag in entry.notes for one in check), "a calendar is seen by whoever grades"


def test_labels_are_for_the_fed_hives_alone_and_no_check_hive_is_combined(book):
    _, check = locked(book)
    hives = [(f"{n}", frames) for n, frames in enumerate(FRAMES, 1)]
    left = next(one.hive for one in check if one.hive not in "12")
    pairs = (Pair(9.0, (left, next(f"{n}" for n in range(1, 13) if f"{n}" not in [c.hive for c in check]))),)
    steps = (Step(0.0, 0.0), Step(4.0, 0.5), Step(8.0, 1.0))
    visit = replace(ALL_ALIKE, steps=steps, counts=(2, 5, 4), combine=pairs, joined_on=ALL_ALIKE.on)
    (now,) = chosen(book, visit, hives=hives).visits
    assert now.combine == ()
    phone = {"id": book.yard_named("Named"), "hives": [{"tag": tag} for tag, _ in hives]}
    assert given_there(book, [phone], "lb")[0]["rounds"][0]["says"] == {}, "nor is its partner told to"
    labels = {label.head for label in hive_labels(now, hives)}
    names = {one.hive for one in check}
    assert labels == {tag for tag, frames in hives if frames >= 4.0 and tag not in names}
    by = [sum(1 for tag, f in hives if tag in names and low <= f < high)
          for low, high in ((0, 4), (4, 8), (8, 99))]  # fmt: skip
    assert now.left_out[0].counts == tuple(by)


@pytest.mark.parametrize(
    ("arm", "given", "says"),
    [(CheckArm.HALF, 5.0, "Give half a piece: check hives "),
     (CheckArm.SUGAR, 4.0, "Sugar alone in place of the piece: check hives "),
     (CheckArm.USUAL, 4.0, "Feed as you usually do: check hives ")],
)  # fmt: skip
def test_a_check_group_gets_what_its_trial_gives_it(book, arm, given, says):
    locked(book, arm)
    of = papers([chosen(book, ALL_ALIKE)], Printing(TODAY))
    (load,) = of.loads
    assert load.given == given
    data = truck_sheet_data(load, "a4")
    assert data["yards"][0]["borders"].startswith(says)
    sugar = [item for item in of.order.items if "sugar alone" in item.name]
    on_the_truck = [box for box in data["load"] if "sugar alone" in box["noun"]]
    foot = order_list_data(of.order, "lb", TODAY, "a4")["foot"]
    assert ("4 check hives get none of it." in foot) is (arm is not CheckArm.HALF)
    if arm is CheckArm.SUGAR:  # four times half a pound
        assert [(item.grams, item.cost) for item in sugar] == [(pytest.approx(2 * 453.59237), None)]
        assert [(box["number"], box["beside"]) for box in on_the_truck] == [
            ("2", "for 4 check hives, spare included")
        ]
        assert load.rims == 12, "a patty of sugar needs its rim too"
    else:
        assert (sugar, on_the_truck) == ([], [])


@pytest.mark.parametrize(("arm", "told"), [(CheckArm.SUGAR, True), (CheckArm.SAME_CARE, False)])
def test_check_hives_of_a_class_that_gets_none_get_nothing_in_its_place(book, arm, told):
    """The sheet says so, and that class has no sugar on the truck."""
    locked(book, arm)
    hives = [(f"{n}", frames) for n, frames in enumerate(FRAMES, 1)]
    visit = replace(ALL_ALIKE, steps=(Step(0.0, 0.0), Step(9.0, 0.5)), counts=(7, 5))
    (now,) = chosen(book, visit, hives=hives).visits
    none = now.left_out[0].counts[0]
    assert none > 0
    said = f"Those of a class that gets no piece get none ({none} of them by their frames)."
    assert (said in now.left_out[0].said) is told
    assert now.sugar_pieces[0] == (sum(now.left_out[0].counts) - none if told else 0)


def test_a_yard_that_is_the_check_group_gets_nothing_and_has_no_labels(book, monkeypatch):
    kept = check_hives.Kept(CheckArm.SAME_CARE, 0.0, GRADED, (), whole=True)
    monkeypatch.setattr(check_hives, "kept_back_in", lambda *_: (kept,))
    of = papers([chosen(book, ALL_ALIKE)], Printing(TODAY))
    data = truck_sheet_data(of.loads[0], "a4")
    assert data["yards"][0]["borders"] == "Give nothing: check yard."
    assert data["rule"] == [["check yard", "nothing"]]
    assert of.order.patties == 0
    assert set(rounds_paper.files_of(of, NOW, "key")) == {
        "truck-01-round-1-2026-08-22.pdf", "order-list.pdf", "rounds.ics",
    }  # fmt: skip


def test_graded_dead_and_finished_trials_bar_no_hive(book):
    chosen(book, ALL_ALIKE, replace(ALL_ALIKE, round=2, on=date(2026, 11, 25)))
    kept, check = locked(book)
    first, after = printed(book).visits
    assert (first.fed, after.fed) == (8, 12), "the second round is after the day of grading"
    trials = TrialsBook(book.path, TODAY)
    trials.keep_ends(kept.key, [Ended(check[0].tag, Became.DEAD), Ended(check[1].tag, Became.RESCUED)])
    assert printed(book).visits[0].fed == 10
    assert printed(book, date(2026, 11, 21)).visits[0].fed == 12


def test_pairs_without_names_are_joined_nowhere_while_a_check_group_runs(book):
    """Any of them may be a check hive: each stays two hives, in the class of half the bees of both."""
    steps = (Step(0.0, 0.0), Step(4.0, 0.5), Step(8.0, 1.0))
    visit = replace(
        ALL_ALIKE, steps=steps, counts=(0, 6, 4), combine=(Pair(6.0), Pair(9.0)), joined_on=ALL_ALIKE.on
    )
    assert chosen(book, visit).visits == (visit,), "without a check group they are joined"
    locked(book)
    (now,) = printed(book).visits
    assert now.combine == ()
    assert now.counts == (0 + 2, 6 - 1 + 2, 4 - 1), "twice 3 and twice 4½ frames instead of 6 and 9"
    assert "Combine none: a small hive may be a check hive." in now.left_out[0].said
    assert (
        "Combine"
        not in truck_sheet_data(papers([printed(book)], Printing(TODAY)).loads[0], "a4")["yards"][0]["notes"]
    )


@pytest.mark.parametrize(("drawn", "counts"), [(date(2026, 8, 20), False), (date(2026, 8, 10), True)])
def test_a_round_before_the_lock_was_for_all_hives_where_it_was_given(book, drawn, counts):
    """Nobody knew the check hives on that day; one that is still to be given leaves them out."""
    early = replace(ALL_ALIKE, on=date(2026, 8, 16))
    chosen(book, early)
    locked(book, drawn=datetime(drawn.year, drawn.month, drawn.day, 9, tzinfo=UTC))
    (to_come,) = printed(book).visits
    assert to_come.fed == 8
    assert (
        "locked after this day, on 20 August 2026: if all hives were fed before" in to_come.left_out[0].said
    )
    paper = check_hives.with_check_group(
        book, book.yard_named("Named"), replace(printed(book), visits=(early,)), {early.on: date(2026, 8, 17)}
    )
    (given,) = paper.visits
    assert (given.fed, given.left_out) == (12, ())
    said = truck_sheet_data(papers([paper], Printing(TODAY)).loads[0], "a4")["yards"][0]["borders"]
    assert said.startswith("Given on 17 August 2026, before the check group was locked, so to all hives.")
    assert ("The lock then counts as none." in said) is counts
    days = (check_hives.check_rows(book, book.yard_named("Named"), on) for on in (date(2026, 8, 19), TODAY))
    assert [bool(one) for one in days] == [False, True]


def test_only_a_lock_bars(book):
    chosen(book, ALL_ALIKE)
    trials = TrialsBook(book.path, TODAY)
    trials.draw(trials.candidates(), Asked("Autumn", Outcome.FRAMES, CheckArm.SAME_CARE, Lines(0.9, 0.5),
                                           GRADED, 0.0, 7), NOW)  # fmt: skip
    assert printed(book).visits == (ALL_ALIKE,)


def test_tally_sheets_mark_check_hives_for_whoever_feeds_and_for_no_grader(book, monkeypatch):
    _, check = locked(book)
    told = []
    monkeypatch.setattr(field_paper, "tally_sheets", lambda of, paper: told.append(of) or b"")
    for work in ("round", "look", "grading"):
        book.tally(book.yard_named("Named"), work, "a5")
    assert told[0].check == {one.hive: "check: nothing" for one in check}
    assert [one.check for one in told[1:]] == [{}, {}]
    rows = tally_data(told[0], "a5")["sheets"][0]["rows"]
    assert {row["tag"] for row in rows if row["check"] == "check: nothing"} <= {one.hive for one in check}


def test_a_check_hive_that_is_keyed_as_fed_is_asked_about(book):
    _, check = locked(book, rescue_below=3.0)
    desk, key = KeyingBook(book.path, TODAY), book.yard_named("Named")
    left = [one.hive for one in check]
    fed = next(f"{n}" for n in range(1, 13) if f"{n}" not in left)
    cells = [(left[0], {"put": "½"}), (left[1], {"frames": "5"}), (left[2], {"frames": "2", "put": "½"}),
             (fed, {"put": "½"})]  # fmt: skip
    rows = tuple(Row(tag, True, told) for tag, told in cells)
    sheet = Keyed(fresh_form(), "round", TODAY.isoformat(), "", "one_layer", rows)
    understood, wrong = desk.understood(key, sheet)
    assert wrong == []
    asked = {one.tag: one.asks for one in understood}
    assert asked == {left[0]: "check hive, gets nothing: was it fed?", left[1]: "", left[2]: "", fed: ""}
