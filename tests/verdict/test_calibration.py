"""The short form of scripts/soak.d/verdict.py: each cell in few trials, with room for their chance."""

from __future__ import annotations

from math import sqrt

import pytest

from breadline.trial.classes import LEVEL

from .calibration import CELLS, Cell, found

TRIALS, TRUE_OF, SEED = 500, 100_000, 3


@pytest.mark.parametrize("cell", CELLS, ids=lambda cell: cell.name)
def test_a_cell_in_short(cell: Cell) -> None:
    of = found(cell, TRIALS, SEED, TRUE_OF)
    room = 3 * sqrt(LEVEL * (1 - LEVEL) / TRIALS)
    assert of.covered >= LEVEL - 0.02 - room
    assert cell.yards is not None or of.covered <= LEVEL + 0.02 + room
    wrong = 3 * sqrt(0.06 * 0.94 / TRIALS)
    assert of.false_paid <= 0.06 + wrong
    assert of.false_did_not_pay <= 0.06 + wrong
    assert {one.value: of.off(one) for one in of.foretold if of.off(one) > 3} == {}
