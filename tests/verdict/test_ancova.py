"""The analysis of covariance against R, certified sums of squares, and itself turned round."""

from __future__ import annotations

from fractions import Fraction
from importlib.resources import files

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import stats

from breadline.errors import TrialError
from breadline.verdict.ancova import classical_contrast, contrast, covariance, f_test, fit
from breadline.verdict.ends import Ends
from tests.published.data import columns, numbers

FED_LESS_CHECK = np.array([-1.0, 1.0])


def ends(outcome, arm, block=None, baseline=None) -> Ends:
    n = len(outcome)
    block = np.zeros(n, int) if block is None else np.asarray(block)
    baseline = np.empty((n, 0)) if baseline is None else np.asarray(baseline, float).reshape(n, -1)
    return Ends(np.asarray(outcome, float), np.asarray(arm), block, baseline)


def weights_before_after() -> Ends:
    arm = [["CBT", "Cont", "FT"].index(a) for a in columns("weights_before_after")["Treat"]]
    before, after = (numbers("weights_before_after", c) for c in ("Prewt", "Postwt"))
    return ends(after, arm, baseline=before)


def peas(rows, others=()) -> Ends:
    of = {c: numbers("peas_npk", c)[rows] for c in ("block", "N", "P", "K", "yield")}
    baseline = np.column_stack([np.empty((len(rows), 0)), *(of[c] for c in others)])
    return ends(of["yield"], of["N"].astype(int), of["block"].astype(int), baseline)


ALL = list(range(24))
SOME = [i for i in ALL if i not in (0, 4, 8, 9)]


# R 4.2.2, clubSandwich 0.5.8: coef_test(vcov = "CR2", cluster = each row its own); the standard
# errors also by estimatr 1.0.0, lm_robust(se_type = "HC2")
@pytest.mark.parametrize(
    ("data", "arm_weights", "estimate", "se", "df"),
    [
        (weights_before_after(), [-1, 1, 0], -4.097066, 1.8157956981, 50.45290718),
        (weights_before_after(), [-1, 0, 1], 4.563063, 2.3350517326, 33.42791687),
        (weights_before_after(), [0, -1, 1], 8.6601281810, 2.2131724976, 33.5816402224),
        (peas(ALL), [-1, 1], 5.6166666667, 1.8358850335, 17.0),
        (peas(ALL, "PK"), [-1, 1], 5.6166666667, 1.6336224234, 15.0),
        (peas(SOME), [-1, 1], 6.7482758621, 2.0553143802, 11.8686685828),
    ],
)
def test_robust_errors_and_their_degrees_of_freedom_are_those_of_r(data, arm_weights, estimate, se, df):
    found = contrast(fit(data), np.array(arm_weights, float))
    assert found.estimate == pytest.approx(estimate, rel=2e-7)
    assert found.se == pytest.approx(se, rel=1e-9)
    assert found.df == pytest.approx(df, rel=1e-9)


def test_the_classical_parts_are_those_of_r():
    fitted = fit(weights_before_after())  # R 4.2.2: summary and anova of lm(Postwt ~ Prewt + Treat)
    table = f_test(fitted)
    assert fitted.mean_square == pytest.approx(48.69504, abs=5e-6)
    assert table.f == pytest.approx(7.86808, abs=5e-6)
    assert table.p == pytest.approx(0.00084384, abs=5e-9)
    assert classical_contrast(fitted, np.array([-1.0, 1, 0])).se == pytest.approx(1.893493, abs=5e-7)


# R 4.2.2: anova(lm(yield ~ block + N * P * K, npk)); the arm first, the others and their products beside it
@pytest.mark.parametrize(
    ("arm", "others", "f", "p"),
    [
        ("N", "PK", 12.258734213651, 0.0043718118258),
        ("P", "NK", 0.544129816860, 0.4749040926744),
        ("K", "NP", 6.165689202317, 0.0287950535002),
    ],
)
def test_peas_in_blocks_are_the_analysis_of_variance_of_r(arm, others, f, p):
    of = {c: numbers("peas_npk", c) for c in ("block", "N", "P", "K", "yield")}
    halves = {c: of[c] - 0.5 for c in "NPK"}  # so that a product stands across what it is made of
    a, b = others
    beside = [halves[a], halves[b], halves[arm] * halves[a], halves[arm] * halves[b], halves[a] * halves[b]]
    table = f_test(fit(ends(of["yield"], of[arm].astype(int), of["block"], np.column_stack(beside))))
    assert (table.f, table.p) == (pytest.approx(f, rel=1e-9), pytest.approx(p, rel=1e-9))
    assert table.within / table.df_within == pytest.approx(15.440555555556, rel=1e-9)


