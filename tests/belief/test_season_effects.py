"""What own seasons teach: the mean over seasons, the spread between them, next season."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import integrate, stats

from breadline.belief.carried import carried
from breadline.belief.gain import gain_draws
from breadline.belief.season_effects import (
    Before,
    SeasonResult,
    by_season,
    learnt,
    likelihood,
)
from breadline.belief.survival_learnt import Deaths
from breadline.errors import TrialError
from breadline.knowledge.shelf import load
from breadline.span import Z95, Span

MEAN, SD, TAU = 0.22, 0.20, 0.20
BEFORE = Before(Span(MEAN - Z95 * SD, MEAN, MEAN + Z95 * SD), TAU)
SHARES = np.array([0.05, 0.5, 0.95])


def season(name: str, off_in_tau: float, se: float = 0.12) -> SeasonResult:
    return SeasonResult(name, MEAN + off_in_tau * TAU, se)


@pytest.mark.parametrize("se", [0.05, 0.12, 0.30])
def test_one_result_at_five_spreads_moves_the_mean_less_than_two_at_two_and_a_half(se):
    one = learnt(BEFORE, [season("2026", 5.0, se)])
    two = learnt(BEFORE, [season("2026", 2.5, se), season("2027", 2.5, se)])
    assert 0 < one.expected - MEAN < two.expected - MEAN
    middle = np.array([0.5])
    assert one.mean_at(middle) < two.mean_at(middle)


@pytest.mark.parametrize(
    ("mean", "tau", "se", "seen"), [(0.0, 0.2, 0.12, 0.8), (0.3, 0.02, 0.1, 0.0), (0.1, 1.0, 0.05, 0.1)]
)
def test_a_result_is_as_likely_as_normal_error_folded_with_a_t(mean, tau, se, seen):
    """Against the plain integral over the season effect, by another program's quadrature."""

    def both(effect: float) -> float:
        error = stats.norm.pdf(seen - mean - effect, 0.0, se)
        return float(error * stats.t.pdf(effect / tau, 4) / tau)

    around = [seen - mean, 0.0]
    plain = sum(
        integrate.quad(both, *ends, limit=400, points=around if ends[0] == -2 else None)[0]
        for ends in ((-40, -2), (-2, 2), (2, 40))
    )
    ours = likelihood(SeasonResult("a", seen, se), np.array([mean]), np.array([tau]))
    assert ours[0, 0] == pytest.approx(plain, rel=1e-6)


def test_next_season_is_the_mean_and_a_new_season_effect():
    """A million seasons drawn from the belief before any trial, by another program's dice."""
    rng = np.random.default_rng(4)
    n = 1_000_000
    spread = np.abs(rng.normal(0.0, TAU / stats.norm.ppf(0.75), n))
    drawn = rng.normal(MEAN, SD, n) + spread * rng.standard_t(4, n)
    first = learnt(BEFORE, [])
    assert first.next_at(SHARES) == pytest.approx(np.quantile(drawn, SHARES), abs=0.005)
    assert first.next_below(np.array([0.0]))[0] == pytest.approx((drawn < 0).mean(), abs=0.002)


def test_before_any_trial_the_belief_is_that_of_the_shelf():
    first = learnt(BEFORE, [])
    assert first.mean_at(SHARES) == pytest.approx([MEAN - Z95 * SD, MEAN, MEAN + Z95 * SD], abs=1e-3)
    assert first.spread_at(np.array([0.5]))[0] == pytest.approx(TAU, abs=0.002)


def test_a_sharp_result_that_agrees_narrows_the_mean_and_a_useless_one_teaches_nothing():
    first, sharp, useless = (
        learnt(BEFORE, results) for results in ([], [season("2026", 0.0, 0.05)], [season("2026", 3.0, 50.0)])
    )
    assert np.ptp(sharp.mean_at(SHARES)) < 0.8 * np.ptp(first.mean_at(SHARES))
    assert useless.mean_at(SHARES) == pytest.approx(first.mean_at(SHARES), abs=1e-3)


def test_three_trials_of_one_season_are_one_season():
    three = [season("2026", 5.0, 0.2)] * 3
    (one,) = by_season(three)
    assert (one.log_ratio, one.se) == (pytest.approx(MEAN + 5 * TAU), pytest.approx(0.2 / np.sqrt(3)))
    apart = [season(str(year), 5.0, 0.2) for year in (2026, 2027, 2028)]
    assert learnt(BEFORE, three).expected < learnt(BEFORE, apart).expected


def test_the_order_of_seasons_does_not_matter():
    one, other = season("2026", 1.0), season("2027", -2.0, 0.3)
    forth, back = learnt(BEFORE, [one, other]), learnt(BEFORE, [other, one])
    assert forth.weight == pytest.approx(back.weight, abs=1e-15)


def test_many_alike_seasons_outweigh_the_belief_before():
    """With twenty sharp seasons the mean of the results is what is left."""
    rng = np.random.default_rng(9)
    seen = 0.6 + 0.05 * rng.standard_normal(20)
    after = learnt(BEFORE, [SeasonResult(str(k), float(v), 0.05) for k, v in enumerate(seen)])
    assert after.expected == pytest.approx(seen.mean(), abs=0.03)
    assert after.spread_at(np.array([0.95]))[0] < 0.1


@pytest.mark.parametrize(("value", "se"), [(float("nan"), 0.1), (0.2, 0.0), (0.2, float("inf"))])
def test_a_result_that_is_none_is_refused(value, se):
    with pytest.raises(TrialError, match="standard error above 0"):
        SeasonResult("2026", value, se)


def test_the_carried_belief_takes_the_place_of_the_shelf_in_a_plan():
    reader = load().reader()
    own = carried("dearth", [SeasonResult("autumn 2026", -0.1, 0.06)], reader)
    plain = gain_draws("dearth", reader, np.random.default_rng(1), 2000)
    moved = gain_draws("dearth", reader, np.random.default_rng(1), 2000, learnt=own)
    assert np.median(moved) < np.median(plain) - 0.1
    ends = [own.next_after.low, own.next_after.middle, own.next_after.high]
    assert np.quantile(moved, SHARES) == pytest.approx(ends, abs=0.02)
    assert (np.diff(moved[np.argsort(plain)]) >= 0).all(), "feeds keep sharing their luck"


def test_what_was_learnt_is_said_with_before_and_after():
    own = carried("dearth", [SeasonResult("autumn 2026", -0.1, 0.06)], load().reader())
    assert own.sentence.startswith(
        "In your own check group fed colonies had 10 % fewer bees (autumn 2026). So the belief about feeding "
        "through a real pollen dearth, over the seasons, moved from 25 % more bees (10 % fewer to 73 % more) "
    )
    assert 0 < own.put_down_to_the_season < 1
    lost = SeasonResult("autumn 2026", -0.1, 0.06, (Deaths(20, 1, 20, 6),))
    assert carried("dearth", [lost], load().reader()).moved.startswith(
        "In your own check group fed colonies that lived had 10 % fewer bees (autumn 2026). So "
    )
