"""Which group and which line a verdict speaks of: several fed groups, usual practice, a grade line."""

from __future__ import annotations

import random

import pytest

from breadline.jobs.verdict import Prices, Told, VerdictAsked, verdict_of_table
from breadline.jobs.verdict_before import Known, pays_here
from breadline.jobs.verdict_cells import table_of
from breadline.jobs.verdict_chart import shown_of, verdict_svg
from breadline.jobs.verdict_page import page_of
from breadline.jobs.verdict_reporting import reporting_items
from breadline.jobs.verdict_rows import SheetAsked
from breadline.knowledge.shelf import load
from breadline.pictures.colonies_chart import colonies_sentence
from breadline.trial.design import CheckArm
from breadline.verdict.words_next import _share_is_close, more_needed

READER = load().reader()


def of_groups(gains, *, seed=3, price=10.0, spread=1.0, told=None, grade=None, primary=""):
    """A verdict of five yards of eight colonies; ``gains`` are each group's frames over the check group."""
    lots, rows = random.Random(seed), ["hive,yard,group,before,end"]
    names = list(gains)
    for yard in range(5):
        order = [names[k % len(names)] for k in range(8)]
        lots.shuffle(order)
        for k, name in enumerate(order):
            before = lots.gauss(7, 1)
            end = max(1.0, before + gains[name] + lots.gauss(0, spread))
            rows.append(f"H{yard}{k},Yard {yard},{name},{before:.1f},{end:.1f}")
    asked = VerdictAsked(
        Prices(cost=9, price=price, unit="$", year=2026), told or Told(drawn="lot"),
        SheetAsked(primary=primary), grade=grade, draws=199,
    )  # fmt: skip
    return verdict_of_table(table_of("own.csv", "\n".join(rows).encode()), asked)


GROUPS = {"check": 0.0, "Amber": 0.0, "Blue": 2.5}


@pytest.mark.parametrize(
    ("arm", "says"),
    [
        (CheckArm.SAME_CARE, "Feeding Amber did not pay"),
        (CheckArm.USUAL, "Feeding Amber over usual practice did not pay"),
        (CheckArm.HALF, "The second half of Amber did not pay"),
        (CheckArm.SUGAR, "Feeding Amber over sugar alone did not pay"),
    ],
)
def test_of_several_fed_groups_the_sentence_names_the_one_it_is_of(arm, says):
    of = of_groups(GROUPS, primary="Amber", price=3.0, spread=0.7, told=Told(drawn="lot", check_arm=arm))
    assert of.spoken.sentence.startswith(says), "beside it stands Blue, two and a half frames ahead"
    assert any("Blue less check: 2." in line for line in of.spoken.sure)


def test_of_several_fed_groups_the_second_sentence_and_the_picture_say_whose_they_are():
    several, one = of_groups(GROUPS, primary="Amber"), of_groups({"check": 0.0, "fed": 0.2})
    known = Known("dearth", "autumn 2026")
    assert "the chance that feeding Amber pays here" in pays_here(several, known, READER).sentence
    assert "the chance that feeding pays here" in pays_here(one, known, READER).sentence
    assert "the two compared" in verdict_svg(several, "wide")
    assert "every colony" not in verdict_svg(several, "wide")
    assert "not shown: Blue." in colonies_sentence(shown_of(several))
    assert "every colony" in verdict_svg(one, "wide")


def test_the_report_counts_by_yard_under_the_name_of_the_group_that_it_counts():
    heads = [dict(reporting_items(of_groups(GROUPS, primary=name))) for name in ("Amber", "Blue")]
    assert "By yard, Amber and check started" in heads[0]
    assert "By yard, Blue and check started" in heads[1]
    assert "By yard, fed and check started" in dict(reporting_items(of_groups({"check": 0.0, "fed": 0.2})))


def test_where_the_check_group_got_something_open_feed_calls_nobody_unfed():
    told = Told(drawn="lot", check_arm=CheckArm.HALF, open_feed=True)
    found = of_groups({"check": 0.0, "full": 0.5}, told=told)
    assert "check colonies fly there too" in " ".join(found.spoken.broke)
    assert "unfed" not in f"{found.spoken.broke} {found.spoken.next_season}"


def test_after_usual_practice_a_few_are_left_on_it_and_none_unfed():
    said = of_groups({"check": 0, "fed": 3.0}, told=Told(drawn="lot", check_arm=CheckArm.USUAL)).spoken
    assert "leave a few on usual practice again" in said.next_season
    assert "leave a few unfed again" in of_groups({"check": 0, "fed": 3.0}).spoken.next_season


@pytest.mark.parametrize("arm", [CheckArm.HALF, CheckArm.USUAL, CheckArm.SUGAR])
def test_the_money_calls_its_cost_that_of_feeding_only_where_the_check_group_got_nothing(arm):
    more = "which cost $9 (2026) more than a check colony: about"
    told = Told(drawn="lot", check_arm=arm)
    found = of_groups({"check": 0, "fed": 3.0}, told=told)
    assert more in found.spoken.money
    assert dict(page_of(found).items)["Question"].endswith("what it cost more than the check group?")
    said = of_groups(GROUPS, primary="Amber", told=told).spoken.money
    assert said.startswith("Left over for each colony of Amber, which cost $9")
    assert "after $9 (2026) for feeding" in of_groups({"check": 0, "fed": 3.0}).spoken.money


def test_a_grade_line_is_said_with_the_share_and_in_the_report():
    of = of_groups({"check": 0.0, "fed": 1.0}, price=180.0, grade=7.5)
    assert any(line.startswith("Making grade, 7.5 frames or more: ") for line in of.spoken.sure)
    (outcome,) = [said for head, said in page_of(of).items if head == "Outcome"]
    assert outcome.startswith("share making grade (7.5 frames or more), of each colony started")


def test_where_only_the_counted_share_is_near_the_line_that_is_what_is_said():
    found = [of_groups({"check": 0.0, "fed": 1.0}, price=60.0, grade=8.0, seed=seed) for seed in range(30)]
    held = [
        of for of in found
        if of.answer.weakened == "share" and _share_is_close(of.answer, of.finished.design)
    ]  # fmt: skip
    assert held, "some lots fall so"
    for of in held:
        assert more_needed(of.answer, of.answer.here, of.finished.design).too_close
        assert of.spoken.next_season.startswith("The share counted one by one lies too near")
        assert "too close to break-even" not in of.spoken.next_season
