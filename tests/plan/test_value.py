"""What frames are worth under the contracts that people have."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as some
from scipy.integrate import quad
from scipy.stats import lognorm

from breadline.errors import PlanError
from breadline.plan.targets import Frames, HoneyFlow, KeepAlive, Splits, WinterBees, checked
from breadline.plan.value import Reached, Spread, excess, share_above, spread_of, worth
from plan.spring_yard import contract, dollars, reader

TODAY = date(2027, 1, 20)


def reached(frames: float, brood: float = 4.0, field: float = 1.0) -> Reached:
    return Reached(np.array([frames]), np.array([brood]), np.array([field]))


def spread(log_sd: float = 0.37, losses: float = 0.0, colonies: int = 100) -> Spread:
    return Spread(colonies, log_sd, losses, 0.15)


@given(some.floats(2, 14), some.floats(3, 12), some.floats(0.05, 0.8))
def test_shares_and_excess_are_those_of_a_lognormal(mean, line, sd):
    law = lognorm(s=sd, scale=mean * np.exp(-sd * sd / 2))
    assert law.mean() == pytest.approx(mean)
    assert share_above(np.array([mean]), line, sd)[0] == pytest.approx(law.sf(line), abs=1e-12)
    above, _ = quad(law.sf, line, np.inf, limit=200)
    assert excess(np.array([mean]), line, sd)[0] == pytest.approx(above, abs=1e-6)


def test_only_the_spread_moves_and_the_two_contracts_go_apart():
    """A yard whose mean is above the line: spread costs hives one by one, hardly the average of a sample."""
    hive, sample = contract("hive_by_hive", grade=6.0), contract("sample_average", grade=6.0)
    even = {c.paid: float(worth(c, reached(7.0), spread(0.01)).money[0]) for c in (hive, sample)}
    uneven = {c.paid: float(worth(c, reached(7.0), spread(0.5)).money[0]) for c in (hive, sample)}
    assert even["hive_by_hive"] == pytest.approx(even["sample_average"], rel=1e-6) == pytest.approx(188.0)
    lost = {paid: even[paid] - uneven[paid] for paid in even}
    assert lost["hive_by_hive"] > 70.0
    assert lost["hive_by_hive"] > 2.0 * lost["sample_average"]


def test_below_the_line_a_spread_earns_hives_one_by_one():
    hive, sample = contract("hive_by_hive", grade=8.0), contract("sample_average", grade=8.0)
    assert (
        worth(hive, reached(6.0), spread(0.37)).money[0] > worth(sample, reached(6.0), spread(0.37)).money[0]
    )


def test_a_sample_says_less_the_fewer_hives_it_opens():
    few, many = spread(colonies=20), spread(colonies=400)
    assert (few.opened, many.opened) == (3, 60)
    assert few.sample_log_sd > many.sample_log_sd
    below, of = reached(5.5), contract("sample_average", grade=6.0)
    assert worth(of, below, few).money[0] > worth(of, below, many).money[0]


def test_losses_take_their_share_of_the_money():
    whole, part = spread(), spread(losses=0.2)
    for target in (
        contract(),
        contract("sample_average"),
        Splits(date(2027, 3, 25), 4.0, 6.0, dollars(150)),
        WinterBees(date(2027, 9, 1), 5.0, dollars(200)),
        KeepAlive(date(2027, 3, 1), 3.0, dollars(200)),
        HoneyFlow(date(2027, 5, 1), date(2027, 6, 1), 30.0, dollars(4)),
    ):
        kept = worth(target, reached(7.0), part).money[0] / worth(target, reached(7.0), whole).money[0]
        assert kept == pytest.approx(0.8, rel=0.02), target


def test_a_premium_is_paid_up_to_its_end_and_less_below_the_line():
    plain = contract(grade=6.0)
    more = replace(plain, premium=dollars(11.0))
    ends = replace(more, premium_to=8.0)
    less = replace(plain, below=dollars(60.0))
    at = {name: float(worth(c, reached(8.0), spread()).money[0]) for name, c in
          {"plain": plain, "more": more, "ends": ends, "less": less}.items()}  # fmt: skip
    assert at["plain"] < at["ends"] < at["more"]
    assert at["less"] > at["plain"]
    sure = worth(more, reached(8.0), spread(1e-6)).money[0]
    assert sure == pytest.approx(188.0 + 2 * 11.0, rel=1e-4)


def test_splits_need_brood_and_bees_and_the_second_twice_as_much():
    splits = Splits(date(2027, 3, 25), 4.0, 6.0, dollars(150))
    sure = spread(1e-6)
    assert worth(splits, reached(6.5, 3.9), sure).money[0] == pytest.approx(0.0, abs=1e-6)
    assert worth(splits, reached(6.5, 4.1), sure).money[0] == pytest.approx(150.0)
    assert worth(splits, reached(12.5, 8.1), sure).money[0] == pytest.approx(300.0)


def test_the_crop_goes_with_the_bees_in_the_field():
    flow = HoneyFlow(date(2027, 5, 1), date(2027, 6, 1), 30.0, dollars(4))
    assert worth(flow, reached(8.0, field=1.1), spread()).money[0] == pytest.approx(132.0)
    assert worth(flow, reached(8.0, field=1.0), spread()).making[0] == 1.0, "unfed it brings its own crop"
    assert worth(flow, reached(8.0, field=0.9), spread()).making[0] == 0.0


def test_graded_colonies_are_weighed_with_what_is_known_of_spreads():
    """By hand: the shelf's 0.23 to 0.48 is as unsure as the spread of 10 colonies more than one."""
    shelf = reader()
    graded = [4.0, 5.0, 6.0, 7.0, 9.0]
    own = spread_of(40, graded, None, shelf)
    worth = 0.5 * (2 * 1.645 / np.log(0.48 / 0.23)) ** 2
    assert worth == pytest.approx(10.0, abs=0.1)
    seen = float(np.var(np.log(graded), ddof=1))
    assert own.log_sd == pytest.approx(np.sqrt((worth * 0.37**2 + 4 * seen) / (worth + 4)))
    assert spread_of(40, graded[:2], None, shelf).log_sd == shelf.typical("colony.log_sd") == 0.37
    many = np.exp(0.2 * np.tile([-1.0, 1.0], 200))
    assert spread_of(400, many, None, shelf).log_sd == pytest.approx(0.2, rel=0.05), "own colonies take over"


