"""Classes foretold by drawing, against the analysis of trials drawn apart from it, one at a time."""

from __future__ import annotations

import numpy as np
import pytest

from breadline.errors import TrialError
from breadline.trial.classes import LEVEL, AnswerClass, Lines, class_of_interval
from breadline.trial.sets import Sets
from breadline.trial.value_path import Strengths
from breadline.verdict.ancova import contrast, fit
from breadline.verdict.classes import weaker_of_both
from breadline.verdict.contrast import Contrast
from breadline.verdict.ends import Ends
from breadline.verdict.forecast import Expected, GradeLine, class_shares, foretold_classes
from breadline.verdict.many_trials import ManyContrasts
from breadline.verdict.permutation_class import class_by_permutation

# more arrangements than are listed one by one, so that each trial takes milliseconds
LINES, TRIALS, PERMUTED = Lines(1.0, 0.6), 400, 299
ARMS = np.array([-1.0, 1.0])


def one_at_a_time(sets: Sets, expected: Expected, benefit: float) -> dict[AnswerClass, float]:
    """Colonies made up and analysed one trial after the other."""
    rng, check = np.random.default_rng(99), expected.check
    block = np.repeat(np.arange(len(sets.check)), sets.sizes)
    arm = np.concatenate([[0] * c + [1] * f for c, f in zip(sets.check, sets.fed, strict=True)])
    given = []
    for _ in range(TRIALS):
        scores = rng.multivariate_normal(
            [0, 0], [[1, expected.baseline_r], [expected.baseline_r, 1]], len(arm)
        )
        alive = np.where(arm == 1, (check.mean + benefit) / (1 - expected.fed_dead), check.alive)
        ends = alive * np.exp(check.log_sd * scores[:, 1] - check.log_sd**2 / 2)
        ends = np.where(rng.random(len(arm)) < np.where(arm == 1, expected.fed_dead, check.dead), 0.0, ends)
        there = rng.random(len(arm)) >= expected.missing
        before = np.exp(check.log_sd * scores[:, 0])
        try:
            ends_of = Ends(ends[there], arm[there], block[there], before[there, None])
            found = contrast(fit(ends_of), ARMS)
        except TrialError:
            given.append(AnswerClass.TOO_FEW)
            continue
        model = class_of_interval(*found.interval(LEVEL), LINES)
        given.append(weaker_of_both(model, class_by_permutation(ends_of, LINES, rng, PERMUTED)))
    return {one: given.count(one) / TRIALS for one in AnswerClass}


@pytest.mark.parametrize(
    ("check", "fed", "expected", "benefit"),
    [
        ([1] * 16, [2] * 16, Expected(Strengths(0.05, 7.0, 0.37), 0.05, 0.5, 0.0), 1.0),  # at the break-even
        ([8], [40], Expected(Strengths(0.2, 7.0, 0.37), 0.2, 0.5, 0.0), 2.0),  # unequal, many dead
    ],
)
def test_what_is_foretold_is_what_the_analysis_comes_to(check, fed, expected, benefit):
    sets = Sets(np.array(check), np.array(fed))
    foretold = foretold_classes(sets, expected, [benefit], LINES, np.random.default_rng(4))[0]
    seen = one_at_a_time(sets, expected, benefit)
    assert sum(foretold.values()) == pytest.approx(1.0)
    for one, chance in foretold.items():
        both = (2_000 * chance + TRIALS * seen[one]) / (2_000 + TRIALS)
        error = np.sqrt(both * (1 - both) * (1 / TRIALS + 1 / 2_000))
        assert seen[one] == pytest.approx(chance, abs=3 * error + 1 / TRIALS), one


def test_intervals_are_counted_by_the_rule_of_classes():
    rng = np.random.default_rng(3)
    estimate, se, df = rng.normal(0.5, 1.0, 400), rng.uniform(0.1, 1.0, 400), rng.uniform(3, 40, 400)
    df[:10] = 0.0
    shares = class_shares(ManyContrasts(estimate, se, df, se, df), LINES)  # both say the same
    one_by_one = [
        AnswerClass.TOO_FEW if d == 0 else class_of_interval(*Contrast(e, s, d).interval(LEVEL), LINES)
        for e, s, d in zip(estimate.tolist(), se.tolist(), df.tolist(), strict=True)
    ]
    assert shares == pytest.approx({one: one_by_one.count(one) / 400 for one in shares})


def test_more_benefit_is_never_less_often_told_as_paid():
    sets = Sets(np.array([1] * 10), np.array([2] * 10))
    expected = Expected(Strengths(0.05, 7.0, 0.37), 0.05, 0.5, 0.05)
    told = foretold_classes(sets, expected, [0.0, 1.0, 2.0, 3.0], LINES, np.random.default_rng(4))
    paid = [one[AnswerClass.PAID] for one in told]
    assert paid == sorted(paid)
    assert paid[0] < 0.02 < paid[1] < 0.07


@pytest.mark.parametrize("odd", [(1.0, 0.5, 0.0), (0.1, 1.0, 0.0), (0.1, 0.5, 1.0)])
def test_what_cannot_be_is_refused(odd):
    with pytest.raises(TrialError):
        Expected(Strengths(0.1, 7.0, 0.3), *odd)


def test_where_grade_pays_the_counted_share_weakens_what_is_foretold():
    """Trials made up and analysed one at a time: frames and counted share, of which the weaker is printed."""
    sets, check = Sets(np.full(30, 1), np.full(30, 2)), Strengths(0.05, 8.0, 0.37)
    lines, grade, benefit = Lines(0.7, 0.7), GradeLine(8.0, Lines(0.085, 0.085)), 2.0
    rng, given = np.random.default_rng(12), []
    block, arm = np.repeat(np.arange(30), 3), np.tile([0, 1, 1], 30)
    for _ in range(TRIALS):
        ends = np.exp(0.37 * rng.normal(size=90) - 0.37**2 / 2) * np.where(arm, 8.0 + benefit / 0.95, 8.0)
        ends[rng.random(90) < 0.05] = 0.0
        both = []
        for outcome, of in ((ends, lines), ((ends >= 8.0).astype(float), grade.lines)):
            seen = contrast(fit(Ends(outcome, arm, block, np.empty((90, 0)))), ARMS)
            both.append(class_of_interval(*seen.interval(LEVEL), of))
        given.append(weaker_of_both(*both))
    expected, rng = Expected(check, 0.05, 0.0, 0.0), np.random.default_rng(13)
    alone = foretold_classes(sets, expected, [benefit], lines, rng)[0][AnswerClass.PAID]
    foretold = foretold_classes(sets, expected, [benefit], lines, rng, grade)[0][AnswerClass.PAID]
    seen = given.count(AnswerClass.PAID) / TRIALS
    assert foretold < alone - 0.03
    assert foretold == pytest.approx(seen, abs=3 * np.sqrt(0.25 / TRIALS))
