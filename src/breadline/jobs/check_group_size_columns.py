"""The columns of the table of sizes that hang on what the check group gets, and the sizes left out of it."""

from __future__ import annotations

from breadline.jobs.check_group_size import SizeAnswer
from breadline.jobs.check_group_size_rests import no_benefit
from breadline.language import noted, say, say_as
from breadline.trial.design import CheckArm, Unit


def refused_words(answer: SizeAnswer) -> list[str]:
    """Sizes that cannot be judged, each with why."""
    said = noted("{n} unfed: {why}") if _is_unfed(answer) else noted("{n} check: {why}")
    return [say(said, n=n, why=why) for n, why in answer.proposal.refused]


def check_head(answer: SizeAnswer) -> str:
    """Head of the column of the check group: unfed, unless it gets something too."""
    return say_as("column", "unfed") if _is_unfed(answer) else say_as("column", "check")


def _is_unfed(answer: SizeAnswer) -> bool:
    return answer.asked.check_arm is CheckArm.SAME_CARE


def as_sharp_head(answer: SizeAnswer) -> str:
    """Head of the column for the other rate."""
    if answer.asked.check_arm is CheckArm.HALF:
        return say_as("column", "none")
    return say_as("column", "half")


def as_sharp_words(answer: SizeAnswer) -> str:
    """What the column for the other rate says; "" where there is none."""
    if not answer.as_sharp:
        return ""
    units = say("yards") if answer.asked.unit is Unit.YARD else say("colonies")
    if answer.asked.check_arm is CheckArm.HALF:
        return say(
            "none: {units} without feed, in the same proportion, that tell the whole benefit from nothing as "
            "surely as this row tells its second half.",
            units=units,
        )
    return say(
        "half: {units} at half the rate, in the same proportion, that tell the second half of the benefit as "
        "surely as this row tells the whole; up to four times as many, since half the difference is to be "
        "seen.",
        units=units,
    )


def as_sharp_told(answer: SizeAnswer, place: int) -> tuple[str, ...]:
    """The cell of that column for a size, "none" where this size tells no benefit; no cell without column."""
    return tuple(no_benefit() if many is None else f"{many:,}" for many in answer.as_sharp[place : place + 1])