def test_students_sleepers_alone_and_in_pairs():
    drug, gained = numbers("student_sleep", "drug").astype(int) - 1, numbers("student_sleep", "gained")
    alone = contrast(fit(ends(gained, drug)), FED_LESS_CHECK)  # R 4.2.2, t.test(extra ~ group, sleep)
    assert alone.estimate / alone.se == pytest.approx(1.8608134674869, rel=1e-9)
    pairs = contrast(fit(ends(gained, drug, numbers("student_sleep", "patient"))), FED_LESS_CHECK)
    assert (pairs.estimate / pairs.se, pairs.df) == (pytest.approx(4.06212768338204), pytest.approx(9.0))
    assert pairs.p_two_sided() == pytest.approx(0.00283289019738)  # the same, paired = TRUE


NIST = (
    {"AtmWtAg": 9, "SiRstv": 9} | {f"SmLs0{i}": 9 for i in range(1, 7)} | {f"SmLs0{i}": 4 for i in (7, 8, 9)}
)


def nist(name: str):
    """Treatment, response as double, and the certified sums of squares and F of one file."""
    lines = (
        (files("scipy.stats.tests") / "data" / "nist_anova" / f"{name}.dat").read_text("ascii").splitlines()
    )
    between, within = (next(x for x in lines if x.startswith(k)).split() for k in ("Between", "Within"))
    rows = [line.split() for line in lines[60:] if line.strip()]
    treatment = np.array([int(row[0]) for row in rows]) - 1
    return (
        treatment,
        np.array([float(row[1]) for row in rows]),
        [float(between[3]), float(within[3]), float(between[5])],
    )


def digits(found: float, certified: float) -> float:
    """Correct digits as the National Institute counts them, at most 15."""
    return 15.0 if found == certified else -np.log10(abs(found - certified) / abs(certified))


@pytest.mark.parametrize("name", NIST)
def test_one_way_analysis_of_variance_has_the_certified_digits(name):
    treatment, response, certified = nist(name)
    table = f_test(fit(ends(response, treatment)))
    assert digits(table.f, certified[2]) >= NIST[name]
    if NIST[name] == 9:
        assert min(digits(table.between, certified[0]), digits(table.within, certified[1])) >= 9


@pytest.mark.parametrize("name", ["SmLs07", "SmLs08", "SmLs09"])
def test_the_digits_lost_are_those_that_doubles_never_held(name):
    treatment, response, certified = nist(name)
    exact = [Fraction(value) for value in response.tolist()]
    groups = [[v for v, t in zip(exact, treatment, strict=True) if t == k] for k in range(9)]
    mean = sum(exact) / len(exact)
    means = [sum(group) / len(group) for group in groups]
    between = sum(len(g) * (m - mean) ** 2 for g, m in zip(groups, means, strict=True))
    within = sum((v - m) ** 2 for g, m in zip(groups, means, strict=True) for v in g)
    # the doubles, reckoned without any rounding: 3.9 to 4.0 digits of the arms' sum of squares are left
    assert 3.9 < digits(float(between), certified[0]) < 4.1
    assert 4.2 < digits(float(within), certified[1]) < 4.3
    table = f_test(fit(ends(response, treatment)))
    assert digits(table.between, float(between)) >= 12
    assert digits(table.within, float(within)) >= 12


def test_two_arms_alone_are_welchs_comparison_under_equal_spread():
    rng = np.random.default_rng(4)
    check, fed = rng.normal(8, 1, 5), rng.normal(9, 3, 12)
    found = contrast(fit(ends([*check, *fed], [0] * 5 + [1] * 12)), FED_LESS_CHECK)
    assert found.estimate / found.se == pytest.approx(stats.ttest_ind(fed, check, equal_var=False).statistic)
    # Satterthwaite's formula with both variances alike, worked by hand
    assert found.df == pytest.approx((1 / 5 + 1 / 12) ** 2 / (1 / (25 * 4) + 1 / (144 * 11)))


