"""From the outcome that pays to money: one way, for the planner, the break-even and the verdict alike."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import ceil
from typing import Protocol

import numpy as np
from scipy import optimize

from breadline.errors import TrialError
from breadline.language import say
from breadline.plan.money import Amount
from breadline.plan.targets import Frames, KeepAlive, WinterBees
from breadline.plan.value import Reached, Spread, worth
from breadline.span import FloatArray
from breadline.trial.design import Outcome

SMALLEST = 1e-6  # a living colony has more than nothing [frames]
MOST_FRAMES = 100.0  # no feed adds more to a colony [frames]
STEPS = (1.0, 0.5, 0.25)  # in which people count [frames]
HALVES = 0.5  # as the grading sheet asks for [frames]
SURELY = 10  # living colonies in whole frames, before whole frames are taken for the way of counting
ROUNDED = 1e-9
ONE_SIZE = 1e-6  # the spread of colonies that are all alike [log]


class ValuePath(Protocol):
    """What a difference between fed and check colonies is worth."""

    @property
    def outcome(self) -> Outcome:
        """The outcome that pays."""
        ...

    @property
    def linear(self) -> bool:
        """Whether every unit more is worth the same."""
        ...

    def money(self, effect: float) -> float:
        """Worth of an ``effect`` [unit of the outcome], fed less check, before cost [money/colony]."""
        ...

    def moneys(self, effects: FloatArray) -> FloatArray:
        """The same for many ``effects`` [unit of the outcome], of their shape [money/colony]."""
        ...

    def break_even(self, cost: float) -> float:
        """The effect [unit of the outcome] that is worth a ``cost`` [money/colony]."""
        ...


@dataclass(frozen=True)
class PerUnit:
    """Every frame, or every kilogram of honey, is worth the same.

    Parameters
    ----------
    outcome
        Frames or honey.
    price
        Of one unit. [money/frame or money/kg]
    """

    outcome: Outcome
    price: Amount

    def __post_init__(self) -> None:
        self.price.checked("price")
        if self.outcome is Outcome.MAKING_GRADE:
            raise TrialError(
                "outcome", say("a share making grade has no price a unit"), say("a grade line and its fee")
            )

    @property
    def linear(self) -> bool:
        """Yes."""
        return True

    def money(self, effect: float) -> float:
        """Worth of an ``effect`` [unit of the outcome], before cost [money/colony]."""
        return self.price.amount * effect

    def moneys(self, effects: FloatArray) -> FloatArray:
        """The same for many ``effects`` [unit of the outcome], of their shape [money/colony]."""
        return self.price.amount * effects

    def break_even(self, cost: float) -> float:
        """The effect [unit of the outcome] that is worth a ``cost`` [money/colony]."""
        return cost / self.price.amount


@dataclass(frozen=True)
class Strengths:
    """How the colonies of one arm lie on the day: some dead, the living lognormal about their mean.

    Parameters
    ----------
    dead
        Share that counts as 0. [share]
    alive
        Mean of the living. [frames]
    log_sd
        Spread of the living. [log]
    """

    dead: float
    alive: float
    log_sd: float

    def __post_init__(self) -> None:
        if not 0.0 <= self.dead < 1.0:
            raise TrialError("deaths", f"{self.dead:g}", say("a share from 0 to below 1"))
        if not (np.isfinite(self.alive) and self.alive > 0 and 0.0 <= self.log_sd <= 2.0):
            raise TrialError(
                "strength on the day",
                say("{alive:g} frames, spread {log_sd:g}", alive=self.alive, log_sd=self.log_sd),
                say("frames above 0 and a spread from 0 to 2 on the log scale"),
            )

    @property
    def mean(self) -> float:
        """Of all colonies started, the dead as 0. [frames]"""
        return (1.0 - self.dead) * self.alive

    def moved(self, effect: float) -> Strengths:
        """The same deaths and spread, the mean of all that were started moved by ``effect`` [frames]."""
        return replace(self, alive=max(self.alive + effect / (1.0 - self.dead), SMALLEST))


def fitted_strengths(frames: FloatArray) -> Strengths:
    """The strengths of one arm from what was graded, dead colonies as 0.

    Mean and log spread of the living are those of the sample, so that the mean of the
    fitted arm is the mean that was graded.

    Parameters
    ----------
    frames
        One number a colony started, shape (colonies,). [frames]

    Errors
    ------
    TrialError
        If no colony lives.
    """
    living = frames[frames > 0]
    if not living.size:
        raise TrialError(
            "ends", say("every colony of an arm is dead"), say("at least one living colony an arm"),
            say("What the living would have made cannot be told"),
        )  # fmt: skip
    spread = float(np.std(np.log(living), ddof=1)) if living.size > 1 else ONE_SIZE
    return Strengths(1.0 - living.size / frames.size, float(living.mean()), min(spread, 2.0))


def counted_in(frames: FloatArray) -> float:
    """The step in which colonies were counted, 0 where they were measured [frames]; shape (colonies,)."""
    living = frames[frames > 0]
    for step in STEPS:
        few = step > HALVES and living.size < SURELY
        if not few and np.all(np.abs(living / step - np.round(living / step)) < ROUNDED):
            return step
    return 0.0


@dataclass(frozen=True)
class MakingGrade:
    """Colonies are paid for by a line; frames are turned into the share that makes it, and that into money.

    Parameters
    ----------
    target
        The line and what it pays.
    check
        The check arm as it is expected, or as it was graded.
    colonies
        In the yard; the inspector's sample is drawn of them.
    sampled
        Share of the hives that the inspector opens. [share]
    step
        In which colonies are counted, 0.5 for half frames; 0 where they are measured. [frames]
    """

    target: Frames | WinterBees | KeepAlive
    check: Strengths
    colonies: int
    sampled: float
    step: float = 0.0

    @property
    def outcome(self) -> Outcome:
        """The share making grade; effects are in frames."""
        return Outcome.MAKING_GRADE

    @property
    def line(self) -> float:
        """From where on a hive is counted as making the line: in halves, 8 stands for 7¾ and up. [frames]

        The mean of a sample is hardly rounded, and a premium is paid by what lies above the line itself:
        there it is the line.
        """
        t = self.target
        if not self.step or (isinstance(t, Frames) and (t.paid == "sample_average" or t.premium is not None)):
            return t.grade
        return ceil(t.grade / self.step - ROUNDED) * self.step - self.step / 2.0

    @property
    def linear(self) -> bool:
        """No: a frame is worth most where it lifts a colony over the line."""
        return False

    def money(self, effect: float) -> float:
        """Worth of an ``effect`` [frames a colony started], before cost [money/colony]."""
        return float(self.moneys(np.array([effect]))[0])

    def moneys(self, effects: FloatArray) -> FloatArray:
        """The same for many ``effects`` [frames], of their shape [money/colony]."""
        alive = np.maximum(self.check.alive + effects / (1.0 - self.check.dead), SMALLEST)
        return self._worth(alive, self.check) - self.worth_of(self.check)

    def worth_of(self, arm: Strengths) -> float:
        """What a colony of an arm earns. [money/colony]"""
        return float(self._worth(np.array([arm.alive]), arm)[0])

    def share_of(self, arm: Strengths) -> float:
        """Share of an arm's colonies that makes the line, of all started; the dead do not. [share]"""
        return float(worth(self._counted, _reached(np.array([arm.alive])), self._spread(arm)).making[0])

    def share_at(self, effect: float) -> float:
        """Share of the check arm that would make the line with ``effect`` more [frames]. [share]"""
        return self.share_of(self.check.moved(effect))

    def between(self, check: Strengths, fed: Strengths) -> float:
        """Worth of the difference of two arms, each as it was fitted, before cost [money/colony]."""
        return self.worth_of(fed) - self.worth_of(check)

    def break_even(self, cost: float) -> float:
        """The effect [frames] that is worth a ``cost`` [money/colony].

        Errors
        ------
        TrialError
            If no number of frames is worth as much.
        """
        low, high = -self.check.mean, MOST_FRAMES
        if not self.money(low) <= cost <= self.money(high):
            most = self.money(high)
            raise TrialError(
                "cost", say("{cost:.2f} a colony", cost=cost),
                say("at most {most:.2f}, what one can earn by it", most=most),
                say("Feeding at this cost cannot pay, whatever it does"),
            )  # fmt: skip
        return float(optimize.brentq(lambda e: self.money(e) - cost, low, high, xtol=1e-9))

    def _spread(self, arm: Strengths) -> Spread:
        return Spread(self.colonies, arm.log_sd, arm.dead, self.sampled)

    def _worth(self, alive: FloatArray, arm: Strengths) -> FloatArray:
        return worth(self._counted, _reached(alive), self._spread(arm)).money

    @property
    def _counted(self) -> Frames | WinterBees | KeepAlive:
        return replace(self.target, grade=self.line)


NOT_ONE = Strengths(1.0 - SMALLEST, 1.0, 0.0)
"""An arm of which no colony lives."""


@dataclass(frozen=True)
class FromNothing(MakingGrade):
    """The same where no check colony lived: none makes the line, and frames are counted from 0.

    No check colony shows how unfed ones would lie, so an effect is spread as the fed arm is: with its
    deaths, and its living about the mean that the effect gives.

    Parameters
    ----------
    fed
        The fed arm as it was graded.
    """

    fed: Strengths = NOT_ONE

    def moneys(self, effects: FloatArray) -> FloatArray:
        """Worth of ``effects`` [frames a colony started], before cost, of their shape [money/colony]."""
        alive = np.maximum(effects / (1.0 - self.fed.dead), SMALLEST)
        return self._worth(alive, self.fed)

    def share_at(self, effect: float) -> float:
        """Share making the line where a colony started has ``effect`` on average [frames]. [share]"""
        return self.share_of(replace(self.fed, alive=max(effect / (1.0 - self.fed.dead), SMALLEST)))


def _reached(alive: FloatArray) -> Reached:
    return Reached(alive, np.zeros(alive.shape), np.ones(alive.shape))
