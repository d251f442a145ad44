"""Brood, weight, honey and what was eaten, group by group: described beside the answer, not decided on."""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from breadline.errors import BreadlineError
from breadline.span import FloatArray
from breadline.trial.classes import LEVEL
from breadline.trial.colonies import CHECK
from breadline.trial.design import Design, Outcome
from breadline.verdict.answer import primary_of
from breadline.verdict.ends_of import MOST_BASELINES_FILLED, BoolArray, Came

FEWEST = 2  # readings of a group below which a measure is not described


class Measured(StrEnum):
    """What can be described with a difference, by its name in ``Also``."""

    BROOD = "brood"
    WEIGHT = "weight"
    HONEY = "honey"


BEFORE = {Measured.BROOD: "brood_before", Measured.WEIGHT: "weight_before"}


@dataclass(frozen=True)
class Described:
    """One measure beside the outcome that was settled.

    Parameters
    ----------
    what
        Which.
    names
        Of the check group and the fed one.
    check, fed
        Mean of each group of the comparison. [frames of brood, or kg]
    read, of
        Colonies that the difference rests on, and those that could have been.
    estimate, low, high
        Fed less check by the same analysis as the answer, and its range; None where that could not
        be worked out. [frames of brood, or kg]
    """

    what: Measured
    names: tuple[str, str]
    check: float
    fed: float
    read: int
    of: int
    estimate: float | None
    low: float | None
    high: float | None


@dataclass(frozen=True)
class Eaten:
    """Feed eaten in one group; fed colonies choose what they eat, so it is no comparison.

    ``least``, ``mean`` and ``most`` are over the ``read`` colonies. [g]
    """

    arm: str
    read: int
    least: float
    mean: float
    most: float


def described(design: Design, came: Came, rng: np.random.Generator) -> tuple[Described, ...]:
    """Every measure that both groups have, in the order of ``Measured``; none of them decides anything.

    Brood and honey of a lost colony are 0, as its frames are. Weight is of living hives only: an
    empty hive weighs too.

    Parameters
    ----------
    design, came
        The trial, a fair one.
    rng
        As ``primary_of`` takes it.
    """
    found = []
    for what in Measured:
        if what is Measured.HONEY and design.outcome is Outcome.HONEY:
            continue
        value = _read(came, what.value)
        if _few(design, came, np.isfinite(value)):
            continue
        counted_lost = what is not Measured.WEIGHT
        value = np.where(came.nothing, 0.0 if counted_lost else np.nan, value)
        could = ~came.missing if counted_lost else ~came.missing & ~came.nothing
        found.append(_described(design, came, what, np.where(could, value, np.nan), rng))
    return tuple(found)


def eaten(design: Design, came: Came) -> tuple[Eaten, ...]:
    """Feed eaten, every group that has readings, check first."""
    grams, found = _read(came, "eaten"), []
    for arm, name in enumerate(design.arms):
        here = grams[(came.ends.arm == arm) & np.isfinite(grams)]
        if here.size:
            found.append(
                Eaten(name, int(here.size), float(here.min()), float(here.mean()), float(here.max()))
            )
    return tuple(found)


def _read(came: Came, name: str) -> FloatArray:
    values = (getattr(row.also, name) for row in came.ended)
    return np.array([np.nan if value is None else value for value in values], dtype=np.float64)


def _few(design: Design, came: Came, there: BoolArray) -> bool:
    """Whether a group of the comparison has next to no reading."""
    return min(int(np.sum(there & (came.ends.arm == arm))) for arm in (CHECK, design.primary)) < FEWEST


def _described(
    design: Design, came: Came, what: Measured, value: FloatArray, rng: np.random.Generator
) -> Described:
    there = np.isfinite(value)
    check, fed = (float(value[there & (came.ends.arm == arm)].mean()) for arm in (CHECK, design.primary))
    could = ~came.missing if what is not Measured.WEIGHT else ~came.missing & ~came.nothing
    two = (came.ends.arm == CHECK) | (came.ends.arm == design.primary)
    estimate = low = high = None
    ends = replace(came.ends, outcome=np.where(there, value, 0.0), baseline=_before(came, what))
    try:
        found = primary_of(design, replace(came, ends=ends, missing=~there), rng).contrast
        estimate, (low, high) = found.estimate, found.interval(LEVEL)
    except BreadlineError:  # an arm without readings in any block, all alike …: the means alone are told
        pass
    names = design.arms[CHECK], design.arms[design.primary]
    return Described(
        what, names, check, fed, int((there & two).sum()), int((could & two).sum()), estimate, low, high
    )


def _before(came: Came, what: Measured) -> FloatArray:
    """The baseline, with the measure's own reading before the draw beside it where nearly all have one."""
    if what not in BEFORE:
        return came.ends.baseline
    own = _read(came, BEFORE[what])
    without = int(np.sum(np.isnan(own)))
    if 100 * without > MOST_BASELINES_FILLED * len(own) or np.nanstd(own) == 0.0:
        return came.ends.baseline
    return np.column_stack([came.ends.baseline, np.where(np.isnan(own), np.nanmean(own), own)])