def test_pairs_are_the_paired_t_test():
    cross, self_ = numbers("darwin_maize", "cross"), numbers("darwin_maize", "self")
    data = ends([*self_, *cross], [0] * 15 + [1] * 15, [*range(15), *range(15)])
    found, told = contrast(fit(data), FED_LESS_CHECK), stats.ttest_rel(cross, self_)
    assert (found.estimate, found.df) == (pytest.approx(2.616667, abs=5e-7), pytest.approx(14.0))
    assert found.estimate / found.se == pytest.approx(told.statistic)
    assert found.p_two_sided() == pytest.approx(told.pvalue)
    assert found.interval(0.9) == pytest.approx(tuple(told.confidence_interval(0.9)))


@st.composite
def trials(draw):
    rng = np.random.default_rng(draw(st.integers(0, 10**6)))
    sizes = draw(st.lists(st.integers(4, 9), min_size=2, max_size=5))
    block = np.repeat(np.arange(len(sizes)), sizes)
    arm = np.concatenate([rng.permutation(np.arange(size) % 2) for size in sizes])
    baseline = rng.normal(8, 2, len(arm))
    return ends(baseline + rng.normal(size=len(arm)) * (1 + arm) + arm, arm, block, baseline)


def same(one, other, sign=1.0, scale=1.0):
    assert other.estimate == pytest.approx(sign * scale * one.estimate, rel=1e-6, abs=1e-9)
    assert other.se == pytest.approx(scale * one.se, rel=1e-6)
    assert other.df == pytest.approx(one.df, rel=1e-6)


@settings(max_examples=40, deadline=None)
@given(trials(), st.integers(0, 10**6))
def test_order_of_rows_names_of_blocks_origin_and_unit_do_not_matter(data, seed):
    rng = np.random.default_rng(seed)
    one = contrast(fit(data), FED_LESS_CHECK)
    order = rng.permutation(len(data.outcome))
    turned = Ends(data.outcome[order], data.arm[order], 7 - 3 * data.block[order], data.baseline[order])
    same(one, contrast(fit(turned), FED_LESS_CHECK))
    moved = Ends(data.outcome * 4.0 + 100.0, data.arm, data.block, data.baseline * 0.1 - 3.0)
    same(one, contrast(fit(moved), FED_LESS_CHECK), scale=4.0)
    swapped = Ends(data.outcome, 1 - data.arm, data.block, data.baseline)
    same(one, contrast(fit(swapped), FED_LESS_CHECK), sign=-1.0)
    by_block = Ends(data.outcome + 5.0 * data.block, data.arm, data.block, data.baseline)
    same(one, contrast(fit(by_block), FED_LESS_CHECK))


@settings(max_examples=20, deadline=None)
@given(trials())
def test_a_baseline_given_twice_is_left_out_once(data):
    twice = Ends(data.outcome, data.arm, data.block, np.column_stack([data.baseline, 2.0 * data.baseline]))
    assert fit(twice).left_out == (1,)
    same(contrast(fit(data), FED_LESS_CHECK), contrast(fit(twice), FED_LESS_CHECK))


@settings(max_examples=20, deadline=None)
@given(trials())
def test_the_covariance_holds_the_variance_of_each_contrast(data):
    fitted = fit(data)
    assert covariance(fitted, FED_LESS_CHECK[None, :])[0, 0] ** 0.5 == pytest.approx(
        contrast(fitted, FED_LESS_CHECK).se
    )


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (lambda: ends([1, np.nan, 2, 3], [0, 0, 1, 1]), "1 of 4 colonies have no end"),
        (lambda: ends([1, 2, 2, 3], [0, 0, 1, 1], baseline=[1, 2, np.nan, 3]), "1 colonies have none"),
        (lambda: ends([1, 2, 3], [1, 1, 1]), "an arm has no colony"),
        (lambda: ends([1, 2, 3, 5], [0, 0, 1, 1], [0, 0, 1, 1]), "cannot be told from the blocks"),
        (lambda: ends([1, 2, 3, 4.5], [0, 1, 1, 1]), "stands alone"),
        (lambda: ends([1, 2], [0, 1]), "leave nothing to judge the spread by"),
        (lambda: ends([0, 0, 0, 0], [0, 0, 1, 1]), "all came to the same"),
        (lambda: ends([0.1, 0.1, 0.7, 0.7], [0, 0, 1, 1]), "all came to the same"),
    ],
)
def test_what_cannot_be_answered_is_refused(data, said):
    with pytest.raises(TrialError, match=said):
        contrast(fit(data()), FED_LESS_CHECK)
