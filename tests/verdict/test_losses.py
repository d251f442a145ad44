"""Losses are judged by counting lots, against Fisher's exact test and every way listed. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from itertools import combinations, product

import numpy as np
import pytest
from scipy.stats import fisher_exact

from breadline.trial.colonies import Became
from breadline.verdict.ends_of import ends_of
from breadline.verdict.losses import losses
from breadline.verdict.survival import Lives, log_rank, log_rank_scores
from breadline.verdict.words import spoken
from tests.verdict.finished_trials import DAY, became, judged, trial, whole_yards
from tests.verdict.test_survival import maintenance, remission


@pytest.mark.parametrize("lives", [maintenance(), remission(1), remission(3)], ids=["aml", "6-MP", "strata"])
def test_scores_of_an_arm_add_up_to_its_deaths_above_those_expected(lives):
    found, scores = log_rank(lives), log_rank_scores(lives)
    for arm in (0, 1):
        more = found.observed[arm] - found.expected[arm]
        assert scores[lives.arm == arm].sum() == pytest.approx(more, abs=1e-9)


def lost(fed, check, of_fed, of_check):
    """One yard without days: so many dead of so many."""
    one = trial(yards=1, a_yard=2 * max(of_fed, of_check))
    tags = [[s.tag for s in one.design.started if s.arm == arm] for arm in (1, 0)]
    kept = {*tags[0][:of_fed], *tags[1][:of_check]}
    started = tuple(s for s in one.design.started if s.tag in kept)
    ended = tuple(replace(e, graded_on=None) for e in one.ended if e.tag in kept)
    one = replace(one, design=replace(one.design, started=started), ended=ended)
    return became(one, [*tags[0][:fed], *tags[1][:check]], Became.DEAD)


@pytest.mark.parametrize(
    ("fed", "check", "of_fed", "of_check"),
    [(1, 6, 48, 48), (0, 4, 40, 40), (6, 1, 48, 48), (1, 5, 12, 30), (9, 2, 20, 20), (3, 3, 40, 10)],
)
def test_without_days_in_one_yard_it_is_fishers_exact_test(fed, check, of_fed, of_check):
    one = lost(fed, check, of_fed, of_check)
    found = losses(one.design, ends_of(one.design, one.ended), np.random.default_rng(1), 999)
    table = [[fed, of_fed - fed], [check, of_check - check]]
    sides = [fisher_exact(table, alternative=side).pvalue for side in ("greater", "less")]
    assert not found.by_day
    assert found.lots.draws == 0
    assert (found.lots.p_above, found.lots.p_below) == pytest.approx(tuple(sides), rel=1e-9)
    assert found.p == pytest.approx(min(1.0, 2 * min(sides)), rel=1e-9)
    if of_fed == of_check:  # both sides alike, so the two-sided test is the same
        assert found.p == pytest.approx(fisher_exact(table).pvalue, rel=1e-9)


@pytest.mark.parametrize(("fed", "check", "of"), [(1, 6, 48), (0, 4, 40)])
def test_a_handful_of_deaths_is_not_called_clear_of_chance(fed, check, of):
    """Fisher has 0.111 and 0.116, a chi-square 0.05 and 0.04."""
    one = lost(fed, check, of, of)
    line = next(
        text for text in spoken(judged(one), one.design, None).sure if text.startswith("Dead or gone")
    )
    assert "; chance alone may make that (" in line
    lives = Lives(
        np.where([e.became is Became.DEAD for e in one.ended], 1.0, 2.0),
        np.array([e.became is Became.DEAD for e in one.ended]),
        np.array([s.arm for s in one.design.started]),
        np.zeros(len(one.ended), int),
    )
    assert log_rank(lives).p < 0.06


def dated(sets):
    """Two yards of six, deaths on known days; drawn in the yard or in sets of two."""
    one = trial(yards=2, a_yard=6)
    started = tuple(
        replace(s, block=f"set {int(s.tag[1:]) // 2}" if sets else "") for s in one.design.started
    )
    one = replace(one, design=replace(one.design, started=started))
    for day, tag in enumerate(["T0", "T1", "T2", "T4", "T6", "T9"]):
        one = became(one, [tag], Became.DEAD)
        one = replace(
            one,
            ended=tuple(
                replace(e, graded_on=DAY - timedelta(days=40 - 5 * day)) if e.tag == tag else e
                for e in one.ended
            ),
        )
    return one


@pytest.mark.parametrize("sets", [False, True])
def test_every_way_the_lots_could_have_fallen_is_counted(sets):
    """The log-rank's own deaths above those expected, worked out anew for every arrangement."""
    one = dated(sets)
    found = losses(one.design, ends_of(one.design, one.ended), np.random.default_rng(1), 999)
    assert found.by_day
    days = np.array([(e.graded_on - DAY).days for e in one.ended], float)
    days -= days.min()
    died = np.array([e.became is Became.DEAD for e in one.ended])
    arm = np.array([s.arm for s in one.design.started])
    yard = np.arange(12) // 6
    block = np.arange(12) // 2 if sets else yard

    def more(labels):
        of = log_rank(Lives(days, died, labels, yard))
        return of.observed[1] - of.expected[1]

    ways = []
    for picks in product(*(combinations(np.flatnonzero(block == b), int(arm[block == b].sum()))
                           for b in np.unique(block))):  # fmt: skip
        labels = np.zeros(12, int)
        labels[[at for pick in picks for at in pick]] = 1
        ways.append(more(labels))
    ways, seen = np.array(ways), more(arm)
    assert found.lots.p_above == pytest.approx(np.mean(ways >= seen - 1e-9))
    assert found.lots.p_below == pytest.approx(np.mean(ways <= seen + 1e-9))


