"""What a size of check group could tell, held against the analysis that will be made of it."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from breadline.errors import TrialError
from breadline.trial.arrangements import refuse_blunt
from breadline.trial.classes import LEVEL, AnswerClass, Lines, class_of_interval
from breadline.trial.planner import Questions, colony_noise, colony_row, sets_of, yard_row
from breadline.trial.sets import Noise, Sets, sets_precision
from breadline.trial.size import Precision, YardDraw, class_chances
from breadline.trial.spread import ColonySpread
from breadline.trial.value_path import Strengths
from breadline.verdict.ends import Ends
from breadline.verdict.many_trials import ManyTrials, many_contrasts
from breadline.verdict.yard_means import means_of_yards

TRIALS = 2_000


def dice() -> np.random.Generator:
    return np.random.default_rng(20261125)


SHELF = ColonySpread(0.37, 0.5, 0.4, 0.13, ("the shelf",) * 3)
ASKED = Questions(Lines(0.75, 0.5), 1.0)


def invented_trials(sets: Sets, noise: Noise, benefit: float, seed: int) -> ManyTrials:
    """Trials as they are drawn: baselines that tell something, ends that go missing."""
    rng = np.random.default_rng(seed)
    block = np.repeat(np.arange(len(sets.check)), sets.sizes)
    starts = np.cumsum(sets.sizes) - sets.sizes
    arm = (np.arange(len(block)) - starts[block] >= sets.check[block]).astype(np.int64)
    before = rng.normal(size=(TRIALS, len(arm)))
    left = np.sqrt(1 - noise.baseline_r**2) * rng.normal(size=before.shape)
    yards = rng.normal(size=(TRIALS, len(sets.check)))[:, block]
    outcome = yards + noise.sd * (noise.baseline_r * before + left) + benefit * arm
    outcome[rng.random(outcome.shape) < noise.missing] = np.nan
    return ManyTrials(arm, block, outcome, before)


def shares(estimate, se, df, lines: Lines) -> dict[AnswerClass, float]:
    reach = stats.t.ppf((1 + LEVEL) / 2, df) * se
    given = [class_of_interval(e - h, e + h, lines) for e, h in zip(estimate, reach, strict=True)]
    return {one: given.count(one) / len(given) for one in AnswerClass}


def agree(seen: dict[AnswerClass, float], chances: dict[AnswerClass, float]) -> None:
    for one, chance in chances.items():
        error = np.sqrt(chance * (1 - chance) / TRIALS)
        assert seen[one] == pytest.approx(chance, abs=3 * error + 0.5 / TRIALS), one


@pytest.mark.parametrize(
    ("check", "fed", "noise", "benefit"),
    [
        ([1] * 12, [3] * 12, Noise(1.5, 0.5, 0.0), 0.75),  # sets, at the break-even
        ([6], [94], Noise(1.5, 0.5, 0.05), 2.0),  # unequal arms in one yard, ends missing
        ([4, 6], [12, 20], Noise(1.2, 0.7, 0.1), 1.5),  # two yards, a tenth missing
    ],
)
def test_chances_of_classes_are_those_of_the_analysis(check, fed, noise, benefit):
    sets = Sets(np.array(check), np.array(fed))
    found = many_contrasts(invented_trials(sets, noise, benefit, 7))
    judged = found.df > 0
    assert judged.mean() > 0.99
    seen = shares(found.estimate[judged], found.se[judged], found.df[judged], ASKED.lines)
    agree(seen, class_chances(benefit, sets_precision(sets, noise, dice()), ASKED.lines, LEVEL))


def test_chances_for_whole_yards_are_those_of_the_analysis():
    draw, rng = YardDraw(3, 5, 6, 2.0, 0.3, 0.5, False), np.random.default_rng(3)
    yard = np.repeat(np.arange(8), 6)
    arm = (yard >= 3).astype(np.int64)
    of_yard = rng.normal(0, 2 * np.sqrt(0.3), (TRIALS, 8))[:, yard]
    outcome = of_yard + 2.0 * arm + rng.normal(0, 2 * np.sqrt(0.7 * 0.75), (TRIALS, 48))
    means = outcome.reshape(TRIALS, 8, 6).mean(axis=2)  # what the baseline explains is taken out already
    one = means_of_yards(Ends(outcome[0], arm, np.zeros(48, dtype=np.int64), np.empty((48, 0))), yard)
    np.testing.assert_allclose(one.outcome, means[0])
    unfed, fed = means[:, :3], means[:, 3:]
    ss = 2 * unfed.var(axis=1, ddof=1) + 4 * fed.var(axis=1, ddof=1)
    se = np.sqrt(ss / 6 * (1 / 3 + 1 / 5))
    seen = shares(fed.mean(axis=1) - unfed.mean(axis=1), se, np.full(TRIALS, 6), ASKED.lines)
    agree(seen, class_chances(2.0, yard_row(draw, ASKED).precision, ASKED.lines, LEVEL))


def test_two_arms_without_sets_or_baseline_have_the_degrees_of_freedom_of_welch():
    # under equal spread HC2 is s²/n of each arm, so by hand: (1/6 + 1/94)² over (1/6²/5 + 1/94²/93)
    seen = sets_precision(Sets(np.array([6]), np.array([94])), Noise(2.0, 0.0), dice())
    assert seen.se == pytest.approx(2.0 * np.sqrt(1 / 6 + 1 / 94))
    assert seen.df == pytest.approx((1 / 6 + 1 / 94) ** 2 / (1 / 6**2 / 5 + 1 / 94**2 / 93))


def test_pairs_are_a_paired_comparison():
    ones = np.ones(8, dtype=np.int64)
    seen = sets_precision(Sets(ones, ones), Noise(1.5, 0.0), dice())
    assert (seen.se, seen.df) == (pytest.approx(1.5 * np.sqrt(2 / 8)), pytest.approx(7))


def test_deaths_widen_the_spread_and_no_baseline_tells_them():
    living = colony_noise(Strengths(0.0, 8.0, 0.37), SHELF, 0.0)
    # by hand: a lognormal of mean 8 has sd 8 √(e^0.1369 − 1)
    assert living.sd == pytest.approx(8 * np.sqrt(np.exp(0.37**2) - 1))
    assert living.baseline_r == 0.5
    some = colony_noise(Strengths(0.2, 8.0, 0.37), SHELF, 0.0)
    rng = np.random.default_rng(1)
    before = rng.normal(size=400_000)
    scores = 0.5 * before + np.sqrt(0.75) * rng.normal(size=before.size)
    started = (8 + living.sd * scores) * (rng.random(before.size) >= 0.2)
    assert some.sd == pytest.approx(started.std(), rel=0.01)
    assert some.baseline_r == pytest.approx(np.corrcoef(before, started)[0, 1], abs=0.01)


def test_half_the_rate_asks_for_about_four_times_the_colonies():
    noise, halved = Noise(2.5, 0.5), Questions(Lines(0.75 / 2, 0.25), 0.5)
    whole = colony_row(24, 2, [400], noise, ASKED, dice())
    half = colony_row(96, 2, [400], noise, halved, dice())
    assert half.paid.at_twice == pytest.approx(whole.paid.at_twice, abs=0.02)
    assert colony_row(24, 2, [400], noise, halved, dice()).paid.at_twice < whole.paid.at_twice - 0.1


def test_a_row_says_what_it_could_tell():
    row = colony_row(24, 3, [100, 100, 100, 100], Noise(2.5, 0.5, 0.05), ASKED, dice())
    assert row.in_yards == (6, 6, 6, 6)
    assert (row.check, row.fed) == (24, 72)
    assert row.paid.at_break_even == pytest.approx(0.05)
    assert row.paid.at_zero < row.paid.at_break_even < row.paid.at_believed < row.paid.at_twice
    assert row.from_break_even == pytest.approx(0.75 + row.from_zero)
    told = Questions(ASKED.lines, row.from_break_even)
    again = colony_row(24, 3, [100, 100, 100, 100], Noise(2.5, 0.5, 0.05), told, dice())
    assert again.paid.at_believed == pytest.approx(0.8, abs=1e-4)
    assert row.classes[AnswerClass.PAID] == pytest.approx(row.paid.at_believed, abs=1e-6)
    assert row.smallest_p == 4.0**-24


def test_where_spread_grows_with_the_mean_a_large_benefit_is_seen_less_sharply():
    noise = Noise(2.0, 0.0, 0.0, 8.0)
    # by hand: twice the frames, twice the spread; one against three: (1 + 4/3) over (1 + 1/3)
    assert noise.widened(8.0, (24, 72)) == pytest.approx(np.sqrt((1 + 4 / 3) / (1 + 1 / 3)))
    assert noise.widened(0.0, (24, 72)) == 1.0
    alike, grows = (colony_row(12, 1, [100], n, ASKED, dice()) for n in (Noise(2.0, 0.0), noise))
    assert grows.from_zero > alike.from_zero
    assert grows.paid.at_twice < alike.paid.at_twice
    told = Questions(ASKED.lines, grows.from_break_even)
    assert colony_row(12, 1, [100], noise, told, dice()).paid.at_believed == pytest.approx(0.8, abs=1e-4)


def test_unfed_colonies_are_shared_out_by_the_size_of_yards():
    _, each = sets_of(12, 2, [120, 60, 60])
    assert each == (6, 3, 3)
    _, each = sets_of(3, 1, [40, 40, 6, 40])
    assert sorted(each) == [0, 1, 1, 1]
    assert each[2] == 0
    with pytest.raises(TrialError, match="1 to 3 unfed"):
        sets_of(4, 2, [9])


@pytest.mark.parametrize(
    ("sizes", "fed", "way"),
    [
        ([6], [4], "3 unfed and 3 fed"),  # 2 of 6: 15 ways
        ([4], [2], "3 unfed and 3 fed"),  # 6 ways
        ([2] * 4, [1] * 4, "5 pairs"),  # 16 ways
    ],
)
def test_a_draw_too_blunt_to_tell_anything_is_refused_with_the_way_out(sizes, fed, way):
    with pytest.raises(TrialError, match=way) as refused:
        refuse_blunt(np.array(sizes), np.array(fed), "yards")
    assert "inside each yard" in refused.value.do


def test_three_and_three_yards_and_five_pairs_are_just_enough():
    refuse_blunt(np.array([6]), np.array([3]), "yards")
    refuse_blunt(np.array([2] * 5), np.array([1] * 5), "colonies")
    with pytest.raises(TrialError, match="16 ways"):
        colony_row(4, 1, [8], Noise(1.0, 0.0), ASKED, dice())


@pytest.mark.parametrize(
    "odd",
    [
        lambda: Noise(1.0, 1.0),
        lambda: Noise(1.0, 0.5, 1.0),
        lambda: Sets(np.array([0]), np.array([-1])),
        lambda: sets_precision(Sets(np.array([1]), np.array([20])), Noise(1.0, 0.5), dice()),
        lambda: sets_precision(Sets(np.array([3, 0]), np.array([0, 3])), Noise(1.0, 0.0), dice()),
    ],
)
def test_a_design_that_can_tell_nothing_is_refused(odd):
    with pytest.raises(TrialError):
        odd()


def test_fed_yards_that_are_stronger_differ_more():
    draw = YardDraw(6, 6, 12, 3.0, 0.3, 0.5, False, mean=8.0)
    alike = yard_row(YardDraw(6, 6, 12, 3.0, 0.3, 0.5, False), ASKED)
    wider = yard_row(draw, ASKED)
    assert wider.paid.at_zero == alike.paid.at_zero
    # by hand: at 2b = 1.5 fed yards spread 9.5/8 times as much, the error √((1 + 1.41)/2) times
    told = class_chances(1.5, Precision(alike.precision.se * 1.09776, 10), ASKED.lines, LEVEL)
    assert wider.paid.at_twice == pytest.approx(told[AnswerClass.PAID], abs=1e-5)
    assert wider.from_break_even > alike.from_break_even
