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
MOST_UNREAD = 10  # per cent of a group's living colonies; with more the groups are not told apart


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
    living
        Of the check group and of the fed one, how many living colonies were read and how many lived.
    estimate, low, high
        Fed less check by the same analysis as the answer, and its range; None where too few of the
        living were read, or it could not be worked out. [frames of brood, or kg]
    """

    what: Measured
    names: tuple[str, str]
    check: float
    fed: float
    read: int
    of: int
    living: tuple[tuple[int, int], tuple[int, int]]
    estimate: float | None
    low: float | None
    high: float | None

    @property
    def nearly_all(self) -> bool:
        """Whether nearly all living colonies of both groups were read."""
        return all(100 * (of - read) <= MOST_UNREAD * of for read, of in self.living)


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
    empty hive weighs too. Every lost colony is known to be 0 while the living count only where somebody
    read them, so a group read in part would look as if it had lost more: the groups are told apart only
    where nearly all the living of both were read, and else the means are of the living that were read.

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
        if _few(design, came, np.isfinite(value) & ~came.missing & ~came.nothing):
            continue
        found.append(_described(design, came, what, value, rng))
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
    design: Design, came: Came, what: Measured, read: FloatArray, rng: np.random.Generator
) -> Described:
    living, with_lost = ~came.missing & ~came.nothing, what is not Measured.WEIGHT
    there = living & np.isfinite(read)
    check, fed = (came.ends.arm == arm for arm in (CHECK, design.primary))
    of_living = tuple((int((there & here).sum()), int((living & here).sum())) for here in (check, fed))
    bare = Described(
        what, (design.arms[CHECK], design.arms[design.primary]), float(read[there & check].mean()),
        float(read[there & fed].mean()), int((there & (check | fed)).sum()),
        int((living & (check | fed)).sum()), (of_living[0], of_living[1]), None, None, None,
    )  # fmt: skip
    if not bare.nearly_all:
        return bare
    there, could = (there | came.nothing, ~came.missing) if with_lost else (there, living)
    value = np.where(there & living, read, 0.0)
    two = check | fed
    means = replace(
        bare, check=float(value[there & check].mean()), fed=float(value[there & fed].mean()),
        read=int((there & two).sum()), of=int((could & two).sum()),
    )  # fmt: skip
    ends = replace(came.ends, outcome=value, baseline=_before(came, what))
    return _compared(design, replace(came, ends=ends, missing=~there), means, rng)


def _compared(design: Design, came: Came, one: Described, rng: np.random.Generator) -> Described:
    """The same with the difference, where it can be worked out."""
    try:
        found = primary_of(design, came, rng).contrast
    except BreadlineError:  # an arm without readings in any block, all alike …: the means alone are told
        return one
    low, high = found.interval(LEVEL)
    return replace(one, estimate=found.estimate, low=low, high=high)


def _before(came: Came, what: Measured) -> FloatArray:
    """The baseline, with the measure's own reading before the draw beside it where nearly all have one."""
    if what not in BEFORE:
        return came.ends.baseline
    own = _read(came, BEFORE[what])
    without = int(np.sum(np.isnan(own)))
    if 100 * without > MOST_BASELINES_FILLED * len(own) or np.nanstd(own) == 0.0:
        return came.ends.baseline
    return np.column_stack([came.ends.baseline, np.where(np.isnan(own), np.nanmean(own), own)])
