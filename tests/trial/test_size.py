"""Power, sample size and chances of classes against R, by hand, and by drawing."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from breadline.errors import TrialError
from breadline.trial import size
from breadline.trial.classes import LEVEL, AnswerClass, Lines, class_of_interval
from breadline.trial.size import ColonyDraw, Precision, YardDraw

ALPHA, POWER = 0.05, 0.80


def draw(check, fed, sd=1.0, r=0.0, blocks=1) -> Precision:
    return ColonyDraw(check, fed, sd, r, blocks, int(r > 0)).precision


# R 4.2.2, power.t.test; strict = TRUE where both tails count
def test_power_and_colonies_per_group_are_those_of_r():
    assert size.power(1.0, draw(20, 20), ALPHA) == pytest.approx(0.8689528, abs=5e-7)
    assert size.power(0.5, draw(64, 64), ALPHA) == pytest.approx(0.8014586, abs=2e-6)
    assert size.colonies_per_group(1.0, 1.0, ALPHA, 0.9) == pytest.approx(22.02109, abs=1e-5)
    for benefit, expected in [(0.2, 393.4067), (0.5, 63.76576), (0.8, 25.52463)]:
        assert size.colonies_per_group(benefit, 1.0, ALPHA, POWER) == pytest.approx(expected, rel=5e-6)


# statsmodels 0.15.0, TTestIndPower: power(benefit, check, .05, fed / check) and solve_power for the smallest
@pytest.mark.parametrize(
    ("check", "fed", "benefit", "power"),
    [
        (20, 100, 0.5, 0.5258071350),
        (6, 94, 0.8, 0.4686971572),
        (24, 376, 0.4, 0.4742823682),
        (4, 400, 1.2, 0.6636467060),
    ],
)
def test_power_of_unequal_arms_is_that_of_statsmodels(check, fed, benefit, power):
    assert size.power(benefit, draw(check, fed), ALPHA) == pytest.approx(power, abs=1e-9)


@pytest.mark.parametrize(
    ("check", "fed", "least"), [(10, 100, 0.9375448893), (20, 100, 0.6918931688), (4, 400, 1.4111539016)]
)
def test_smallest_difference_of_unequal_arms_is_that_of_statsmodels(check, fed, least):
    # its search stops where the power is right to about 1e-6
    assert size.smallest_difference(draw(check, fed), ALPHA, POWER) == pytest.approx(least, rel=2e-6)


def test_smallest_difference_has_the_power_asked_for_and_never_falls_below_its_floor():
    for check, fed in [(4, 400), (10, 100), (20, 100), (40, 20)]:
        seen = draw(check, fed)
        least = size.smallest_difference(seen, ALPHA, POWER)
        assert size.power(least, seen, ALPHA) == pytest.approx(POWER)
        assert least > (stats.norm.ppf(0.975) + stats.norm.ppf(0.8)) / np.sqrt(check)


def test_a_baseline_takes_its_share_of_the_variance_and_one_degree_of_freedom():
    with_it, without = draw(20, 100, 3.0, 0.6), draw(20, 100, 3.0)
    assert with_it.se == pytest.approx(0.8 * without.se)
    assert (without.df, with_it.df) == (118, 117)
    assert draw(20, 100, blocks=4).df == 115


def test_whole_yards():
    # by hand: 30² (0.1 + 0.9 / 20) a yard, four and four yards
    seen = YardDraw(4, 4, 20, 30.0, 0.1, 0.0, False).precision
    assert (seen.se, seen.df) == (pytest.approx(np.sqrt(900 * 0.145 / 2)), 6)
    assert YardDraw(4, 4, 20, 30.0, 0.1, 0.0, True).precision.df == 3
    assert seen.se / ColonyDraw(80, 80, 30.0, 0.0, 1, 0).precision.se == pytest.approx(
        np.sqrt(size.design_effect(20, 0.1, 0.0))
    )
    # DE = 1 + (19)(.05), and with cv .65: 1 + (1.4225 · 20 - 1)(.05), by hand
    assert size.design_effect(20, 0.05, 0.0) == pytest.approx(1.95)
    assert size.design_effect(20, 0.05, 0.65) == pytest.approx(2.3725)


# R 4.2.2, root of pt(qt(.975, df), df, ncp, lower = FALSE) + pt(-qt(.975, df), df, ncp) - .8, times the error
# of yard means, 30 sqrt((ICC + (1 - ICC) / m) (1/unfed + 1/fed)); columns are 8, 20 and 40 colonies a yard
@pytest.mark.parametrize(
    ("check", "fed", "icc", "least"),
    [
        (2, 2, 0.05, (69.6722, 52.9590, 46.0595)),
        (3, 3, 0.20, (50.4599, 45.1327, 43.2113)),
        (2, 6, 0.10, (38.0176, 31.4043, 28.8651)),
        (4, 4, 0.05, (29.3398, 22.3017, 19.3962)),
        (4, 4, 0.30, (44.4602, 41.3388, 40.2446)),
        (6, 6, 0.10, (24.8311, 20.5116, 18.8532)),
        (4, 12, 0.20, (28.5864, 25.5684, 24.4799)),
        (10, 10, 0.30, (24.7432, 23.0061, 22.3971)),
    ],
)
def test_smallest_difference_of_whole_yards_is_that_of_r(check, fed, icc, least):
    for colonies, expected in zip((8, 20, 40), least, strict=True):
        seen = YardDraw(check, fed, colonies, 30.0, icc, 0.0, False).precision
        assert size.smallest_difference(seen, ALPHA, POWER) == pytest.approx(expected, abs=6e-5)


# R 4.2.2, pt with the noncentrality of 15 %: 20 colonies a yard, spread 30 %, ICC 0.05
def test_eight_yards_a_group_are_the_fewest_that_tell_fifteen_in_a_hundred():
    seen = [YardDraw(k, k, 20, 30.0, 0.05, 0.0, False).precision for k in (6, 7, 8, 9)]
    power = [size.power(15.0, one, ALPHA) for one in seen]
    assert power == pytest.approx([0.7057833219, 0.7851503685, 0.8453578165, 0.8900956564], abs=1e-9)
    # by hand: 62.79 colonies a group times 1.95 make 6.12 yards, so 7, and one more for t
    assert next(k for k, one in zip((6, 7, 8, 9), power, strict=True) if one >= POWER) == 8


# R 4.2.2, integrate over the spread of two one-sided tests at 5 %; spread 30 %, no true difference
@pytest.mark.parametrize(
    ("margin", "each", "chance"),
    [(10.0, 155, 0.800564451), (10.0, 154, 0.797215639), (15.0, 69, 0.798511778), (20.0, 39, 0.796875268)],
)
def test_no_difference_larger_is_as_likely_as_two_one_sided_tests_have_it(margin, each, chance):
    """With break-even at the margin both tests make class D, or leave 0 as well: C above, as often below."""
    chances = size.class_chances(0.0, draw(each, each, 30.0), Lines(margin, margin), LEVEL)
    both = chances[AnswerClass.NO_DIFFERENCE_LARGER] + 2 * chances[AnswerClass.STRONGER_DID_NOT_PAY]
    assert both == pytest.approx(chance, abs=1e-5)


@settings(max_examples=40, deadline=None)
@given(st.floats(-3, 3), st.floats(0.1, 2), st.integers(1, 60), st.floats(-0.5, 2), st.floats(0.05, 2))
def test_chances_of_classes_add_up_and_the_paid_one_is_a_noncentral_t(benefit, se, df, b, margin):
    seen, lines = Precision(se, df), Lines(b, margin)
    chances = size.class_chances(benefit, seen, lines, LEVEL)
    assert sum(chances.values()) == pytest.approx(1.0)
    assert min(chances.values()) >= 0.0
    paid = size.chance_told_above(max(b, 0.0), benefit, seen, LEVEL)
    assert chances[AnswerClass.PAID] == pytest.approx(paid, abs=1e-6)


def test_at_break_even_the_chance_of_paid_is_half_of_what_the_level_leaves():
    chances = size.class_chances(0.75, draw(20, 100, 2.0), Lines(0.75, 0.5), LEVEL)
    assert chances[AnswerClass.PAID] == pytest.approx(0.05)


def test_chances_of_classes_by_drawing_trials():
    rng, n = np.random.default_rng(11), 20_000
    seen, lines = draw(6, 6, 2.0), Lines(0.5, 2.6)
    estimate = rng.normal(1.0, seen.se, n)
    reach = stats.t.ppf(0.95, seen.df) * seen.se * np.sqrt(rng.chisquare(seen.df, n) / seen.df)
    drawn = [class_of_interval(e - h, e + h, lines) for e, h in zip(estimate, reach, strict=True)]
    for given_class, chance in size.class_chances(1.0, seen, lines, LEVEL).items():
        error = np.sqrt(chance * (1 - chance) / n)
        assert drawn.count(given_class) / n == pytest.approx(chance, abs=4 * error + 1e-6)


@settings(max_examples=30, deadline=None)
@given(st.floats(0.1, 3), st.integers(2, 60), st.integers(2, 60))
def test_more_colonies_never_see_less(benefit, check, fed):
    assert size.power(benefit, draw(check + 1, fed), ALPHA) >= size.power(benefit, draw(check, fed), ALPHA)


@pytest.mark.parametrize(
    ("reach", "df", "ncp"), [(2.0, 10, 1.0), (1.7, 118, 3.0), (2.0, 3, -2.0), (2.5, 40, 6.0)]
)
def test_the_way_round_scipys_tail_agrees_with_it(reach, df, ncp):
    assert float(size._beyond_by_spread(reach, df, ncp)) == pytest.approx(
        stats.nct.sf(reach, df, ncp), abs=1e-9
    )


def test_far_out_power_is_a_number():
    assert size.power(500.0, draw(50, 50), ALPHA) == pytest.approx(1.0)


@pytest.mark.parametrize(
    "impossible",
    [
        lambda: draw(1, 1),
        lambda: draw(0, 10),
        lambda: draw(10, 10, sd=0.0),
        lambda: draw(10, 10, r=1.0),
        lambda: YardDraw(1, 1, 20, 1.0, 0.1, 0.0, False).precision,
        lambda: YardDraw(4, 4, 20, 1.0, 1.1, 0.0, False).precision,
        lambda: size.colonies_per_group(0.0, 1.0, ALPHA, POWER),
        lambda: size.colonies_per_group(1e-6, 1.0, ALPHA, POWER),
    ],
)
def test_a_design_that_can_tell_nothing_is_refused(impossible):
    with pytest.raises(TrialError):
        impossible()
