"""The rule that turns an interval into a class, fixed before a trial's colonies are drawn.

The rule stands here, below the verdict, so that the planner foretells each class by the
very rule by which it is later given.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from breadline.errors import TrialError
from breadline.language import say

LEVEL = 0.90  # of every interval of an answer: "nine times in ten" [share]


class AnswerClass(StrEnum):
    """What a trial can come to; the letters are those of the method's page."""

    PAID = "A"
    STRONGER_PAY_UNSURE = "B"
    STRONGER_DID_NOT_PAY = "C"
    NO_DIFFERENCE_LARGER = "D"
    DID_NOT_PAY = "E"
    WEAKER = "F"
    TOO_FEW = "G"
    NOT_FAIR = "H"


@dataclass(frozen=True)
class Lines:
    """The lines that were locked at design, in the unit of the outcome.

    Parameters
    ----------
    break_even
        Benefit that covers the cost of feeding. Not above 0 where feeding costs nothing:
        then anything above 0 pays. [unit of the outcome]
    margin
        A difference smaller than this, either way, is none that matters. [unit of the outcome]

    Errors
    ------
    TrialError
        If one is no number, or the margin is not above 0.
    """

    break_even: float
    margin: float

    def __post_init__(self) -> None:
        if not np.isfinite(self.break_even):
            raise TrialError(
                "break-even",
                say("{break_even} is no number", break_even=self.break_even),
                say("frames, kg or a share"),
            )
        if not (np.isfinite(self.margin) and self.margin > 0):
            raise TrialError(
                "margin",
                say("{margin} is not above 0", margin=self.margin),
                say("a difference that would matter"),
            )


@dataclass(frozen=True)
class Told:
    """Which lines a benefit was told apart from, each at the one-sided level of the interval."""

    above_zero: bool
    above_break_even: bool
    below_break_even: bool
    below_zero: bool
    within_margin: bool  # above minus the margin and below the margin


def told_by_interval(low: float, high: float, lines: Lines) -> Told:
    """The lines outside of an interval from ``low`` to ``high`` [unit of the outcome].

    Errors
    ------
    TrialError
        If the interval holds no number or is upside down.
    """
    if not (np.isfinite(low) and np.isfinite(high) and low <= high):
        raise TrialError(
            "interval",
            say("{low} to {high} is no interval", low=low, high=high),
            say("two numbers, the smaller first"),
        )
    return Told(
        above_zero=low > 0,
        above_break_even=low > max(lines.break_even, 0.0),
        below_break_even=high < max(lines.break_even, 0.0),
        below_zero=high < 0,
        within_margin=-lines.margin < low and high < lines.margin,
    )


def class_of(told: Told) -> AnswerClass:
    """The class that follows from the lines told apart; A to G, complete and disjoint.

    What contradicts itself, as tests one by one may (above the break-even, not above 0;
    above one line and below a lower one), was not told at all.
    """
    above, below = told.above_zero or told.above_break_even, told.below_break_even
    if (told.below_zero and (above or not below)) or (
        told.above_break_even and (below or not told.above_zero)
    ):
        return AnswerClass.TOO_FEW
    if told.below_zero:
        return AnswerClass.WEAKER
    if told.above_zero:
        if told.above_break_even:
            return AnswerClass.PAID
        stronger = AnswerClass.STRONGER_DID_NOT_PAY, AnswerClass.STRONGER_PAY_UNSURE
        return stronger[0] if told.below_break_even else stronger[1]
    if not told.below_break_even:
        return AnswerClass.TOO_FEW
    return AnswerClass.NO_DIFFERENCE_LARGER if told.within_margin else AnswerClass.DID_NOT_PAY


def class_of_interval(low: float, high: float, lines: Lines) -> AnswerClass:
    """The class of an interval from ``low`` to ``high`` [unit of the outcome]."""
    return class_of(told_by_interval(low, high, lines))
