"""The fixed list of other ways to look, each beside the answer and never in its place."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from breadline.errors import BreadlineError
from breadline.going_on import still_wanted
from breadline.language import noted
from breadline.span import FloatArray
from breadline.trial.classes import LEVEL, AnswerClass, class_of_interval
from breadline.trial.design import Design, Unit
from breadline.verdict.ancova import contrast, fit, within_blocks
from breadline.verdict.contrast import Contrast
from breadline.verdict.ends_of import BoolArray, Came
from breadline.verdict.model_contrast import model_contrast
from breadline.verdict.reml import reml
from breadline.verdict.weights import contrast_of

OTHER_WAYS = noted("Looked at again without one yard: {n:,} of {all:,} yards.")


class Look(StrEnum):
    """Which other way."""

    SURVIVORS = noted("survivors only, not a fair comparison")
    ADDED_BACK = noted("with the bees taken away put back")
    NO_BASELINE = noted("without the strength before")
    LEAST_YARD = noted("the yard left out that lowers it most")
    MOST_YARD = noted("the yard left out that raises it most")
    YARDS_MODEL = noted("all colonies in one model of yards")


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
    alike
        Whether a model of yards found that they do not differ (a variance estimated as 0).
    """

    look: Look
    contrast: Contrast
    given: AnswerClass
    of: str = ""
    alike: bool = False


def sensitivities(design: Design, came: Came) -> tuple[Beside, ...]:
    """Those of the list that this trial's colonies allow."""
    if design.unit is Unit.YARD:
        return _yards_in_a_model(design, came)
    known = ~came.missing
    found = []
    if came.nothing.any():
        found += _one(design, Look.SURVIVORS, came, known & ~came.nothing)
    if came.taken.any():
        found += _one(design, Look.ADDED_BACK, came.added_back(), known)
    if came.ends.baseline.shape[1]:
        without = replace(came.ends, baseline=np.empty((len(came.ends.arm), 0)))
        found += _one(design, Look.NO_BASELINE, replace(came, ends=without), known)
    return (*found, *_yard_left_out(design, came))


def _one(design: Design, look: Look, came: Came, chosen: BoolArray, of: str = "") -> list[Beside]:
    """The look at the rows of ``chosen``, or nothing where those colonies cannot be compared."""
    try:
        ends = came.some(chosen)  # refused where an arm has none of them, as where all fed ones died
        found = contrast(fit(ends), contrast_of(design.primary, came.ends.arms))
    except BreadlineError:
        return []
    return [Beside(look, found, class_of_interval(*found.interval(LEVEL), design.lines), of)]


def _yard_left_out(design: Design, came: Came) -> list[Beside]:
    """How far one yard alone carries the answer: the two yards that matter most."""
    if len(came.yards) < 3:
        return []
    without = _estimates_without(design, came)
    if np.sum(np.isfinite(without)) < 2:
        return []
    least, most = int(np.nanargmin(without)), int(np.nanargmax(without))
    found = []
    for n, (look, yard) in enumerate(((Look.LEAST_YARD, least), (Look.MOST_YARD, most))):
        still_wanted(n, 2, OTHER_WAYS)
        found += _one(design, look, came, ~came.missing & (came.yard != yard), came.yards[yard])
    return found


def _estimates_without(design: Design, came: Came) -> FloatArray:
    """The estimate without each yard, shape (yards,) [unit of the outcome]; not a number where none is left.

    Blocks lie inside yards, so the sums of products of all colonies are those of the yards together,
    and a yard is left out by taking its own away.
    """
    ends, yard = came.known, came.yard[~came.missing]
    _, block, sizes = np.unique(ends.block, return_inverse=True, return_counts=True)
    arms = [(ends.arm == k).astype(np.float64) for k in range(1, ends.arms)]
    columns = np.column_stack([*arms, ends.baseline, ends.outcome])
    freed = within_blocks(columns, block.astype(np.int64), sizes.astype(np.int64))
    products = np.zeros((len(came.yards), columns.shape[1], columns.shape[1]))
    for one in range(len(came.yards)):
        here = freed[yard == one]
        products[one] = here.T @ here
    left = products.sum(axis=0) - products
    found = np.full(len(came.yards), np.nan)
    for one, sums in enumerate(left):
        x, xy = sums[:-1, :-1], sums[:-1, -1]
        if np.linalg.matrix_rank(x) == len(x):
            found[one] = np.linalg.solve(x, xy)[design.primary - 1]
    return found


def _yards_in_a_model(design: Design, came: Came) -> tuple[Beside, ...]:
    known = ~came.missing
    arm = came.ends.arm[known]
    fed = [(arm == k).astype(np.float64) for k in range(1, came.ends.arms)]
    fixed = np.column_stack([np.ones(len(arm)), *fed, came.ends.baseline[known]])
    try:
        model = reml(came.ends.outcome[known], fixed, {"yard": came.yard[known]})
    except BreadlineError:
        return ()
    found = model_contrast(model, design.primary)
    if found is None:
        return ()
    given = class_of_interval(*found.interval(LEVEL), design.lines)
    return (Beside(Look.YARDS_MODEL, found, given, alike="yard" in model.at_boundary),)
