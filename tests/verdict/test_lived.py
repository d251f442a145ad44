"""Until when colonies lived: a trial whose losses are the leukaemia data gives the curve of R."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from scipy import stats

from breadline.jobs.verdict_described import living_table
from breadline.need.words import day_and_year
from breadline.trial.colonies import Became, Ended, Started
from breadline.trial.design import Unit
from breadline.verdict.answer import Finished
from breadline.verdict.ends_of import ends_of
from breadline.verdict.fairness import Conduct
from breadline.verdict.lived import lived
from breadline.verdict.losses import losses
from breadline.verdict.survival import all_alike
from breadline.verdict.words_described import lived_line
from tests.published.data import numbers
from tests.verdict.finished_trials import DAY, became, design, trial

SINCE = DAY - timedelta(days=200)


def leukaemia() -> Finished:
    """A colony a patient: weeks as days; those still in remission as sold on their last day."""
    days, died = numbers("leukaemia_maintenance", "time"), numbers("leukaemia_maintenance", "cens") == 1
    arm = numbers("leukaemia_maintenance", "group").astype(int) - 1
    started = [Started(f"P{k}", "yard", "", int(a)) for k, a in enumerate(arm)]
    ended = tuple(
        Ended(f"P{k}", Became.DEAD if dead else Became.SOLD, graded_on=SINCE + timedelta(days=int(day)))
        for k, (day, dead) in enumerate(zip(days, died, strict=True))
    )
    return Finished(design(started), ended, Conduct())


def found(one, since: date | None = SINCE):
    return lived(one.design, ends_of(one.design, one.ended), since)


def test_losses_of_a_trial_make_the_curve_of_r():
    """R 4.2.2, survival 3.5-3: summary(survfit(...)), the groups and 90 % by log-log."""
    both = found(leukaemia())
    first = both.check  # maintained
    (at,) = np.flatnonzero(first.curve.days == 23)
    assert first.curve.alive[at] == pytest.approx(0.61363636, abs=5e-9)
    assert first.last == pytest.approx((0.022243398, 0.18409091, 0.47116618), rel=1e-7)
    assert (both.since, both.fed.started, both.fed.lost) == (SINCE, 12, 11)
    assert both.fed.last[1] == 0.0


def test_none_lost_or_a_loss_without_a_day_makes_no_curve():
    assert found(trial()) is None
    dead = became(trial(), ["T0"], Became.DEAD)
    assert found(replace(dead, ended=tuple(replace(e, graded_on=None) for e in dead.ended))) is None
    assert found(dead).check.lost == 1


@pytest.mark.parametrize("colonies", [3, 14, 20])
def test_how_sure_none_lost_is_as_scipy_has_it(colonies):
    """scipy.stats.binomtest, the exact range."""
    exact = stats.binomtest(colonies, colonies).proportion_ci(0.9, method="exact")
    assert 1.0 - all_alike(colonies) == pytest.approx(exact.low, rel=1e-9)
    none = stats.binomtest(0, colonies).proportion_ci(0.9, method="exact")
    assert all_alike(colonies) == pytest.approx(none.high, rel=1e-9)


def test_a_group_that_lost_none_has_its_range_and_whole_yards_none_at_all():
    one = became(trial(), ["T0", "T4"], Became.DEAD, graded_on=DAY - timedelta(days=30))
    both = found(one)
    line = lived_line(both)
    assert (both.fed.lost, both.fed.to_end) == (0, 20)
    assert "100 of 100 fed (86 to 100; none of 20 lost); 90 of 100 check (" in line
    assert "promises nothing" in line
    heads, rows = living_table(both)
    assert len(heads) == len(rows[0])
    assert rows[0] == ["fed", day_and_year(both.until), "20", "0", "100", "86 to 100"]
    yards = replace(one, design=replace(one.design, unit=Unit.YARD))
    assert "90 of 100 check." in lived_line(found(yards))


def test_merged_and_weak_colonies_are_no_losses():
    """The check group loses one of 20; two were merged 30 days before, one is graded below one frame."""
    one = became(trial(), ["T0"], Became.DEAD, graded_on=DAY - timedelta(days=10))
    one = became(one, ["T2", "T4"], Became.MERGED, graded_on=DAY - timedelta(days=30), merged_into="T6")
    ended = tuple(replace(e, outcome=0.5) if e.tag == "T8" else e for e in one.ended)
    both = found(replace(one, ended=ended))
    check = both.check
    assert (check.started, check.lost, check.merged, check.weak, check.to_end) == (20, 1, 2, 1, 17)
    assert check.curve.at_risk.tolist() == [18]  # the merged ones were gone by then
    assert check.last[1] == pytest.approx(17 / 18)
    line = lived_line(both)
    assert "Counted here: 2 merged colonies until then and 1 colony below one frame as living." in line
    lost = losses(one.design, ends_of(one.design, one.ended), np.random.default_rng(1), 999)
    assert lost.check == (1, 20)
