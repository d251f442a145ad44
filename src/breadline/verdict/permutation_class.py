"""The class that permutation tests give, beside that of the model's interval."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from breadline.trial.classes import LEVEL, AnswerClass, Lines, Told, class_of
from breadline.verdict.ends import Ends
from breadline.verdict.permutation import DRAWS, PermutationP, permutation_tests
from breadline.verdict.within_rows import YardRule

ONE_SIDED = (1.0 - LEVEL) / 2.0  # either end of the interval, as a test [share]
ROUNDING = 1e-12  # by which 1 in 20 arrangements may come out above 0.05 [share]
MOST = ONE_SIDED + ROUNDING  # chance of lots alone, to one side, at which a line counts as told [share]


@dataclass(frozen=True)
class ByPermutation:
    """What permutation tells: the tests of no benefit and of the break-even, and the lines told from."""

    at_zero: PermutationP
    at_break_even: PermutationP
    told: Told

    @property
    def given(self) -> AnswerClass:
        """The class that follows."""
        return class_of(self.told)


def by_permutation(
    ends: Ends, lines: Lines, rng: np.random.Generator, draws: int = DRAWS, rules: Sequence[YardRule] = ()
) -> ByPermutation:
    """Which of the locked lines the benefit is told from, by one-sided tests at the interval's level.

    Each line is tested by supposing that benefit for every fed colony. A draw with too few
    arrangements tells nothing from anything, which is what it can. ``rules`` are those of yards
    whose draw kept check hives apart in their rows.
    """
    break_even = max(lines.break_even, 0.0)
    found = permutation_tests(ends, (0.0, break_even, -lines.margin, lines.margin), rng, draws, rules)
    zero, at_break_even, least, largest = found
    within = least.p_above <= MOST and largest.p_below <= MOST
    return ByPermutation(zero, at_break_even, told_of(zero, at_break_even, within))


def told_of(zero: PermutationP, at_break_even: PermutationP, within_margin: bool = False) -> Told:
    """The lines told by the tests of no benefit and of the break-even, and whether the margin is."""
    return Told(
        above_zero=zero.p_above <= MOST,
        above_break_even=at_break_even.p_above <= MOST,
        below_break_even=at_break_even.p_below <= MOST,
        below_zero=zero.p_below <= MOST,
        within_margin=within_margin,
    )


def told_by_permutation(ends: Ends, lines: Lines, rng: np.random.Generator, draws: int = DRAWS) -> Told:
    """Which of the locked lines the benefit is told from."""
    return by_permutation(ends, lines, rng, draws).told


def class_by_permutation(
    ends: Ends, lines: Lines, rng: np.random.Generator, draws: int = DRAWS
) -> AnswerClass:
    """The class that follows from the lines told apart by permutation."""
    return by_permutation(ends, lines, rng, draws).given
