"""How much colonies differ: own grading where it says enough, else the shelf."""

from __future__ import annotations

import numpy as np
import pytest

from breadline.errors import TrialError
from breadline.knowledge.shelf import load
from breadline.trial.design import Outcome
from breadline.trial.spread import Graded, intraclass, own_of, spread_used, within_sd
from published.mixed_models import table


def invented(yards=6, each=60, seed=2):
    rng = np.random.default_rng(seed)
    yard = np.repeat(np.arange(yards), each)
    start = np.exp(rng.normal(2.0, 0.3, len(yard)))
    logs = rng.normal(0, 0.2, yards)[yard] + rng.normal(2.0, 0.3, len(yard))
    return Graded(yard, np.exp(logs), start)


def test_the_share_between_batches_is_that_of_lme4():
    # Dyestuff, six batches of five: lme4 1.1-31 has 1764.05 between and 2451.25 within; balanced, so
    # the analysis of variance gives the same
    data = table("dyestuff")
    _, batch = np.unique(data["batch"], return_inverse=True)
    values = np.asarray(data["yield"], dtype=float)
    assert intraclass(values, batch) == pytest.approx(1764.05 / (1764.05 + 2451.25), rel=1e-5)
    assert within_sd(values, batch) ** 2 == pytest.approx(2451.25)


def test_by_hand():
    # two yards: 1, 3 and 5, 9; within (2 + 8) / 2 = 5; means 2 and 7, between 2 (2.5² + 2.5²) = 25; n 2
    values, yard = np.array([1.0, 3.0, 5.0, 9.0]), np.array([0, 0, 1, 1])
    assert within_sd(values, yard) ** 2 == pytest.approx(5.0)
    assert intraclass(values, yard) == pytest.approx(10 / 15)


def test_own_grading_goes_before_the_shelf_and_says_so():
    reader = load().reader()
    own = spread_used(invented(), Outcome.FRAMES, reader)
    assert own.log_sd == pytest.approx(0.3, abs=0.04)
    assert own.baseline_r < 0.2  # drawn apart
    assert own.told_by == (
        "the 360 colonies you graded",
        "the 360 colonies you graded twice",
        "the 6 yards you graded",
    )


def test_few_own_colonies_leave_the_shelf_standing():
    reader = load().reader()
    few = invented(2, 4)
    assert own_of(few) == (None, None, None)
    used = spread_used(few, Outcome.FRAMES, reader)
    shelf = load()
    assert used.log_sd == shelf["colony.log_sd"].span.typical
    assert used.icc == shelf["check_group.yard_icc"].span.typical
    assert all(told.startswith("the shelf (") for told in used.told_by)
    assert spread_used(None, Outcome.HONEY, reader).log_sd > used.log_sd


def test_four_yards_say_nothing_of_yards_but_much_of_colonies():
    log_sd, r, icc = own_of(invented(4))
    assert log_sd is not None
    assert r is not None
    assert icc is None


def test_one_grading_and_dead_colonies_leave_the_rest():
    of = invented()
    outcome, before = of.outcome.copy(), np.full(len(of.outcome), np.nan)
    outcome[:5] = 0.0
    log_sd, r, _ = own_of(Graded(of.yard, outcome, before))
    assert log_sd is not None
    assert log_sd[1] == "the 355 colonies you graded"
    assert r is None


def test_colonies_all_alike_tell_no_spread():
    alike = Graded(np.zeros(20, dtype=np.int64), np.full(20, 8.0), np.full(20, 7.0))
    assert own_of(alike) == (None, None, None)


@pytest.mark.parametrize(
    "odd",
    [
        (np.zeros(2, dtype=np.int64), np.ones(3), np.ones(3)),
        (np.zeros(1, dtype=np.int64), np.array([-1.0]), np.ones(1)),
    ],
)
def test_rows_that_cannot_be_are_refused(odd):
    with pytest.raises(TrialError):
        Graded(*odd)
