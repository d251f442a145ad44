"""The fixed list of other ways to look, each beside the answer and never in its place."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from breadline.errors import BreadlineError
from breadline.trial.classes import LEVEL, AnswerClass, class_of_interval
from breadline.trial.design import Design, Unit
from breadline.verdict.ancova import contrast, fit
from breadline.verdict.contrast import Contrast
from breadline.verdict.ends import Ends
from breadline.verdict.ends_of import Came
from breadline.verdict.reml import reml
from breadline.verdict.weights import contrast_of


class Look(StrEnum):
    """Which other way."""

    SURVIVORS = "survivors only, not a fair comparison"
    ADDED_BACK = "with the bees taken away put back"
    NO_BASELINE = "without the strength before"
    LEAST_YARD = "the yard left out that lowers it most"
    MOST_YARD = "the yard left out that raises it most"
    YARDS_MODEL = "all colonies in one model of yards"


@dataclass(frozen=True)
class Beside:
    """One other look.

    Parameters
    ----------
    look
        Which.
    contrast
        The difference. [unit of the outcome]
    given
        The class it alone would give.
    of
        What it is about, such as a yard's name; "" where nothing.
    """

    look: Look
    contrast: Contrast
    given: AnswerClass
    of: str = ""


def sensitivities(design: Design, came: Came) -> tuple[Beside, ...]:
    """Those of the list that this trial's colonies allow."""
    if design.unit is Unit.YARD:
        return _yards_in_a_model(design, came)
    known = ~came.missing
    found = []
    if came.nothing.any():
        found += _one(design, Look.SURVIVORS, came.some(known & ~came.nothing))
    if came.taken.any():
        found += _one(design, Look.ADDED_BACK, came.added_back().known)
    if came.ends.baseline.shape[1]:
        e = came.known
        found += _one(design, Look.NO_BASELINE, Ends(e.outcome, e.arm, e.block, np.empty((len(e.arm), 0))))
    return (*found, *_yard_left_out(design, came))


def _one(design: Design, look: Look, ends: Ends | None, of: str = "") -> list[Beside]:
    """The look, or nothing where those colonies cannot be compared."""
    if ends is None:
        return []
    try:
        found = contrast(fit(ends), contrast_of(design.primary, ends.arms))
    except BreadlineError:
        return []
    return [Beside(look, found, class_of_interval(*found.interval(LEVEL), design.lines), of)]


def _yard_left_out(design: Design, came: Came) -> list[Beside]:
    """How far one yard alone carries the answer: the two yards that matter most."""
    if len(came.yards) < 3:
        return []
    found = []
    for yard, name in enumerate(came.yards):
        chosen = ~came.missing & (came.yard != yard)
        arms = np.bincount(came.ends.arm[chosen], minlength=came.ends.arms)
        if arms.min() > 0:
            found += _one(design, Look.LEAST_YARD, came.some(chosen), name)
    if len(found) < 2:
        return []
    found.sort(key=lambda one: one.contrast.estimate)
    most = found[-1]
    return [found[0], Beside(Look.MOST_YARD, most.contrast, most.given, most.of)]


def _yards_in_a_model(design: Design, came: Came) -> tuple[Beside, ...]:
    known = ~came.missing
    arm = came.ends.arm[known]
    fed = [(arm == k).astype(np.float64) for k in range(1, came.ends.arms)]
    fixed = np.column_stack([np.ones(len(arm)), *fed, came.ends.baseline[known]])
    try:
        told = reml(came.ends.outcome[known], fixed, {"yard": came.yard[known]}).effect(design.primary)
    except BreadlineError:
        return ()
    found = Contrast(told.estimate, told.se, max(told.df, 1.0))
    given = class_of_interval(*found.interval(LEVEL), design.lines)
    return (Beside(Look.YARDS_MODEL, found, given),)