def test_few_that_are_alike_do_not_make_a_yard_of_equals():
    assert spread_of(40, [6.0] * 8, None, reader()).log_sd > 0.25


@pytest.mark.parametrize(
    ("target", "says"),
    [
        (Frames(date(2027, 1, 20), 8.0, dollars(188), "hive_by_hive"), "not ahead of today"),
        (Frames(date(2026, 12, 1), 8.0, dollars(188), "hive_by_hive"), "not ahead of today"),
        (Frames(date(2028, 12, 1), 8.0, dollars(188), "hive_by_hive"), "more than a year ahead"),
        (Frames(date(2027, 2, 10), 8.0, dollars(0), "hive_by_hive"), "0 is not a price"),
        (Frames(date(2027, 2, 10), 8.0, dollars(188, 0), "hive_by_hive"), "not a year"),
        (Frames(date(2027, 2, 10), 16000.0, dollars(188), "hive_by_hive"), "divide by what a frame means"),
        (Frames(date(2027, 2, 10), 8.0, dollars(188), "hive_by_hive", dollars(9), 7.0), "not above the line"),
        (
            Frames(date(2027, 2, 10), 8.0, dollars(60), "hive_by_hive", None, None, dollars(60)),
            "less than the",
        ),
        (HoneyFlow(date(2027, 6, 1), date(2027, 5, 1), 30.0, dollars(4)), "before it begins"),
        (HoneyFlow(date(2027, 5, 1), date(2027, 6, 1), 900.0, dollars(4)), "100 lb is 45 kg"),
        (Splits(date(2027, 3, 25), 4.0, 6.0, dollars(150), most=0), "0 a colony"),
        (Splits(date(2027, 3, 25), 4.0, 6.0, dollars(150), nurses=7.0), "no more than the bees"),
    ],
)
def test_a_target_that_cannot_be_says_what_to_mend(target, says):
    with pytest.raises(PlanError, match=says):
        checked(target, TODAY)


def test_all_colonies_lost_is_refused_without_talk_of_per_cent():
    with pytest.raises(PlanError, match="nothing to plan for"):
        spread(losses=1.0)
    with pytest.raises(PlanError, match=r"enter 0\.05"):
        spread(losses=5.0)


@pytest.mark.parametrize("wrong", [{"losses": 5.0}, {"log_sd": -1.0}, {"sampled": 0.0}, {"colonies": 0}])
def test_a_spread_that_cannot_be_is_refused(wrong):
    with pytest.raises(PlanError):
        replace(spread(), **wrong)
