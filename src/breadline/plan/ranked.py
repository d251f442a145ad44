"""What is told of a plan: money, chance, cost, feed; and which plans are worth a look."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from breadline.plan.plans import Plan
from breadline.plan.tried import Tried

LOW, HIGH = 0.1, 0.9  # 8 seasons in 10
SAME_CHANCE = 0.001  # chances closer than this are the same [share]


@dataclass(frozen=True)
class Cost:
    """Of a plan, a colony, mean over the seasons. [money/colony]"""

    feed: float
    labour: float
    travel: float
    syrup: float  # what extra bees and brood eat; 0 where syrup has no price

    @property
    def total(self) -> float:
        """[money/colony]"""
        return self.feed + self.labour + self.travel + self.syrup


@dataclass(frozen=True)
class Ranked:
    """A plan with what it brings; money is a colony that is in the yard today."""

    plan: Plan
    money: float  # expected value less cost [money/colony]
    low: float  # 10th percentile [money/colony]
    high: float  # 90th percentile [money/colony]
    gain: float  # expected, over doing nothing [money/colony]
    gain_low: float  # 10th percentile of that [money/colony]
    gain_high: float  # 90th percentile of that [money/colony]
    pays: float  # seasons in which it brings more than it costs [share]
    chance: float  # of the target: colonies that make it, or that the sample does [share]
    frames: tuple[float, float, float]  # of bees on the day, 10th, 50th, 90th percentile [frames]
    cost: Cost
    rounds: float  # really given, mean [rounds]
    feed_g: float  # put on a colony, mean [g]
    feed_most_g: float  # 90th percentile, for the order list [g]
    sugar_g: float  # dry sugar eaten beyond the unfed colony, mean [g]
    starved: float = 0.0  # of the colonies, before the date [share]
    kept: float = 1.0  # alive of what does not starve them, for one alive where nothing is fed [ratio]
    struck: str = ""  # why it is struck out; empty where it is not
    fed: float = 1.0  # on a round, of the colonies [share]
    piece: float = 1.0  # what a colony gets in the mean, of the full piece [share]


def ranked(tried: Tried, at: int, struck: str = "") -> Ranked:
    """What is told of plan ``at``."""
    money, over = tried.money[at], tried.money[at] - tried.money[0]
    (low, high), (gain_low, gain_high) = np.quantile(money, (LOW, HIGH)), np.quantile(over, (LOW, HIGH))
    costs = tried.costs
    parts = (costs.feed, costs.labour, costs.travel, costs.syrup)
    return Ranked(
        plan=tried.plans[at],
        money=float(money.mean()),
        low=float(low),
        high=float(high),
        gain=float(over.mean()),
        gain_low=float(gain_low),
        gain_high=float(gain_high),
        pays=_pays(tried, at),
        chance=float(tried.making[at].mean()),
        frames=_three(tried.frames[at]),
        cost=Cost(*(float(part[at].mean()) for part in parts)),
        rounds=float(tried.rounds[at].mean()),
        feed_g=float(tried.grams[at].mean()),
        feed_most_g=float(np.quantile(tried.grams[at], HIGH)),
        sugar_g=float(tried.sugar_g[at].mean()),
        starved=float(tried.starved[at].mean()),
        kept=float(tried.kept[at].mean()),
        struck=struck,
    )


def _pays(tried: Tried, at: int) -> float:
    """Seasons in which the plan brings more than it costs. [share]

    Where a sample decides for the whole yard, those in which feeding lifts it over the line; a sample that
    would have made it anyway, or does not even so, brings nothing back.
    """
    more = tried.money[at] > tried.money[0]
    return seasons_that_pay(more, tried.making[at] - tried.making[0], tried.as_one)


def seasons_that_pay(more: np.ndarray, lifted: np.ndarray, as_one: bool) -> float:
    """In which seasons it brings ``more``; as one by those in which the sample is ``lifted``. [share]"""
    if not as_one:
        return float(more.mean())
    return float((more * lifted.clip(0.0)).mean())


def frontier(plans: Sequence[Ranked]) -> tuple[Ranked, ...]:
    """The plans that no other beats on both money and chance, most money first.

    A plan is beaten by one that is no worse on either and better on one; plans that are struck out
    neither beat nor stand.
    """
    fair = sorted((p for p in plans if not p.struck), key=lambda p: (-p.money, -p.chance))
    kept: list[Ranked] = []
    for plan in fair:
        if not kept or plan.chance > kept[-1].chance + SAME_CHANCE:
            kept.append(plan)
    return tuple(kept)


def _three(values: np.ndarray) -> tuple[float, float, float]:
    low, middle, high = (float(v) for v in np.quantile(values, (LOW, 0.5, HIGH)))
    return low, middle, high
