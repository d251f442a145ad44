"""A trial drawn from a table, locked, written and read back; a change breaks its seal. All invented."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest

from breadline.errors import TrialError
from breadline.jobs.check_group_colonies import colonies_from_text, read_colonies
from breadline.jobs.check_group_ends import ends_from_text
from breadline.jobs.check_group_file import read_trial, trial_document, trial_from_text, trial_text
from breadline.jobs.check_group_paper import sheets_of
from breadline.jobs.check_group_told import headline, stand_words, trial_lines
from breadline.jobs.check_group_trial import Asked, drawn, locked, seal_holds
from breadline.knowledge.shelf import load
from breadline.trial.classes import Lines
from breadline.trial.colonies import CHECK, Became
from breadline.trial.design import CheckArm, Outcome, Unit
from breadline.trial.unit import Way
from house import tree

EXAMPLE = tree.ROOT / "examples" / "first-check-group" / "colonies.csv"
THEN, LATER = datetime(2026, 8, 20, 9, tzinfo=UTC), datetime(2026, 8, 21, 9, tzinfo=UTC)
GRADING = date(2026, 11, 20)
ASKED = Asked("Autumn", Outcome.FRAMES, CheckArm.SAME_CARE, Lines(0.9, 0.5), GRADING, 3.0, 7, check=20)
READER = load({}).reader()


def made(asked=ASKED, listed=None):
    return drawn(listed or read_colonies(EXAMPLE), asked, READER, THEN)


@pytest.fixture(scope="module")
def trial():
    return locked(made(), LATER)


def test_hives_without_bees_are_named_and_not_drawn_unless_honey_was_counted():
    rows = [f"H{n},Upper Sluice,{0 if n in (3, 11) else 5 + n % 4 / 2}\n" for n in range(1, 25)]
    listed = colonies_from_text("hive,yard,frames\n" + "".join(rows), "hives.csv")
    with pytest.raises(TrialError, match="no bees before the draw: H3, H11"):
        made(replace(ASKED, check=8), listed)
    honey = made(replace(ASKED, check=8, outcome=Outcome.HONEY), listed)
    assert {"H3", "H11"} <= {one.hive for one in honey.design.started}


def test_a_trial_is_drawn_from_a_table_of_hives(trial):
    assert (
        headline(trial)
        == "Leave 20 of 40 colonies unfed: 8 in Upper Sluice, 6 in Rook Hollow and 6 in Kiln Field."
    )
    assert trial.design.staggered is True
    assert {one.hive for one in trial.design.started} >= {"US1", "KF12"}
    assert made() == made()
    assert made(replace(ASKED, seed=8)).design.started != made().design.started


def test_the_file_gives_back_the_same_trial_and_its_seal_holds(trial, tmp_path):
    path = tmp_path / "trial.json"
    path.write_text(trial_text(trial), "utf-8")
    assert read_trial(path) == trial
    assert seal_holds(read_trial(path))
    assert trial_document(trial)["shape"] == "breadline.trial_draw/1"


@pytest.mark.parametrize(
    "change",
    [
        lambda d: d["design"].update(break_even=0.6),
        lambda d: d["design"].update(grading="2026-12-01"),
        lambda d: d["colonies"][0].update(arm=1 - d["colonies"][0]["arm"]),
        lambda d: d["colonies"][0].update(baseline=1.0),
        lambda d: d.update(rescue_below_frames=5),
        lambda d: d.update(twice=d["twice"][1:]),
        lambda d: d["order"].reverse(),
    ],
)
def test_whatever_was_locked_and_changed_in_the_file_breaks_the_seal(trial, change):
    told = json.loads(trial_text(trial))
    change(told)
    with pytest.raises(TrialError, match="the seal is broken"):
        trial_from_text(json.dumps(told), "trial.json")
    assert not seal_holds(trial_from_text(json.dumps(told), "trial.json", sealed=False))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "not JSON"), ("[]", "it is no trial"),
        ('{"shape": "breadline.trial_draw/1"}', "a field is missing"),
        ("[" * 5000, "not JSON"),
    ],
)  # fmt: skip
def test_a_file_that_is_no_trial_is_refused(text, says):
    with pytest.raises(TrialError, match=says):
        trial_from_text(text, "trial.json")


def test_a_hive_with_an_end_and_no_start_is_refused(trial):
    told = json.loads(trial_text(replace(trial, ended=ends_from_text(ends(trial, 1), "e", trial.design))))
    told["ends"][0]["tag"] = "Nowhere 22"
    with pytest.raises(TrialError, match="Nowhere 22 has an end and was never started"):
        trial_from_text(json.dumps(told), "trial.json")


def test_a_trial_is_locked_once_before_its_day_and_before_any_reading(trial):
    with pytest.raises(TrialError, match="was locked on 21 August 2026"):
        locked(trial, LATER)
    with pytest.raises(TrialError, match="20 November 2026 is not ahead"):
        locked(made(), datetime(2026, 11, 20, 1, tzinfo=UTC))
    graded = replace(made(), ended=ends_from_text(ends(trial, 1), "ends.csv", trial.design))
    with pytest.raises(TrialError, match="graded already"):
        locked(graded, LATER)


def test_where_it_stands_is_said(trial):
    assert stand_words(made(), date(2026, 8, 20)).startswith("Drawn, not yet locked.")
    assert stand_words(trial, date(2026, 9, 1)).endswith("graded on 20 November 2026; no answer before.")
    assert stand_words(trial, GRADING) == "40 colonies of 40 without an end: blank is none."
    whole = replace(trial, ended=ends_from_text(ends(trial, 40), "ends.csv", trial.design))
    assert stand_words(whole, GRADING) == "Every colony has its end: ask for the verdict."
    assert "open-ends" in sheets_of(trial, GRADING)
    assert "open-ends" not in sheets_of(trial, date(2026, 9, 1))
    assert "draw number 3: every draw counts" in " ".join(trial_lines(replace(made(), draws=3), THEN.date()))


def test_half_rate_never_answers_whether_feeding_pays():
    half = made(replace(ASKED, check_arm=CheckArm.HALF, arms=("half", "full")))
    text = " ".join(trial_lines(half, THEN.date()))
    assert "whether the second half is worth it, never whether feeding pays" in text
    assert "20 of 40 colonies on half the rate" in text


OPEN = "hive,yard,frames,latitude,longitude\n" + "".join(
    f"{y}-{n},Yard {y},{5 + y % 4},{45 + (0.02 if y == 9 else 0.2) * y:.2f},7.1\n"
    for y in range(8)
    for n in range(3)
)


def test_open_feed_draws_whole_yards_and_those_in_flight_range_as_one():
    near = OPEN + "".join(f"9-{n},Yard 9,6,45.02,7.1\n" for n in range(3))  # 2.2 km from Yard 0
    asked = replace(ASKED, way=Way.OPEN, check=None, matched=False)
    told = made(asked, colonies_from_text(near, "yards.csv"))
    assert told.design.unit is Unit.YARD
    assert told.design.open_feed
    arm = {}
    for one in told.design.started:
        assert arm.setdefault(one.yard, one.arm) == one.arm
    assert arm["Yard 0"] == arm["Yard 9"]
    assert {one.unit for one in told.design.started if one.yard in ("Yard 0", "Yard 9")} == {
        "Yard 0 + Yard 9"
    }
    assert "Yard 0 and Yard 9 stand within 3 km (2 miles) of each other" in told.said[0]
    unfed = sum(a == CHECK for a in arm.values())
    assert headline(told).startswith(f"Leave {unfed} of 9 yards unfed: ")
    assert headline(told).endswith(f"; {3 * unfed} of the 27 colonies graded stand there.")


@pytest.mark.parametrize(
    ("asked", "text", "says"),
    [
        (replace(ASKED, way=Way.OPEN), OPEN, "20 yards unfed of 8"),
        (replace(ASKED, way=Way.OPEN, check=None), OPEN, "in 16 ways only"),
        (replace(ASKED, way=Way.OPEN, check=None), "hive,yard\n1,A\n2,B\n", "position is not known"),
        (replace(ASKED, way=Way.OPEN, check=None, apart=True), "hive,yard\n1,A\n2,A\n", "1 to draw from"),
        (replace(ASKED, grading=THEN.date()), OPEN, "is not ahead"),
        (replace(ASKED, outcome=Outcome.MAKING_GRADE), OPEN, "grade line: it is missing"),
        (replace(ASKED, grade=8.0), OPEN, "the outcome is another one"),
        (replace(ASKED, rescue_below=30.0), OPEN, "0 to 20 frames"),
        (replace(ASKED, name=" "), OPEN, "the trial has none"),
        (replace(ASKED, arms=("check", "check")), OPEN, "a name of its own"),
        (replace(ASKED, arms=("a", "b", "c", "d", "e")), OPEN, "two to four groups"),
        (replace(ASKED, by_queen_line=True, check=10), OPEN, "queen line is not known"),
        (replace(ASKED, check=None), "hive,yard\n1,A\n2,A\n", "in 2 ways only"),
    ],
)
def test_what_cannot_be_drawn_is_refused_in_words(asked, text, says):
    with pytest.raises(TrialError) as refused:
        made(asked, colonies_from_text(text, "hives.csv"))
    assert says in str(refused.value)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "the table is empty"),
        ("hive,yard\n", "no hive is listed"),
        ("name of hive,yard\n1,A\n", "no column is the hive"),
        ("hive,tag,yard\n1,1,A\n", "2 columns are the hive"),
        ("hive,yard,frames\n1,A,seven\n", 'row 2, column strength: "seven" is not a number'),
        ('hive,yard,frames\n1,A,"7,5"\n', "Write a decimal point"),
        ("hive,yard,frames\n1,A,-2\n", "-2 frames or kg cannot be"),
        ("hive,yard,frames\n1,A,nan\n", "cannot be"),
        ("hive,yard,row\n1,A,1.5\n", "not a whole number"),
        ("hive,yard\n,A\n", "row 2, column hive: it is blank"),
        ("hive,yard,latitude,longitude\n1,A,45,7\n2,A,46,7\n", "A stands in two places"),
    ],
)
def test_a_table_that_cannot_be_read_is_refused_with_row_and_column(text, says):
    with pytest.raises(TrialError) as refused:
        colonies_from_text(text, "hives.csv")
    assert says in str(refused.value)


def test_a_table_with_semicolons_may_have_decimal_commas_and_other_names():
    told = colonies_from_text(
        "\ufeffTag;Apiary;Frames of bees\r\n1;A;7,5\r\n\r\n2;A;8\r\n".lstrip("\ufeff"), "t.csv"
    )
    assert [c.baseline for c in told.colonies] == [7.5, 8.0]


def ends(trial, count: int, status: str = "graded") -> str:
    rows = [f"{tag},{status},6.5,2026-11-20,Ann,check" for tag in trial.order[:count]]
    return "\n".join(["tag,status,frames,date,grader,guess", *rows]) + "\n"


def test_ends_are_read_with_their_day_grader_and_guess(trial):
    (end,) = ends_from_text(ends(trial, 1), "ends.csv", trial.design)
    assert (end.became, end.outcome, end.graded_on, end.grader, end.guessed) == (
        Became.GRADED, 6.5, GRADING, "Ann", CHECK,
    )  # fmt: skip
    told = ends_from_text("hive,status,frames\nUS1,dead,\nUS2,,\nUS3,requeened,4\n", "e.csv", trial.design)
    assert [one.became for one in told] == [Became.DEAD, Became.REQUEENED]


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("Nowhere 22,graded,5", "was not drawn"),
        ("US1,graded,five", "is not a number"),
        ("US1,graded,85", "85 frames cannot be"),
        ("US1,lost,", "dead, or not found"),
        ("US1,dead,5", "dead, and 5 graded"),
        ("US1,sold,5", "sold, and 5 graded"),
        ("US1,graded,", "nothing was graded"),
        ("US1,merged,", "merged into which hive?"),
        ("US1,graded,5\nUS1,graded,5", "stands twice"),
    ],
)
def test_ends_that_say_too_little_or_too_much_are_refused(trial, row, says):
    with pytest.raises(TrialError) as refused:
        ends_from_text(f"hive,status,frames\n{row}\n", "ends.csv", trial.design)
    assert says in str(refused.value)


def test_a_reading_of_a_day_that_has_not_come_is_refused_by_its_row(trial):
    rows, before = ends(trial, 2), GRADING - timedelta(days=1)
    assert len(ends_from_text(rows, "ends.csv", trial.design, today=GRADING)) == 2
    with pytest.raises(TrialError) as refused:
        ends_from_text(rows, "ends.csv", trial.design, today=before)
    assert refused.value.where == "ends.csv, row 2, column graded on"
    assert "20 November 2026 has not come yet" in str(refused.value)
    assert "19 November 2026" in refused.value.expected


def test_of_many_yards_it_is_told_how_many_in_each():
    text = "hive,yard\n" + "".join(f"{y}-{n},Yard {y}\n" for y in range(8) for n in range(4))
    told = made(replace(ASKED, check=8), colonies_from_text(text, "hives.csv"))
    assert headline(told) == "Leave 8 of 32 colonies unfed: one in each of eight yards."
