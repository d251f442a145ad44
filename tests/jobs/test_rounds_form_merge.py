"""Fields that were changed win over the plan file, which keeps what only it says. All invented."""

from __future__ import annotations

import tomllib
from datetime import date

import pytest

from breadline.errors import PlanError
from breadline.jobs.rounds_form import typed_of
from breadline.jobs.rounds_form_merge import WAS, asked_text, file_a_year_on, shown_first
from house import tree

EXAMPLE = (tree.ROOT / "examples" / "first-rounds" / "rounds.toml").read_text("utf-8")


def shown() -> dict[str, str]:
    """The form as it stands there before anybody typed."""
    typed = typed_of(EXAMPLE)[1]
    return typed | {WAS: shown_first(typed)}


def test_nothing_changed_asks_the_file_as_it_is():
    assert asked_text("frames", shown()).strip() == EXAMPLE.strip()


def test_changed_fields_are_asked_and_what_only_the_file_says_stays():
    before = tomllib.loads(EXAMPLE)
    edits = {"target.fee": "260", "work.wage": "31.5", "feed.price": "1.9", "rounds.beetles_about": "true",
             "syrup.sugar_pct": "50", "feed2.price": "2", "feed2.per": "kg", "money": "NZ$"}  # fmt: skip
    typed = shown() | {"file": EXAMPLE.replace("\n", "\r\n")} | edits
    after = tomllib.loads(asked_text("frames", typed))
    assert (after["target"]["fee"], after["work"]["wage"], after["money"]) == (260, 31.5, "NZ$")
    assert (after["feed"][0]["price"], after["feed"][1]) == (1.9, {"price": 2, "per": "kg"})
    assert (after["rounds"]["beetles_about"], after["syrup"]["sugar_pct"]) == (True, 50)
    for table in ("drive", "hive", "last_year"):
        assert after[table] == before[table], "the form does not ask it"
    more = {key: value for key, value in after["rounds"].items() if key != "beetles_about"}
    assert more == {key: value for key, value in before["rounds"].items() if key != "beetles_about"}
    assert EXAMPLE.splitlines()[0] in asked_text("frames", typed), "comments stay"


def test_an_emptied_field_is_taken_out():
    assert "wage" not in tomllib.loads(asked_text("frames", shown() | {"work.wage": ""}))["work"]


def test_another_file_pasted_over_untouched_fields_is_asked():
    other = EXAMPLE.replace("grade = 8", "grade = 7")
    assert tomllib.loads(asked_text("frames", shown() | {"file": other}))["target"]["grade"] == 7


def test_both_changed_is_asked_about_until_both_say_the_same():
    both = shown() | {"file": EXAMPLE.replace("grade = 8", "grade = 7"), "target.grade": "6"}
    with pytest.raises(PlanError, match=r"is 6 in its field and 7 in the plan file") as told:
        asked_text("frames", both)
    assert told.value.where == "target.grade"
    same = both | {"target.grade": "7"}
    assert tomllib.loads(asked_text("frames", same))["target"]["grade"] == 7


def test_a_file_whose_table_stands_in_braces_is_not_guessed_at():
    work = tomllib.loads(EXAMPLE)["work"]
    inside = ", ".join(f"{key} = {str(value).lower()}" for key, value in work.items())
    start, end = EXAMPLE.index("[work]"), EXAMPLE.index("[syrup]")
    text = f"work = {{{inside}}}\n" + EXAMPLE[:start] + EXAMPLE[end:]
    typed = typed_of(text)[1]
    with pytest.raises(PlanError, match=r"no line of its own|once"):
        asked_text("frames", typed | {WAS: shown_first(typed), "work.wage": "44"})


def test_a_year_on_the_days_of_file_and_fields_are_one():
    text = file_a_year_on(EXAMPLE, date(2026, 11, 1))
    assert tomllib.loads(text)["target"]["on"] == date(2027, 3, 25)
    assert typed_of(text)[1]["target.on"] == "2027-03-25"
