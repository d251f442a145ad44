"""A check group that is paid by a grade line: what counting the hives that make it would take."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from scipy import stats

from breadline.jobs.check_group_asked import read_asked
from breadline.jobs.check_group_size import size_answer
from breadline.jobs.check_group_size_rests import rests_on
from breadline.plan.money import Amount
from breadline.plan.targets import Frames
from breadline.trial.shares import power_of_shares

SIZE = Path(__file__).parents[2] / "examples" / "first-check-group" / "size.toml"
LINE = Frames(date(2026, 3, 25), 8.0, Amount(190.0, "US$", 2026), "hive_by_hive")


@pytest.fixture(scope="module")
def asked():
    return read_asked(SIZE)


@pytest.fixture(scope="module")
def answer(asked):
    return size_answer(replace(asked, price=None, target=LINE), sizes=(12, 24))


def test_paid_by_grade_says_what_the_bare_share_would_take(answer):
    """Shares from scipy's lognormal, the fewest colonies by trying one after the other."""
    row, unfed, s = answer.proposal.proposed.row, answer.unfed, answer.spread.log_sd

    def making(mean: float) -> float:
        return (1 - unfed.dead) * stats.lognorm.sf(7.75, s, scale=mean / np.exp(s**2 / 2))

    shares = making(unfed.alive), making(unfed.alive + row.from_zero / (1 - unfed.dead))
    low, high = (f"{100 * share:.0f}" for share in shares)
    fewest = next(n for n in range(1, 999) if power_of_shares(n, n * row.fed_each, shares, 0.10) >= 0.8)
    line = next(text for text in rests_on(answer) if "makes the grade" in text)
    assert f"of {row.from_zero:.1f} frames lifts the share that makes the grade from {low} to {high}" in line
    told = int(line.split("alone it takes ")[1].split()[0])
    assert (fewest - 1) / 0.95 < told <= fewest / 0.95 + 1, "5 in 100 are missing"
    assert told > row.check
    assert line.endswith(f"by their frames {row.check}.")


def test_nothing_is_said_of_bare_shares_where_none_are_counted(asked):
    average = replace(LINE, paid="sample_average")
    by_sample = size_answer(replace(asked, price=None, target=average), sizes=(24,))
    assert not [text for text in rests_on(by_sample) if "makes the grade" in text]
    assert not [text for text in rests_on(size_answer(asked, sizes=(24,))) if "makes the grade" in text]
