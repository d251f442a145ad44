"""The classes that whole yards will come to: t on yards, and the exact permutation of yards beside it.

With few yards the permutation says much less than t: two yards of eight unfed can fall in 28 ways only,
so "paid" needs the most striking of them.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations
from math import comb, sqrt

import numpy as np

from breadline.span import FloatArray
from breadline.trial.classes import LEVEL, Lines
from breadline.trial.sets import Noise
from breadline.trial.size import YardDraw
from breadline.verdict.forecast import Chances, Told5, class_shares
from breadline.verdict.many_trials import ManyContrasts

TRIALS = 2_000
MOST_WAYS = 2_000  # arrangements that are all looked at; with more, t stands for the permutation
ROUNDING = 1e-9  # of the largest difference [share]


def foretold_yards(
    draw: YardDraw, benefits: Sequence[float], lines: Lines, rng: np.random.Generator
) -> list[Chances]:
    """Chance of each class at each true benefit, yards drawn in one heap.

    Parameters
    ----------
    draw
        What is drawn; means of yards are taken as normal, fed ones as spread more where they are stronger.
    benefits
        True ones. [unit of the outcome]
    lines
        Break-even and margin. [unit of the outcome]
    rng
        For the yards.

    Returns
    -------
    list of Chances
        One a benefit, of the class that is printed: no more than the permutation of yards says too [share].
    """
    arm = np.arange(draw.check + draw.fed) >= draw.check
    each = draw.precision.se / sqrt(1.0 / draw.check + 1.0 / draw.fed)
    noise, chance = Noise(draw.sd, draw.baseline_r, mean=draw.mean), rng.normal(size=(TRIALS, len(arm)))
    found = []
    for benefit in benefits:
        wider = noise.widened(benefit, (draw.check, draw.fed))
        means = each * wider * chance + np.where(arm, benefit, 0.0)
        seen = _by_t(means, arm)
        ways = comb(len(arm), draw.fed)
        permuted = _permuted(means, arm, lines) if ways <= MOST_WAYS else None
        found.append(class_shares(seen, lines, permuted))
    return found


def _by_t(means: FloatArray, arm: np.ndarray) -> ManyContrasts:
    """Difference of yards with one spread for both arms, one row a trial."""
    fed, check = means[:, arm], means[:, ~arm]
    df = means.shape[1] - 2.0
    square = (fed.var(axis=1) * fed.shape[1] + check.var(axis=1) * check.shape[1]) / df
    se = np.sqrt(square * (1.0 / fed.shape[1] + 1.0 / check.shape[1]))
    dfs = np.full(len(means), df)
    return ManyContrasts(fed.mean(axis=1) - check.mean(axis=1), se, dfs, se, dfs)


def _permuted(means: FloatArray, arm: np.ndarray, lines: Lines) -> Told5:
    """What the permutation of yards tells of each trial, every arrangement looked at, shape (trials, 5)."""
    ways = np.array(
        [np.isin(np.arange(len(arm)), some) for some in combinations(range(len(arm)), int(arm.sum()))]
    ).astype(np.float64)
    most = (1.0 - LEVEL) / 2.0 + ROUNDING
    above, below = {}, {}
    line = max(lines.break_even, 0.0)
    for shift in (0.0, line, lines.margin, -lines.margin):
        left = means - shift * arm
        seen, others = (left @ arm.astype(np.float64))[:, None], left @ ways.T
        tie = ROUNDING * np.max(np.abs(others), axis=1)[:, None]
        above[shift] = np.mean(others >= seen - tie, axis=1) <= most
        below[shift] = np.mean(others <= seen + tie, axis=1) <= most
    within = above[-lines.margin] & below[lines.margin]
    return np.column_stack([above[0.0], above[line], below[line], below[0.0], within])
