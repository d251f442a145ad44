"""How many check colonies at half the rate tell as much as unfed ones do, and the other way round."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from math import isfinite

import numpy as np

from breadline.trial.planner import SizeRow, told_from_nothing
from breadline.trial.sets import Noise, Sets, sets_precision
from breadline.trial.size import YardDraw

Fresh = Callable[[], np.random.Generator]
FEWEST = 2  # no spread can be judged from one
MOST_TIMES = 64  # as many, before it is given up


def as_sharp_colonies(row: SizeRow, noise: Noise, part: float, fresh: Fresh) -> int | None:
    """Check colonies that tell a ``part`` of the difference [share] as surely as a row tells all of it.

    They stand in sets like the row's own; whether the yards hold as many is not asked. None where the
    row tells no difference.

    Parameters
    ----------
    row
        A size of the check group.
    noise
        What blurs it. [unit of the outcome]
    part
        0.5 for the second half of the feed; 2 from the second half to the whole. [share]
    fresh
        Dice for baselines that a draw may bring, the same ones each time: every number of colonies is
        looked at with them.
    """

    def told(check: int) -> float:
        ones = np.ones(check, dtype=np.int64)
        seen = sets_precision(Sets(ones, ones * row.fed_each), noise, fresh())
        return told_from_nothing((check, check * row.fed_each), seen, noise)

    return _fewest(told, part * row.from_zero, row.check)


def as_sharp_yards(draw: YardDraw, part: float) -> int | None:
    """The same in check yards, fed ones in the draw's own proportion, for a ``part`` [share]."""

    def told(check: int) -> float:
        more = replace(draw, check=check, fed=max(1, round(draw.fed * check / draw.check)))
        noise = Noise(draw.sd, draw.baseline_r, mean=draw.mean)
        return told_from_nothing((more.check, more.fed), more.precision, noise)

    if draw.check + draw.fed <= FEWEST:
        return None
    return _fewest(told, part * told(draw.check), draw.check)


def _fewest(told: Callable[[int], float], wanted: float, check: int) -> int | None:
    """Fewest check units that tell a benefit ``wanted`` [unit of the outcome]; None where none do."""
    if not isfinite(wanted):
        return None
    few, many = 1, max(FEWEST, check)
    while told(many) > wanted:
        few, many = many, 2 * many
        if many > MOST_TIMES * check:
            return None
    while many - few > 1:
        middle = (few + many) // 2
        few, many = (few, middle) if told(middle) <= wanted else (middle, many)
    return max(many, FEWEST)