def test_where_lots_could_not_part_the_dead_otherwise_it_is_chance():
    """Both of a set died in every set that lost any."""
    one = trial(yards=1, a_yard=8)
    started = tuple(replace(s, block=f"set {int(s.tag[1:]) // 2}") for s in one.design.started)
    one = replace(one, design=replace(one.design, started=started))
    one = became(one, ["T0", "T1"], Became.DEAD)
    one = replace(one, ended=tuple(replace(e, graded_on=None) for e in one.ended))
    found = losses(one.design, ends_of(one.design, one.ended), np.random.default_rng(1), 999)
    assert (found.p, found.lots) == (1.0, None)


def dead_in(one, yards, share=1.0):
    """So large a share of the hives of some yards dead."""
    tags = [s.tag for s in one.design.started if s.yard in yards and (int(s.tag[1:]) % 6) < round(6 * share)]
    return became(one, tags, Became.DEAD)


def shares_lost(one):
    came = ends_of(one.design, one.ended)
    return {
        (yard, int(came.ends.arm[came.yard == k][0])): came.died[came.yard == k].mean()
        for k, yard in enumerate(came.yards)
    }


@pytest.mark.parametrize(
    ("yards", "share"),
    [(("yard 1", "yard 3"), 1.0), (("yard 0",), 0.5), (("yard 0", "yard 2", "yard 5"), 0.5)],
)
def test_losses_of_whole_yards_are_counted_over_every_way_that_yards_could_have_been_drawn(yards, share):
    """Eight yards, four fed: 70 ways, listed here one by one."""
    one = dead_in(whole_yards(), yards, share)
    came = ends_of(one.design, one.ended)
    found = losses(one.design, came, np.random.default_rng(1), 999)
    lost = shares_lost(one)
    of = np.array(list(lost.values()))
    fed = {k for k, (_, arm) in enumerate(lost) if arm == 1}
    assert (len(of), len(fed)) == (8, 4)

    def apart(chosen):
        return of[list(chosen)].mean() - of[[k for k in range(8) if k not in chosen]].mean()

    every = np.array([apart(set(chosen)) for chosen in combinations(range(8), 4)])
    above, below = (every >= apart(fed) - 1e-9).mean(), (every <= apart(fed) + 1e-9).mean()
    assert (found.lots.p_above, found.lots.p_below) == pytest.approx((above, below))
    assert found.lots.arrangements == 70
    assert found.p == pytest.approx(min(1.0, 2 * min(above, below)))


def test_lost_yards_are_said_with_chance_and_each_counts_as_one():
    one = dead_in(whole_yards(), ("yard 1", "yard 3"))
    (said,) = [line for line in spoken(judged(one), one.design, None).sure if line.startswith("Dead or gone")]
    assert "12 of 24 fed and 0 of 24 check" in said
    assert "chance alone may make that (all 70 ways it could have fallen), each yard counted as one" in said


def test_all_fed_yards_lost_and_no_other_is_clear_of_chance_by_lots_of_yards():
    one = dead_in(whole_yards(), ("yard 1", "yard 3", "yard 5", "yard 7"), 0.5)
    found = losses(one.design, ends_of(one.design, one.ended), np.random.default_rng(1), 999)
    assert found.p == pytest.approx(2 / 70)
    (said,) = [line for line in spoken(judged(one), one.design, None).sure if line.startswith("Dead or gone")]
    assert "clear of chance this time" in said


def test_yards_that_lost_every_hive_or_none_say_that_chance_may_make_it():
    """Colonies drawn within yards: a yard that died whole tells its groups apart in nothing."""
    one = trial(yards=2, a_yard=10)
    tags = [s.tag for s in one.design.started if s.yard == "yard 0"]
    one = replace(became(one, tags, Became.DEAD))
    one = replace(one, ended=tuple(replace(e, graded_on=None) for e in one.ended))
    (said,) = [line for line in spoken(judged(one), one.design, None).sure if line.startswith("Dead or gone")]
    assert "5 of 10 fed and 5 of 10 check; chance alone may make that." in said
