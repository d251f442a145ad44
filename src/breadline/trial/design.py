"""What is written down and locked before a trial's colonies are drawn."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from breadline.language import noted, noted_as, say_as
from breadline.trial.classes import Lines
from breadline.trial.colonies import Started


class Outcome(StrEnum):
    """The outcome that pays."""

    FRAMES = noted("frames of bees")
    HONEY = noted("honey")
    MAKING_GRADE = noted("share making grade")


class CheckArm(StrEnum):
    """What the check group gets."""

    SAME_CARE = noted("the same care, no protein feed")
    USUAL = noted("usual practice")
    HALF = noted("half the rate")
    SUGAR = noted("a patty of sugar alone, no protein feed")


class Unit(StrEnum):
    """What is drawn: single colonies inside their yard, or whole yards."""

    COLONY = "colony"
    YARD = "yard"


GROUPS = (noted_as("group", "check"), noted_as("group", "fed"), noted_as("group", "half"))  # usual names


def group_name(name: str) -> str:
    """The name of a group as it is shown: usual names in this language, one's own as they are."""
    return say_as("group", name)


class Allocation(StrEnum):
    """How colonies came into their arms."""

    DRAWN = noted("drawn by lot")
    CHOSEN = noted("chosen by hand")
    UNKNOWN = noted("not known")


@dataclass(frozen=True)
class Design:
    """What was locked: nothing of it changes later, and what was done otherwise is a deviation.

    Parameters
    ----------
    outcome, check_arm, unit, allocation
        The outcome that pays, what the check group gets, what is drawn and how.
    arms
        Names of the arms, the check group first; two to four.
    primary
        The fed arm of the locked contrast, 1 and up.
    lines
        Break-even and margin. [unit of the outcome; for MAKING_GRADE in frames, see grade]
    grading
        The locked date of grading.
    started
        Every colony that was drawn.
    grade
        The grade line; None where the outcome is not the share making it. [frames]
    seed
        Of the draw.
    open_feed
        Whether feed lies in the open, so that flight range makes the unit.
    staggered
        Whether arms alternate within rows; None where not known.
    apart
        Yards whose draw kept check hives apart in their rows, as the rows of ``started`` are read;
        None where nobody wrote it down.
    """

    outcome: Outcome
    check_arm: CheckArm
    unit: Unit
    allocation: Allocation
    arms: tuple[str, ...]
    primary: int
    lines: Lines
    grading: date
    started: tuple[Started, ...]
    grade: float | None = None
    seed: int | None = None
    open_feed: bool = False
    staggered: bool | None = None
    apart: tuple[str, ...] | None = None
