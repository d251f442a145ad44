"""What the size of a check group hands over to its draw: the draw comes out as the size said."""

from __future__ import annotations

import shlex
from collections import Counter
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest

from breadline.errors import TrialError
from breadline.jobs.check_group_asked import read_asked
from breadline.jobs.check_group_colonies import colonies_from_text, of_yards
from breadline.jobs.check_group_form import asked_of, typed_of
from breadline.jobs.check_group_handed import draw_command, handed, yards_of
from breadline.jobs.check_group_size import size_answer
from breadline.jobs.check_group_trial import drawn
from breadline.knowledge.shelf import load
from breadline.trial.colonies import CHECK
from breadline.trial.design import Outcome, Unit

SIZE = Path(__file__).parents[2] / "examples" / "first-check-group" / "size.toml"
NOW = datetime(2027, 1, 20, 9, tzinfo=UTC)
ADDED = {"name": "Spring", "grading": "2027-03-20", "rescue_below": "2", "seed": "7"}


def hives(yards):
    rows = [f"{name} {n},{name},{4 + n % 7},{40 + 0.3 * at:.1f},-90" for at, (name, count) in enumerate(yards)
            for n in range(count)]  # fmt: skip
    return colonies_from_text("\n".join(["hive,yard,frames,latitude,longitude", *rows]), "hives.csv")


def test_colonies_are_drawn_in_the_sets_that_were_proposed():
    answer = size_answer(read_asked(SIZE), sizes=(24,))
    best = answer.proposal.proposed
    trial = drawn(hives(answer.asked.yards), asked_of(handed(answer) | ADDED), load().reader(), NOW)
    assert sum(one.arm == CHECK for one in trial.design.started) == best.row.check
    assert len(trial.design.started) == sum(best.colonies)
    unfed = Counter(one.yard for one in trial.design.started if one.arm == CHECK)
    assert sorted(unfed.values()) == sorted(best.row.in_yards)
    again = typed_of(trial, [name for name, _ in answer.asked.yards])
    assert (again["check"], again["fed_each"]) == (f"{best.row.check}", f"{best.row.fed_each}")


def test_whole_yards_are_drawn_as_many_as_proposed_and_as_many_of_each_graded():
    yards = tuple((f"Yard {n}", 24 + n) for n in range(9))
    answer = size_answer(replace(read_asked(SIZE), yards=yards, unit=Unit.YARD), sizes=(3,))
    assert answer.proposal.proposed.row.check == 3
    trial = drawn(hives(yards), asked_of(handed(answer) | ADDED), load().reader(), NOW)
    assert len({one.yard for one in trial.design.started if one.arm == CHECK}) == 3
    of_each = Counter(one.yard for one in trial.design.started)
    assert len(of_each) == 9
    assert sum(of_each.values()) == sum(answer.proposal.proposed.colonies) or set(of_each.values()) == {20}
    assert any("no tag, not graded" in text for text in trial.said)


def test_drawing_whole_yards_again_keeps_how_many_were_left_unfed():
    yards = [(f"Yard {n}", 12) for n in range(8)]
    typed = {"break_even": "1.2", "margin": "0.8", "way": "open", "check": "3", "a_yard": "6"} | ADDED
    trial = drawn(hives(yards), asked_of(typed), load().reader(), NOW)
    again = typed_of(trial, [name for name, _ in yards])
    assert (again["check"], again["a_yard"], again["matched"]) == ("3", "6", "no")
    other = drawn(hives(yards), asked_of(again | {"seed": "8"}), load().reader(), NOW)
    for one in (trial, other):
        assert len({c.yard for c in one.design.started if c.arm == CHECK}) == 3


def test_the_command_carries_every_number_and_leaves_open_what_nobody_said():
    answer = size_answer(read_asked(SIZE), sizes=(24,))
    words = shlex.split(draw_command(answer, "book.sqlite"))
    assert words[:4] == ["breadline", "check-group", "draw", "book.sqlite"]
    assert words.count("--yard") == 4
    given = dict(zip(words[4::2], words[5::2], strict=True))
    assert given["--check"] == "24"
    assert given["--fed-each"] == handed(answer)["fed_each"]
    assert given["--grading"] == "DAY"
    assert float(given["--break-even"]) == pytest.approx(answer.questions.lines.break_even, rel=0.005)
    assert "--grade" not in given
    honey = replace(answer, asked=replace(answer.asked, outcome=Outcome.HONEY))
    assert handed(honey)["outcome"] == "honey"
    pounds = float(handed(honey, "lb")["break_even"])  # of kilograms: an international pound is 0.45359237 kg
    assert pounds * 0.45359237 == pytest.approx(answer.questions.lines.break_even, rel=0.005)
    assert handed(answer, "lb")["break_even"] == handed(answer)["break_even"], "frames are no weight"


def test_yards_that_hold_no_check_colony_are_left_out_of_the_draw():
    yards = tuple((f"Yard {n}", 16) for n in range(12))
    answer = size_answer(replace(read_asked(SIZE), yards=yards), sizes=(8,))
    assert sum(answer.proposal.proposed.row.in_yards) == 8
    named = [word for word in shlex.split(draw_command(answer)) if word.startswith("Yard ")]
    assert tuple(named) == yards_of(answer)
    assert len(named) == 8
    trial = drawn(of_yards(hives(yards), named), asked_of(handed(answer) | ADDED), load().reader(), NOW)
    assert {one.yard for one in trial.design.started} == set(named)


def test_eight_hives_are_told_that_they_are_too_few_and_what_to_do():
    with pytest.raises(TrialError) as refused:
        size_answer(replace(read_asked(SIZE), yards=(("Garden", 8),)))
    assert "8 are too few to tell whether feeding paid" in str(refused.value)
    assert "neighbours" in refused.value.do
