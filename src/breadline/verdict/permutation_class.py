"""The class that permutation tests give, beside that of the model's interval."""

from __future__ import annotations

import numpy as np

from breadline.trial.classes import LEVEL, AnswerClass, Lines, Told, class_of
from breadline.verdict.ends import Ends
from breadline.verdict.permutation import DRAWS, permutation_test

ONE_SIDED = (1.0 - LEVEL) / 2.0  # either end of the interval, as a test [share]
ROUNDING = 1e-12  # by which 1 in 20 arrangements may come out above 0.05 [share]


def told_by_permutation(ends: Ends, lines: Lines, rng: np.random.Generator, draws: int = DRAWS) -> Told:
    """Which of the locked lines the benefit is told from, by one-sided tests at the interval's level.

    Each line is tested by supposing that benefit for every fed colony. A draw with too few
    arrangements tells nothing from anything, which is what it can.
    """
    break_even = max(lines.break_even, 0.0)

    def tests(line: float) -> tuple[bool, bool]:
        found = permutation_test(ends, line, rng, draws)
        most = ONE_SIDED + ROUNDING
        return found.p_above <= most, found.p_below <= most

    above_zero, below_zero = tests(0.0)
    above_break_even, below_break_even = tests(break_even) if break_even else (above_zero, below_zero)
    within = tests(-lines.margin)[0] and tests(lines.margin)[1]
    return Told(above_zero, above_break_even, below_break_even, below_zero, within)


def class_by_permutation(
    ends: Ends, lines: Lines, rng: np.random.Generator, draws: int = DRAWS
) -> AnswerClass:
    """The class that follows from the lines told apart by permutation."""
    return class_of(told_by_permutation(ends, lines, rng, draws))
