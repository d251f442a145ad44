"""The ledger of bread: worked by hand, and what must always hold."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from breadline.need.parameters import Parameters
from breadline.need.season import COURSE, Course
from breadline.need.shortfall import Ledger, ShortRule, ledger
from tests.need.colonies import drawn

RULE = ShortRule(min_share=0.2, min_g_day=5.0)


def course(need: np.ndarray, reach: np.ndarray) -> Course:
    empty = np.zeros_like(need)
    rest = {name: empty for name in COURSE if name not in {"reach_g", "need_g"}}
    return Course(reach_g=reach, need_g=need, **rest)


def every_forager(members: int) -> Parameters:
    """All foragers go for pollen, whatever the comb holds, so that reach is income."""
    par, _ = drawn(members)
    one = np.ones(members)
    return replace(par, pmin=one, pmax=one)


def kept(need: np.ndarray, income: np.ndarray, bread: float, today: int = 0) -> Ledger:
    members = need.shape[1]
    return ledger(course(need, income), np.full(members, bread), every_forager(members), RULE, today)


def member(values: list[float]) -> np.ndarray:
    return np.array(values, dtype=np.float64)[:, None]


def test_worked_by_hand() -> None:
    # 100 g on the comb, 30 g a day needed, 5 g a day coming in: 25 g a day go,
    # so four days are covered to the gram and the fifth lacks 25 g.
    book = kept(member([30.0] * 10), member([5.0] * 10), 100.0)
    assert book.bread_g[:, 0].tolist() == [75, 50, 25, 0, 0, 0, 0, 0, 0, 0]
    assert book.missing_g[:, 0].tolist() == [0, 0, 0, 0, 25, 25, 25, 25, 25, 25]
    assert book.first_short[0] == 4
    # With nothing coming in 100 g last 3 days and a third.
    assert book.lasts_days[0] == pytest.approx(10 / 3)


def test_one_wet_day_is_no_shortage() -> None:
    income = [40.0] * 5 + [0.0] + [40.0] * 9
    book = kept(member([30.0] * 15), member(income), 0.0)
    assert not book.short.any()


def test_a_wet_last_day_is_no_shortage() -> None:
    book = kept(member([30.0] * 15), member([40.0] * 14 + [0.0]), 0.0)
    assert not book.short.any()


def test_bread_that_outlasts_the_outlook_is_not_cut_off_at_its_end() -> None:
    assert np.isinf(kept(member([30.0] * 10), member([0.0] * 10), 5_000.0).lasts_days[0])


def test_a_full_comb_sends_fewer_for_pollen() -> None:
    par, _ = drawn(1)
    need, reach = member([30.0] * 3), member([200.0] * 3)
    empty, full = (ledger(course(need, reach), np.array([b]), par, RULE) for b in (0.0, 5_000.0))
    assert empty.income_g[0, 0] == pytest.approx(200 * par.pmax[0])
    assert full.income_g[0, 0] == pytest.approx(200 * par.pmin[0])


def test_a_tiny_need_is_no_shortage() -> None:
    book = kept(member([2.0] * 30), member([0.0] * 30), 0.0)
    assert not book.short.any(), "2 g a day is below what the rule counts"


def test_what_lies_before_today_is_not_foretold() -> None:
    need, income = member([30.0] * 20), member([0.0] * 5 + [60.0] * 15)
    book = kept(need, income, 60.0, today=6)
    assert np.isinf(book.first_short[0])


SERIES = arrays(np.float64, (30, 3), elements=st.floats(0, 300))


@given(need=SERIES, income=SERIES, bread=st.floats(0, 2_000))
def test_the_ledger_closes(need: np.ndarray, income: np.ndarray, bread: float) -> None:
    book = kept(need, income, bread)
    left = bread + income.sum(0) - need.sum(0) + book.missing_g.sum(0)
    assert np.allclose(book.bread_g[-1], left, atol=1e-6)


@given(need=SERIES, bread=st.floats(0, 9_000), today=st.integers(0, 29))
def test_bread_lasts_until_the_needs_before_it_add_up_to_it(
    need: np.ndarray, bread: float, today: int
) -> None:
    """By adding up all days first; the ledger stops at the day on which the last member's is gone."""
    book = kept(need, np.zeros_like(need), bread, today)
    had = np.full(need.shape[1], bread) if today == 0 else book.bread_g[today - 1]
    eaten = np.cumsum(need[today:], axis=0)
    for member, lasts in enumerate(book.lasts_days):
        (enough,) = np.nonzero(eaten[:, member] >= had[member])
        if not len(enough):
            assert np.isinf(lasts)
            continue
        day = int(enough[0])
        before = eaten[day - 1, member] if day else 0.0
        part = (had[member] - before) / max(need[today + day, member], 1e-9)
        assert lasts == day + min(1.0, max(0.0, part))


@given(need=SERIES, income=SERIES, bread=st.floats(0, 1_000), today=st.integers(0, 29))
def test_first_short_is_the_first_day_marked_from_today_on(
    need: np.ndarray, income: np.ndarray, bread: float, today: int
) -> None:
    book = kept(need, income, bread, today)
    for member, first in enumerate(book.first_short):
        marked = [t for t in range(today, 30) if book.short[t, member]]
        assert first == (marked[0] if marked else np.inf)


@given(need=SERIES, income=SERIES, bread=st.floats(0, 1_000), more=st.floats(0, 1_000))
def test_more_bread_never_falls_short_earlier(
    need: np.ndarray, income: np.ndarray, bread: float, more: float
) -> None:
    less = kept(need, income, bread)
    richer = kept(need, income, bread + more)
    assert (richer.first_short >= less.first_short).all()
    assert (richer.missing_g <= less.missing_g + 1e-9).all()
