"""Classes foretold of whole yards, against yards made up and answered one trial after the other."""

from __future__ import annotations

import numpy as np
import pytest

from breadline.trial.classes import AnswerClass, Lines, class_of_interval
from breadline.trial.size import YardDraw, class_chances
from breadline.verdict.ancova import classical_contrast, fit
from breadline.verdict.classes import weaker_of_both
from breadline.verdict.ends import Ends
from breadline.verdict.forecast_yards import foretold_yards
from breadline.verdict.permutation_class import class_by_permutation

LINES, TRIALS = Lines(1.0, 0.6), 400


@pytest.mark.parametrize(("check", "fed"), [(3, 3), (2, 6), (4, 4)])
def test_what_is_printed_is_what_was_foretold(check, fed):
    draw = YardDraw(check, fed, 10, 2.0, 0.3, 0.5, False)
    benefit = LINES.break_even + 2.5 * draw.precision.se
    rng = np.random.default_rng(8)
    foretold = foretold_yards(draw, [benefit], LINES, rng)[0]
    arm = np.repeat([0, 1], [check, fed])
    each = draw.precision.se / np.sqrt(1 / check + 1 / fed)
    given = []
    for _ in range(TRIALS):
        means = 8 + benefit * arm + each * rng.normal(size=len(arm))
        ends = Ends(means, arm, np.zeros_like(arm), np.empty((len(arm), 0)))
        low, high = classical_contrast(fit(ends), np.array([-1.0, 1.0])).interval(0.90)
        given.append(
            weaker_of_both(class_of_interval(low, high, LINES), class_by_permutation(ends, LINES, rng))
        )
    for one in AnswerClass:
        if one is not AnswerClass.NOT_FAIR:
            seen, chance = given.count(one) / TRIALS, foretold[one]
            error = np.sqrt(max(chance * (1 - chance), 1 / TRIALS) * (1 / TRIALS + 1 / 2_000))
            assert abs(seen - chance) <= 3 * error + 1 / TRIALS, one
    assert sum(foretold.values()) == pytest.approx(1.0)


def test_two_unfed_yards_of_eight_are_foretold_well_below_what_t_alone_would_say():
    draw = YardDraw(2, 6, 10, 2.0, 0.3, 0.5, False)
    benefit = LINES.break_even + 2.5 * draw.precision.se
    by_t = class_chances(benefit, draw.precision, LINES, 0.90)[AnswerClass.PAID]
    foretold = foretold_yards(draw, [benefit], LINES, np.random.default_rng(8))[0][AnswerClass.PAID]
    assert foretold < by_t - 0.08


def test_with_many_yards_t_stands_for_the_permutation():
    draw = YardDraw(10, 10, 10, 2.0, 0.3, 0.5, False)
    benefit = LINES.break_even + 2.0 * draw.precision.se
    by_t = class_chances(benefit, draw.precision, LINES, 0.90)
    foretold = foretold_yards(draw, [benefit], LINES, np.random.default_rng(8))[0]
    assert all(foretold[one] == pytest.approx(by_t[one], abs=0.035) for one in foretold)
