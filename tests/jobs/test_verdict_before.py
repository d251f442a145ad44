"""The second sentence of a verdict: these colonies together with what was known before."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from breadline.belief.carried import before_own_seasons
from breadline.belief.season_effects import SeasonResult
from breadline.jobs.trial_file import trial_from_text
from breadline.jobs.verdict import VerdictAsked
from breadline.jobs.verdict_before import Known, _of_started, pays_here, share_lost, tenths
from breadline.jobs.verdict_file import verdict_of_travelled
from breadline.knowledge.shelf import load
from breadline.trial.colonies import Became
from breadline.trial.design import Allocation
from jobs.travelled import finished, text

READER = load().reader()


def verdict(times: float, sets: int = 6, allocation: Allocation = Allocation.DRAWN):
    made = finished(1, times, sets=sets)
    made = replace(made, design=replace(made.design, allocation=allocation))
    return verdict_of_travelled(trial_from_text(text(made), "t.json"), VerdictAsked(draws=199))


def test_a_good_result_raises_the_chance_and_a_poor_one_lowers_it():
    good, poor = (pays_here(verdict(times), Known("dearth"), READER) for times in (1.4, 0.9))
    assert good.before == pytest.approx(poor.before, abs=0.1)
    assert good.chance > good.before
    assert poor.chance < poor.before
    assert "Together with what was known before, the chance that feeding pays here" in good.sentence


def test_few_colonies_leave_most_to_earlier_evidence_and_say_so():
    few, many = (pays_here(verdict(1.2, sets), Known("dearth"), READER) for sets in (2, 40))
    assert few.mostly_earlier
    assert few.sentence.endswith("Most of this comes from earlier evidence.")
    assert "earlier evidence" not in many.sentence


def test_ones_own_earlier_seasons_count():
    poor = tuple(SeasonResult(str(year), -0.1, 0.05) for year in (2023, 2024, 2025))
    plain, own = (pays_here(verdict(1.2), Known("dearth", earlier=e), READER) for e in ((), poor))
    assert own.chance < plain.chance


def test_the_earlier_belief_is_of_colonies_started_as_the_trial_and_its_line_are():
    """By hand: 0.22 of bees in the middle; a fifth lost unfed and odds times exp(0.4): 0.856 of 0.8."""
    plain, of = before_own_seasons("dearth", READER), _of_started("dearth", 0.2, READER)
    figures = load()
    bees, odds = (figures[key].span for key in ("belief.dearth_gain", "belief.survival_dearth_gain"))
    for end in ("low", "typical", "high"):
        fed = 4.0 * np.exp(getattr(odds, end))  # four live for one that dies
        assert getattr(of.mean, end) == pytest.approx(getattr(bees, end) + np.log(fed / (1 + fed) / 0.8))
    assert (of.season_sd, _of_started("dearth", 0.0, READER)) == (plain.season_sd, plain)


def test_the_losses_are_those_of_both_groups():
    """By hand: the dead of the invented trial over all its colonies, every end being known."""
    of = verdict(1.2)
    dead = sum(one.became is Became.DEAD for one in of.finished.ended)
    assert share_lost(of.finished.design, of.answer.came) == pytest.approx(dead / len(of.finished.ended))


def test_an_unfair_comparison_says_nothing():
    assert pays_here(verdict(1.4, allocation=Allocation.CHOSEN), Known("dearth"), READER) is None


@pytest.mark.parametrize(
    ("chance", "said"), [(0.02, "less than 1 in 10"), (0.68, "about 7 in 10"), (0.97, "more than 9 in 10")]
)
def test_a_chance_is_told_in_tenths(chance, said):
    assert tenths(chance) == said
