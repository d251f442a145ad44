"""Several growers' trials together: fair ones in one average a situation, the others listed."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from breadline.jobs.pooled import SAME, pooled
from breadline.jobs.trial_checked import checked
from breadline.jobs.trial_file import trial_from_text
from breadline.trial.design import Allocation
from breadline.verdict.pooling import Results, pool
from jobs.travelled import file, finished, text


@pytest.fixture(scope="module")
def fair():
    return [checked(file(seed, times)) for seed, times in ((1, 1.1), (2, 1.3), (3, 1.2))]


@pytest.fixture(scope="module")
def unfair():
    made = finished(4)
    by_hand = replace(made, design=replace(made.design, allocation=Allocation.CHOSEN))
    return checked(trial_from_text(text(by_hand), "by-hand.json"))


def test_a_rule_breaking_trial_is_listed_and_moves_no_average(fair, unfair):
    (group,) = pooled(fair).groups
    with_it = pooled([*fair, unfair])
    assert with_it.groups[0].mean == group.mean
    assert [one.file.source for one in with_it.left_out] == ["by-hand.json"]
    assert with_it.sentence == "3 fair trials of 4; 1 trial left out, with the reason."


def test_the_average_is_that_of_the_log_ratios(fair):
    (group,) = pooled(fair).groups
    results = Results(np.array([o.ratio.estimate for o in fair]), np.array([o.ratio.se for o in fair]))
    assert group.by == {method: pool(results, method) for method in group.by}
    assert "in 3 trials fed colonies had on average" in group.sentence
    assert "The true difference in a further trial would lie from" in group.sentence


def test_a_dearth_and_a_flow_are_never_averaged(fair):
    flow = checked(file(5, 1.0, situation="pollen"))
    groups = pooled([*fair, flow]).groups
    assert [(group.situation, len(group.trials)) for group in groups] == [("dearth", 3), ("pollen", 1)]
    assert groups[1].mean is None
    assert "one trial is no average" in groups[1].sentence


def test_trials_that_are_called_alike_go_by_their_files(fair):
    alike = [replace(one, file=replace(one.file, name="Trial of autumn 2026", source=f"keeper {n}.json"))
             for n, one in enumerate(fair)]  # fmt: skip
    (group,) = pooled(alike).groups
    assert [one.file.name for one in group.trials] == ["keeper 0", "keeper 1", "keeper 2"]
    (own,) = pooled(alike[:1]).groups
    assert own.trials[0].file.name == "Trial of autumn 2026"


def test_the_same_file_twice_counts_once(fair):
    again = pooled([*fair, fair[0]])
    assert again.groups[0].mean.trials == 3
    assert [one.left_out for one in again.left_out] == [SAME]


def test_two_trials_cannot_say_where_a_third_would_lie(fair):
    (group,) = pooled(fair[:2]).groups
    assert "Two trials cannot say how far a further one may lie from them." in group.sentence


def test_with_none_fair_there_is_no_average(unfair):
    assert pooled([unfair]).sentence == "None of these trials is a fair comparison, so there is no average."
