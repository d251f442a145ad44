"""What colonies are worth on the day, in money: over the spread between colonies, and over losses.

Feeding moves the mean of a yard; contracts pay by the single hive or by the mean of a sample. The same
mean is worth different money under the two, and the spread between colonies decides how much.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, expm1, log1p, sqrt

import numpy as np
from scipy.special import ndtr

from breadline.errors import PlanError
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.plan.targets import Frames, HoneyFlow, KeepAlive, Splits, Target, WinterBees
from breadline.span import FloatArray

NO_SPREAD = 1e-9
SAME_FIELD = 1e-9  # of the ratio of field bees; an unfed colony brings its own crop
FEWEST_GRADED = 3  # colonies; a spread of fewer says next to nothing
NORMAL_95 = 1.645  # standard deviations to the 95th percentile


@dataclass(frozen=True)
class Spread:
    """How the colonies of a yard lie about their mean."""

    colonies: int
    log_sd: float  # between colonies [log]
    losses: float  # die before the date [share]
    sampled: float  # of the hives, opened by the inspector [share]
    told_by: str = ""  # what the spread rests on

    def __post_init__(self) -> None:
        if self.colonies < 1:
            raise PlanError("colonies", f"{self.colonies}", say("1 or more"))
        if not 0.0 <= self.log_sd <= 2.0:
            raise PlanError("spread between colonies", f"{self.log_sd:g}", say("0 to 2, on the log scale"))
        if not 0.0 <= self.losses < 1.0:
            lost = say("{losses:g} in 100 colonies until the date", losses=100 * self.losses)
            raise PlanError("losses", lost, say("0 to below 100 in 100"), _less_lost(self.losses))
        if not 0.0 < self.sampled <= 1.0:
            raise PlanError("sample", f"{self.sampled:g}", say("a share above 0, up to 1"))

    @property
    def alive(self) -> float:
        """Share of the colonies that is there on the date. [share]"""
        return 1.0 - self.losses

    @property
    def opened(self) -> int:
        """Hives that the inspector opens."""
        return max(1, ceil(self.sampled * max(1, round(self.colonies * self.alive)) - 1e-9))

    @property
    def sample_log_sd(self) -> float:
        """Spread of the sample's mean about the yard's, of a lognormal with the same variance. [log]"""
        return sqrt(log1p(expm1(self.log_sd**2) / self.opened))


def spread_of(
    colonies: int, graded: Sequence[float], losses: float | None, reader: Reader, sampled: float | None = None
) -> Spread:
    """The spread of the graded colonies, weighed with the shelf's by how much each is worth.

    The shelf's range is worth as many colonies as would leave a spread so unsure: few that happen to be alike
    do not make a yard of equals.

    Parameters
    ----------
    colonies
        In the yard.
    graded
        Frames of bees of single colonies, as many as were graded. [frames]
    losses
        Of the colonies until the date; None takes the shelf's. [share]
    reader
        ``colony.log_sd``, ``plan.losses`` and ``plan.sampled``.
    sampled
        Of the hives, opened by the inspector; None takes the shelf's. [share]
    """
    frames = np.array([f for f in graded if f > 0.0])
    usual, free, own = reader.span("colony.log_sd"), frames.size - 1, frames.size >= FEWEST_GRADED
    log_sd = usual.typical
    if own:
        apart = max(1e-6, float(np.log(usual.high / usual.low)))
        worth_of = 0.5 * (2.0 * NORMAL_95 / apart) ** 2  # degrees of freedom of the shelf's
        seen = float(np.var(np.log(frames), ddof=1))
        log_sd = float(np.sqrt((worth_of * log_sd * log_sd + free * seen) / (worth_of + free)))
    told = say("how colonies of one yard were seen to differ")
    if own:
        told = say("the {n} colonies you graded, weighed with {told}", n=frames.size, told=told)
    lost = reader.typical("plan.losses") if losses is None else losses
    return Spread(
        colonies, log_sd, lost, reader.typical("plan.sampled") if sampled is None else sampled, told
    )


def _less_lost(losses: float) -> str:
    if losses == 1.0:
        return say("Where all of them die there is nothing to plan for")
    return (
        say("A share is meant: for {losses:g} in 100 enter {losses2:g}", losses=losses, losses2=losses / 100)
        if losses > 1.0
        else ""
    )


@dataclass(frozen=True)
class Reached:
    """What the average colony has on the day; arrays of one shape."""

    frames: FloatArray  # of bees [frames]
    brood: FloatArray  # [frames]
    field: FloatArray  # bees in the field over the flow against unfed colonies of the same season [ratio]
    nurses: FloatArray | None = None  # bees ten days old or younger; None where nobody asks [frames]


@dataclass(frozen=True)
class Worth:
    """What that is worth; arrays of one shape."""

    money: FloatArray  # a colony that is in the yard today [money/colony]
    making: FloatArray  # make it: of all colonies, or the chance that the sample does [share]


def share_above(mean: FloatArray, line: float, log_sd: float) -> FloatArray:
    """Share of colonies at or above a line, lognormal about their mean; shape of ``mean``.

    ``mean`` and ``line`` are in one unit [frames], ``log_sd`` is the spread [log]; the answer a [share].
    """
    s = max(log_sd, NO_SPREAD)
    return np.asarray(ndtr((np.log(np.maximum(mean, 1e-9) / line) - s * s / 2) / s))


def excess(mean: FloatArray, line: float, log_sd: float) -> FloatArray:
    """Mean over all colonies of what they have above a line; shape of ``mean``. [frames]

    Parameters as in ``share_above``: ``mean`` and ``line`` in [frames], ``log_sd`` in [log].
    """
    s = max(log_sd, NO_SPREAD)
    d = (np.log(np.maximum(mean, 1e-9) / line) + s * s / 2) / s
    return np.asarray(np.maximum(0.0, mean * ndtr(d) - line * ndtr(d - s)))


def worth(target: Target, reached: Reached, spread: Spread) -> Worth:
    """What a colony is worth under a target."""
    if isinstance(target, Frames):
        return _frames(target, reached.frames, spread)
    if isinstance(target, Splits):
        return _splits(target, reached, spread)
    if isinstance(target, HoneyFlow):
        crop = target.usual_kg * target.price.amount * spread.alive * reached.field
        return Worth(crop, np.asarray(reached.field >= 1.0 - SAME_FIELD, dtype=np.float64))
    return _line(target, reached.frames, spread)


def _frames(target: Frames, frames: FloatArray, spread: Spread) -> Worth:
    log_sd = spread.log_sd if target.paid == "hive_by_hive" else spread.sample_log_sd
    making = share_above(frames, target.grade, log_sd)
    money = target.fee.amount * making
    if target.below is not None:
        money = money + target.below.amount * (1.0 - making)
    if target.premium is not None:
        above = excess(frames, target.grade, log_sd)
        if target.premium_to is not None:
            above = above - excess(frames, target.premium_to, log_sd)
        money = money + target.premium.amount * above
    made = making * spread.alive if target.paid == "hive_by_hive" else making
    return Worth(money * spread.alive, made)


def _splits(target: Splits, reached: Reached, spread: Spread) -> Worth:
    enough = np.minimum(reached.frames / target.bees, reached.brood / target.brood)
    if target.nurses is not None and reached.nurses is not None:
        enough = np.minimum(enough, reached.nurses / target.nurses)
    shares = [share_above(enough, float(k), spread.log_sd) for k in range(1, target.most + 1)]
    return Worth(target.value.amount * spread.alive * np.sum(shares, axis=0), shares[0] * spread.alive)


def _line(target: WinterBees | KeepAlive, frames: FloatArray, spread: Spread) -> Worth:
    making = share_above(frames, target.grade, spread.log_sd) * spread.alive
    return Worth(target.value.amount * making, making)
