"""In balanced designs the F tests and degrees of freedom are those of the analysis of variance, exactly."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from breadline.verdict.reml import reml


def kinds(labels):
    """Intercept and a column for each level but the first."""
    return np.column_stack(
        [np.ones(len(labels)), *(labels[:, None] == np.unique(labels)[1:]).T.astype(float)]
    )


def last(columns: int, of: int):
    return np.eye(of)[of - columns :]


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("yards", [4, 8, 12])
def test_whole_yards_fed_is_a_t_test_of_yard_means(yards, seed):
    rng = np.random.default_rng(seed)
    yard = np.repeat(np.arange(yards), 6)
    fed = yard % 2
    y = 8.0 + 0.5 * fed + 2.0 * rng.normal(size=yards)[yard] + rng.normal(size=yard.size)
    fit = reml(y, np.column_stack([np.ones(y.size), fed]), {"yard": yard})
    means = y.reshape(yards, 6).mean(axis=1)
    t = stats.ttest_ind(means[1::2], means[::2])
    told = fit.effect(1)
    assert (told.t, told.df, told.p) == pytest.approx((t.statistic, yards - 2, t.pvalue), rel=1e-6)
    low, high = told.interval(0.90)
    assert (low, high) == pytest.approx(tuple(t.confidence_interval(0.90)), rel=1e-6)


@pytest.mark.parametrize("feeds", [2, 3, 4, 5])
@pytest.mark.parametrize("yards", [3, 6])
def test_feeds_within_every_yard_are_a_randomised_block_analysis(yards, feeds):
    rng = np.random.default_rng(yards * feeds)
    yard, feed = (a.reshape(-1) for a in np.indices((yards, feeds)))
    y = 3.0 * rng.normal(size=yards)[yard] + rng.normal(size=yard.size)
    told = reml(y, kinds(feed), {"yard": yard}).f_test(last(feeds - 1, feeds))
    cells = y.reshape(yards, feeds)
    between = yards * np.var(cells.mean(axis=0), ddof=1)
    left = cells - cells.mean(axis=0) - cells.mean(axis=1)[:, None] + cells.mean()
    df = (yards - 1) * (feeds - 1)
    f = between / (np.sum(left**2) / df)
    assert (told.f, told.scale, told.numerator_df, told.df) == pytest.approx(
        (f, 1.0, feeds - 1, df), rel=1e-5
    )
    assert told.p == pytest.approx(stats.f.sf(f, feeds - 1, df), rel=1e-4)


def split_plot(seed: int):
    """Yards holding three half-yards each, fed as a whole, of four colonies under different care."""
    rng = np.random.default_rng(seed)
    yard, feed, care = (a.reshape(-1) for a in np.indices((5, 3, 4)))
    half = 10 * yard + feed
    y = 2.0 * rng.normal(size=5)[yard] + 1.5 * rng.normal(size=50)[half] + rng.normal(size=yard.size)
    return y, yard, feed, care, half


@pytest.mark.parametrize("seed", range(5))
def test_a_split_plot_tests_each_factor_against_its_own_stratum(seed):
    y, yard, feed, care, half = split_plot(seed)
    fixed = np.column_stack([kinds(feed), kinds(care)[:, 1:]])
    fit = reml(y, fixed, {"yard": yard, "half": half})
    assert not fit.at_boundary
    plots = y.reshape(5, 3, 4).mean(axis=2)
    left = plots - plots.mean(axis=0) - plots.mean(axis=1)[:, None] + plots.mean()
    f_feed = 5 * np.var(plots.mean(axis=0), ddof=1) / (np.sum(left**2) / 8)
    inner = y.reshape(5, 3, 4) - plots[:, :, None] - y.reshape(15, 4).mean(axis=0) + y.mean()
    f_care = 15 * np.var(y.reshape(15, 4).mean(axis=0), ddof=1) / (np.sum(inner**2) / (14 * 3))
    whole, part = fit.f_test(np.eye(6)[1:3]), fit.f_test(np.eye(6)[3:])
    assert (whole.f, whole.df) == pytest.approx((f_feed, 8), rel=1e-5)
    assert (part.f, part.df) == pytest.approx((f_care, 42), rel=1e-5)


@pytest.mark.parametrize("seed", range(5))
def test_crossed_yards_and_graders_are_a_two_way_analysis(seed):
    rng = np.random.default_rng(seed)
    yard, grader, _ = (a.reshape(-1) for a in np.indices((6, 4, 3)))
    y = 2.0 * rng.normal(size=6)[yard] + 2.0 * rng.normal(size=4)[grader] + rng.normal(size=yard.size)
    fit = reml(y, np.ones((y.size, 1)), {"yard": yard, "grader": grader})
    cube = y.reshape(6, 4, 3)
    by_yard, by_grader = cube.mean(axis=(1, 2)), cube.mean(axis=(0, 2))
    left = cube - by_yard[:, None, None] - by_grader[:, None] + y.mean()
    residual = np.sum(left**2) / (72 - 6 - 4 + 1)
    assert fit.variances["residual"] == pytest.approx(residual, rel=1e-5)
    assert fit.variances["yard"] == pytest.approx((12 * np.var(by_yard, ddof=1) - residual) / 12, rel=1e-5)
    assert fit.variances["grader"] == pytest.approx(
        (18 * np.var(by_grader, ddof=1) - residual) / 18, rel=1e-5
    )


def test_without_groupings_it_is_least_squares():
    rng = np.random.default_rng(1)
    x = rng.normal(size=30)
    fixed, y = np.column_stack([np.ones(30), x]), 2.0 + 0.3 * x + rng.normal(size=30)
    fit, line = reml(y, fixed, {}), stats.linregress(x, y)
    told = fit.effect(1)
    assert (told.estimate, told.se, told.df, told.p) == pytest.approx(
        (line.slope, line.stderr, 28, line.pvalue)
    )
    assert fit.f_test([[0.0, 1.0]]).f == pytest.approx((line.slope / line.stderr) ** 2)
    assert fit.f_test(np.eye(2)).df == pytest.approx(28)
