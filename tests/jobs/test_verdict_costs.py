"""Which cost a verdict takes where the check group gets something too. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from breadline.jobs.check_group_colonies import colonies_from_text
from breadline.jobs.check_group_told import trial_lines
from breadline.jobs.check_group_trial import drawn, locked
from breadline.jobs.verdict import Prices, VerdictAsked
from breadline.jobs.verdict_file import verdict_of_trial
from breadline.jobs.verdict_page import page_of
from breadline.knowledge.shelf import load
from breadline.trial.colonies import Became, Ended
from breadline.trial.design import CheckArm
from jobs.test_trial_book import ASKED, NOW

HIVES = "hive,yard\n" + "".join(f"{n},Home\n" for n in range(1, 13))


HEADS = {
    CheckArm.HALF: "Cost of the second half",
    CheckArm.SUGAR: "Cost more than sugar",
    CheckArm.USUAL: "Cost more than usual",
    CheckArm.SAME_CARE: "Cost of feeding",
}


def judged(arm, prices):
    asked = replace(ASKED, check_arm=arm, check=6)
    trial = locked(drawn(colonies_from_text(HIVES, "hives"), asked, load({}).reader(), NOW), NOW)
    ended = tuple(Ended(one.tag, Became.GRADED, 6.0 + one.arm + n % 3 / 2, trial.design.grading)
                  for n, one in enumerate(trial.design.started))  # fmt: skip
    return trial, verdict_of_trial(replace(trial, ended=ended), VerdictAsked(prices), date(2027, 3, 1), "t")


@pytest.mark.parametrize(
    ("arm", "taken", "covers", "missing"),
    [
        (CheckArm.HALF, "that of the second half alone", "the second half of the feed alone",
         "what the second half of the feed cost a colony"),
        (CheckArm.SUGAR, "cost a colony more than the sugar patty", "costs more than the sugar patty",
         "what the protein feed cost a colony more than the sugar patty"),
        (CheckArm.USUAL, "more than usual practice", "more than usual practice",
         "what feeding cost a colony more than usual practice"),
        (CheckArm.SAME_CARE, "", "", "what feeding one colony cost"),
    ],
)  # fmt: skip
def test_the_cost_is_said_to_be_what_fed_colonies_got_more(arm, taken, covers, missing):
    trial, priced = judged(arm, Prices(16.0, 18.0, year=2026))
    said = [text for text in priced.remarks if text.startswith("The cost counts")]
    assert (taken in said[0]) if taken else said == []
    drawn_lines = [text for text in trial_lines(trial, NOW.date()) if "has to cover" in text]
    assert (covers in drawn_lines[0]) if covers else drawn_lines == []
    _, bare = judged(arm, Prices(None, 18.0, year=2026))
    assert not [text for text in bare.remarks if text.startswith("The cost counts")]
    assert f"nobody said {missing};" in bare.spoken.money
    assert page_of(priced).cells[1].head == HEADS[arm]
