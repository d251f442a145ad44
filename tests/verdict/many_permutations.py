"""The permutation of many trials of one design at once, as sharply as the program has it for one.

Trials share arrangements: a few for all, then so many as the program draws for those whose p values lie near
the level. Ends may be missing where pairs are drawn: a lone one of a pair has no residual, whatever label.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from breadline.trial.classes import LEVEL, AnswerClass, Lines, Told, class_of, class_of_interval
from breadline.verdict.classes import weaker_of_both
from breadline.verdict.many_trials import ManyContrasts, ManyTrials
from breadline.verdict.permutation import DRAWS

Floats = NDArray[np.float64]
FEW = 1_999  # arrangements that are drawn for every trial
NEAR = 4.0  # standard errors of a p value from the level, within which it takes as many as the program
MOST = (1.0 - LEVEL) / 2.0
AT_ONCE, TIE = 4_000_000, 1e-9


def printed_classes(
    many: ManyTrials, of: ManyContrasts, lines: Lines, rng: np.random.Generator, most: int = DRAWS
) -> list[AnswerClass]:
    """The class that each trial is given: no more than model and permutation say both."""
    low, high = of.interval(LEVEL)
    given = [class_of_interval(a, b, lines) for a, b in zip(low.tolist(), high.tolist(), strict=True)]
    # the weakest of all stays what it is, whatever the permutation says
    at = np.array([n for n, one in enumerate(given) if one is not AnswerClass.TOO_FEW], dtype=np.int64)
    shifts = (0.0, max(lines.break_even, 0.0), -lines.margin, lines.margin)
    rows = np.repeat(at, len(shifts)), np.tile(shifts, len(at))
    p = _p_values(many, *rows, rng, min(FEW, most))
    near = np.any(np.abs(p - MOST) < NEAR * np.sqrt(MOST * (1 - MOST) / FEW), axis=1)
    if most > FEW and near.any():
        p[near] = _p_values(many, rows[0][near], rows[1][near], rng, most)
    for n, one in zip(at.tolist(), p.reshape(-1, len(shifts), 2), strict=True):
        given[n] = weaker_of_both(given[n], class_of(_told(one)))
    return given


def _told(p: Floats) -> Told:
    """From p above and below at 0, at break-even, at the margin on either side."""
    above, below = p[:, 0] <= MOST + 1e-12, p[:, 1] <= MOST + 1e-12
    return Told(
        above_zero=bool(above[0]),
        above_break_even=bool(above[1]),
        below_break_even=bool(below[1]),
        below_zero=bool(below[0]),
        within_margin=bool(above[2] and below[3]),
    )


def _p_values(
    many: ManyTrials, trials: NDArray[np.int64], shifts: Floats, rng: np.random.Generator, draws: int
) -> Floats:
    """P above and below of each trial at its shift, shape (trials, 2)."""
    assert many.baseline is not None
    outcome = many.outcome[trials]
    there = np.isfinite(outcome)
    block = (many.block[:, None] == np.unique(many.block)).astype(float)
    assert there.all() or set(block.sum(axis=0).tolist()) == {2.0}, "a lone one of a pair has nothing left"
    before = _centred(many.baseline[trials], there, block)
    before /= np.linalg.norm(before, axis=1)[:, None]
    left = _centred(np.where(there, outcome, 0.0) - shifts[:, None] * many.arm, there, block)
    left -= np.sum(left * before, axis=1)[:, None] * before
    observed = (left @ many.arm.astype(float))[:, None]
    tie, counts = TIE * np.abs(observed), np.zeros((len(left), 2))
    chunk = max(1, min(draws, AT_ONCE // max(1, len(left))))
    for start in range(0, draws, chunk):
        keys = many.block + rng.random((min(chunk, draws - start), len(many.arm)))
        drawn = many.arm[np.argsort(keys, axis=1)].astype(float)  # blocks are in order
        sums = left @ drawn.T
        counts[:, 0] += np.sum(sums >= observed - tie, axis=1)
        counts[:, 1] += np.sum(sums <= observed + tie, axis=1)
    p: Floats = (counts + 1.0) / (draws + 1.0)
    return p


def _centred(values: Floats, there: NDArray[np.bool_], block: Floats) -> Floats:
    """Less the means of what is there of each block, 0 elsewhere."""
    known = np.where(there, values, 0.0)
    means = (known @ block) / np.maximum(there @ block, 1.0)
    centred: Floats = np.where(there, known - means @ block.T, 0.0)
    return centred
