"""Honey in the reader's unit: a trial holds kilograms, whoever weighs in pounds types and reads pounds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from breadline.plan.cuts import GRAMS_A_POUND
from breadline.trial.classes import Lines
from breadline.trial.colonies import Ended
from breadline.trial.design import Design, Outcome

POUND = GRAMS_A_POUND / 1000.0  # [kg]
KG_IN = {"kg": 1.0, "lb": POUND}  # of one [kg]


def unit_of(outcome: Outcome, in_pounds: bool) -> str:
    """The word of the unit that an outcome is typed and read in: "frames", "kg" or "lb"."""
    if outcome is not Outcome.HONEY:
        return "frames"
    return "lb" if in_pounds else "kg"


def lines_in_kg(lines: Lines, unit: str) -> Lines:
    """Break-even and margin that were typed in a unit [kg, or as they are where it is none of weight]."""
    of = KG_IN.get(unit, 1.0)
    return Lines(lines.break_even * of, lines.margin * of)


def in_unit(design: Design, ended: Sequence[Ended], unit: str) -> tuple[Design, tuple[Ended, ...]]:
    """A design and its ends with honey in a unit; as they are where no honey is weighed."""
    of = KG_IN.get(unit, 1.0)
    if design.outcome is not Outcome.HONEY or of == 1.0:
        return design, tuple(ended)
    lines = Lines(design.lines.break_even / of, design.lines.margin / of)
    told = tuple(
        replace(end, outcome=None if end.outcome is None else end.outcome / of,
                again=None if end.again is None else end.again / of)
        for end in ended
    )  # fmt: skip
    return replace(design, lines=lines), told
