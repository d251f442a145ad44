"""Made-up trials through the draw, the analysis and the answer, in short; the long form is a proof."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from breadline.trial.classes import LEVEL
from breadline.verdict.ancova import classical_contrast, fit
from breadline.verdict.ends_of import ends_of
from tests.verdict.from_draw_to_answer import CELLS, DID_NOT_PAY, PAID, Cell, intervals, shown, truth

TRIALS = 12
SELDOM = 0.0005  # that a right analysis leaves the band, either way [share]
COLONIES = 20_000


def dice(cell: Cell) -> np.random.Generator:
    return np.random.default_rng([20261125, CELLS.index(cell)])


def band(trials: int, share: float) -> tuple[float, float]:
    return stats.binom.ppf(SELDOM, trials, share) / trials, stats.binom.isf(SELDOM, trials, share) / trials


@pytest.fixture(scope="module")
def cells():
    return [shown(cell, TRIALS, truth(cell, dice(cell), COLONIES), dice(cell)) for cell in CELLS]


def test_nine_in_ten_intervals_hold_the_truth_over_all_cells(cells):
    low, high = band(TRIALS * len(cells), LEVEL)
    assert low <= np.mean([one.covered for one in cells]) <= high


def test_at_the_break_even_it_is_seldom_said_that_feeding_paid_or_did_not(cells):
    most = band(TRIALS * len(cells), (1 - LEVEL) / 2)[1]
    assert np.mean([one.said_share(frozenset({PAID})) for one in cells]) <= most
    assert np.mean([one.said_share(DID_NOT_PAY) for one in cells]) <= most


def test_colonies_counted_where_yards_were_drawn_are_caught():
    cell = next(one for one in CELLS if one.whole == 4)
    true, rng = truth(cell, dice(cell), COLONIES), dice(cell)
    held = 0
    for trial, _, _ in intervals(cell, 60, true, rng):
        known = ends_of(trial.design, trial.ended).known
        low, high = classical_contrast(fit(known), np.array([-1.0, 1.0])).interval(LEVEL)
        held += low <= true <= high
    assert held / 60 < band(60, LEVEL)[0]
