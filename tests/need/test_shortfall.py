"""The ledger of bread: worked by hand, and what must always hold."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from breadline.need.season import Course
from breadline.need.shortfall import ShortRule, ledger

RULE = ShortRule(min_share=0.2, min_g_day=5.0)


def course(need: np.ndarray, income: np.ndarray) -> Course:
    empty = np.zeros_like(need)
    return Course(empty, empty, empty, income, need, empty, empty, empty)


def member(values: list[float]) -> np.ndarray:
    return np.array(values, dtype=np.float64)[:, None]


def test_worked_by_hand() -> None:
    # 100 g on the comb, 30 g a day needed, 5 g a day coming in: 25 g a day go,
    # so four days are covered to the gram and the fifth lacks 25 g.
    book = ledger(course(member([30.0] * 10), member([5.0] * 10)), np.array([100.0]), RULE)
    assert book.bread_g[:, 0].tolist() == [75, 50, 25, 0, 0, 0, 0, 0, 0, 0]
    assert book.missing_g[:, 0].tolist() == [0, 0, 0, 0, 25, 25, 25, 25, 25, 25]
    assert book.first_short[0] == 4
    # With nothing coming in 100 g last 3 days and a third.
    assert book.lasts_days[0] == pytest.approx(10 / 3)


def test_one_wet_day_is_no_shortage() -> None:
    income = [40.0] * 5 + [0.0] + [40.0] * 9
    book = ledger(course(member([30.0] * 15), member(income)), np.array([0.0]), RULE)
    assert not book.short.any()


def test_a_tiny_need_is_no_shortage() -> None:
    book = ledger(course(member([2.0] * 30), member([0.0] * 30)), np.array([0.0]), RULE)
    assert not book.short.any(), "2 g a day is below what the rule counts"


def test_what_lies_before_today_is_not_foretold() -> None:
    need, income = member([30.0] * 20), member([0.0] * 5 + [60.0] * 15)
    book = ledger(course(need, income), np.array([60.0]), RULE, today=6)
    assert np.isinf(book.first_short[0])


SERIES = arrays(np.float64, (30, 3), elements=st.floats(0, 300))


@given(need=SERIES, income=SERIES, bread=st.floats(0, 2_000))
def test_the_ledger_closes(need: np.ndarray, income: np.ndarray, bread: float) -> None:
    book = ledger(course(need, income), np.full(3, bread), RULE)
    left = bread + income.sum(0) - need.sum(0) + book.missing_g.sum(0)
    assert np.allclose(book.bread_g[-1], left, atol=1e-6)


@given(need=SERIES, income=SERIES, bread=st.floats(0, 1_000), more=st.floats(0, 1_000))
def test_more_bread_never_falls_short_earlier(
    need: np.ndarray, income: np.ndarray, bread: float, more: float
) -> None:
    less = ledger(course(need, income), np.full(3, bread), RULE)
    richer = ledger(course(need, income), np.full(3, bread + more), RULE)
    assert (richer.first_short >= less.first_short).all()
    assert (richer.missing_g <= less.missing_g + 1e-9).all()
