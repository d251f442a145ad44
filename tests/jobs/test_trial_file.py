"""A trial travels as one open file that another copy reads, checks and judges by itself."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, date, datetime

import jsonschema
import pytest

from breadline.errors import TrialError
from breadline.jobs.trial_checked import checked
from breadline.jobs.trial_file import numbered, read_trial, trial_from_text
from breadline.jobs.trial_shape import Feed, schema
from breadline.trial.classes import AnswerClass
from breadline.trial.colonies import Became
from breadline.trial.design import Allocation, CheckArm, Unit
from breadline.verdict.log_ratio import log_ratio
from house import tree
from jobs.travelled import finished, text

SCHEMA = tree.SOURCE / "knowledge" / "schema" / "trial.json"
NAMES = ("Sorrel", "Alder", "Wren", "old ", "Bees")


def changed(**parts) -> str:
    told = json.loads(text())
    for key, value in parts.items():
        *way, last = key.split("__")
        at = told
        for step in way:
            at = at[int(step)] if step.isdigit() else at[step]
        at[last] = value
    return json.dumps(told)


def test_the_published_schema_is_the_one_that_is_read_by():
    assert json.loads(SCHEMA.read_text("utf-8")) == schema()
    jsonschema.Draft202012Validator.check_schema(schema())


def test_a_written_file_is_valid_by_the_schema_and_a_broken_one_is_not():
    valid = jsonschema.Draft202012Validator(schema())
    assert valid.is_valid(json.loads(text()))
    for broken in ({"colonies__3__arm": "fed"}, {"design__margin": 0}, {"shape": "other/1"}, {"extra": 1}):
        told = json.loads(changed(**broken))
        assert not valid.is_valid(told), broken
        with pytest.raises(TrialError):
            trial_from_text(json.dumps(told), "trial.json")


def test_what_comes_back_is_what_went_in():
    made = finished(3)
    own = trial_from_text(text(made, own_names=True), "trial.json").finished
    assert own.ended == made.ended
    assert own.conduct == made.conduct
    started = tuple(replace(one, hive="") for one in made.design.started)
    assert own.design == replace(made.design, started=started)


def test_no_name_of_place_owner_hive_queen_or_grader_leaves_unless_it_is_ticked():
    assert not [name for name in NAMES if name in text()]
    ticked = text(own_names=True, owner="Sorrel Bend Bees (invented)", place="Ohio")
    assert all(name in ticked for name in ("Sorrel Bend 0", "Alder", "Wren", "Sorrel Bend Bees", "Ohio"))
    assert "old 0-0-0" not in ticked, "the names on the boxes are of no use to anybody else"


def test_numbers_in_place_of_names_change_no_answer():
    made = finished(3)
    merged = replace(made.ended[0], became=Became.MERGED, outcome=None, merged_into=made.ended[5].tag)
    made = replace(made, ended=(merged, *made.ended[1:]))
    own, plain = (
        checked(trial_from_text(text(made, own_names=ticked), "trial.json")) for ticked in (True, False)
    )
    assert own.answer.here == plain.answer.here
    assert own.answer.broken == plain.answer.broken
    assert own.ratio == plain.ratio
    assert numbered(made).ended[0].merged_into == "6"


def test_a_trial_is_known_again_with_other_names_and_not_with_other_colonies():
    made = finished(3)
    files = [text(made), text(made, own_names=True, name="Ours", season="fall 2026"), text(finished(4))]
    first, again, other = (trial_from_text(one, "trial.json").digest for one in files)
    assert first == again
    assert first != other
    graded = replace(made.ended[0], outcome=3.5, became=Became.GRADED)
    regraded = replace(made, ended=(graded, *made.ended[1:]))
    assert trial_from_text(text(regraded), "trial.json").digest != first


def test_the_reader_judges_by_itself():
    """An unfair trial is unfair whatever its owner thinks of it; nothing in the file says what it is."""
    made = finished(3)
    by_hand = replace(made, design=replace(made.design, allocation=Allocation.CHOSEN))
    found = checked(trial_from_text(text(by_hand), "trial.json"))
    assert found.answer.given is AnswerClass.NOT_FAIR
    assert found.left_out == "not a fair comparison: the unfed colonies were chosen by hand"
    assert found.ratio is None


def test_a_design_changed_after_it_was_written_is_found():
    moved = trial_from_text(changed(design__break_even=0.1), "trial.json")
    assert not moved.sealed
    assert checked(moved).left_out == "its design was changed after the file was written"
    arms = json.loads(text())
    arms["colonies"][0]["arm"] = 1 - arms["colonies"][0]["arm"]
    assert not trial_from_text(json.dumps(arms), "trial.json").sealed


def test_a_lock_after_the_first_grading_is_no_lock():
    late = trial_from_text(text(locked_at=datetime(2026, 11, 20, tzinfo=UTC), locked_as="a" * 64), "t.json")
    assert checked(late).left_out == checked(trial_from_text(text(), "t.json")).left_out == ""
    (said,) = checked(late).remarks
    assert "locked on 20 November 2026, after the first end was known on 12 November 2026" in said
    assert "counts as not locked" in said
    early = trial_from_text(text(locked_at=datetime(2026, 8, 20, tzinfo=UTC), locked_as="a" * 64), "t.json")
    assert checked(early).left_out == ""
    assert checked(early).remarks == ()
    assert "nothing was locked beforehand" in checked(trial_from_text(text(), "t.json")).remarks[0]


def test_a_lock_after_the_feed_went_on_is_no_lock_and_one_on_its_day_is():
    fed = Feed(
        protein_pct=18.0, real_pollen_pct=4.0, given=[(date(2026, 9, 1), 450.0), (date(2026, 9, 9), 450.0)]
    )

    def said(day):
        told = text(locked_at=datetime(2026, 9, day, tzinfo=UTC), locked_as="a" * 64, feed=fed)
        return checked(trial_from_text(told, "t.json")).remarks

    assert said(1) == ()
    assert "after the first feed of 1 September 2026" in said(4)[0]


def test_a_check_group_on_half_the_rate_answers_another_question():
    made = finished(3)
    half = replace(made, design=replace(made.design, check_arm=CheckArm.HALF))
    assert "half the rate" in checked(trial_from_text(text(half), "t.json")).left_out


def test_a_trial_of_which_nobody_says_that_lots_decided_teaches_nothing():
    made = finished(3)
    open_still = replace(made, design=replace(made.design, allocation=Allocation.UNKNOWN))
    assert "lots decided" in checked(trial_from_text(text(open_still), "t.json")).left_out
    assert not checked(trial_from_text(text(made), "t.json")).left_out


def test_the_log_ratio_of_a_trial_is_that_of_its_colonies():
    made = finished(3)
    found = checked(trial_from_text(text(made), "trial.json"))
    assert found.ratio == log_ratio(found.answer.came.known, 1)
    assert (found.colonies(fed=True), found.colonies(fed=False)) == (54, 18)


def test_whole_yards_are_compared_by_yards():
    made = finished(3, yards=8)
    arm = {yard: int(k % 2) for k, yard in enumerate(dict.fromkeys(o.yard for o in made.design.started))}
    started = tuple(replace(one, arm=arm[one.yard], block="") for one in made.design.started)
    design = replace(made.design, unit=Unit.YARD, started=started)
    places = list(arm)  # good and bad yards, as yards are
    better = {one.tag: 1 + 0.1 * (places.index(one.yard) // 2) for one in started}
    ended = tuple(
        replace(one, outcome=one.outcome and one.outcome * better[one.tag], guessed=None)
        for one in made.ended
    )
    found = checked(trial_from_text(text(replace(made, design=design, ended=ended)), "trial.json"))
    assert found.left_out == ""
    by_colony = log_ratio(replace(found.answer.came.known, block=found.answer.came.yard * 0), 1)
    assert found.ratio.se > 2 * by_colony.se


@pytest.mark.parametrize(
    ("parts", "said"),
    [
        ({"colonies__1__outcome": "7,5"}, "colonies, number 2, outcome"),
        ({"colonies__1__outcome": -1}, "colonies, number 2, outcome"),
        ({"colonies__0__became": "asleep"}, "colonies, number 1, became"),
        ({"design__primary": 3}, "names an arm that there is not"),
        ({"season": "a\nb"}, "cannot be printed"),
        ({"lock__sealed": "abc"}, "lock, sealed"),
    ],
)
def test_what_is_wrong_is_said_with_its_place(parts, said):
    with pytest.raises(TrialError) as refused:
        trial_from_text(changed(**parts), "trial.json")
    assert said in str(refused.value)


def test_a_colony_without_an_end_or_twice_is_said_with_the_file():
    told = json.loads(text())
    told["colonies"].append(told["colonies"][0])
    with pytest.raises(TrialError, match=r"trial.json, colonies"):
        checked(trial_from_text(json.dumps(told), "trial.json"))
    made = finished(3)
    with pytest.raises(TrialError, match="no end"):
        text(replace(made, ended=made.ended[1:]))


def test_a_file_that_is_no_text_is_refused(tmp_path):
    (tmp_path / "a.json").write_bytes(b"\xff\xfe{}")
    with pytest.raises(TrialError, match="not UTF-8"):
        read_trial(tmp_path / "a.json")


def test_the_feed_travels_without_its_name():
    fed = Feed(protein_pct=18.0, real_pollen_pct=4.0, given=[(date(2026, 9, 1), 450.0)])
    assert trial_from_text(text(feed=fed), "t.json").feed == fed
