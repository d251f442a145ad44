"""The sentence that owners repeat to each other, before any chance: what has to come of it to pay."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor
from typing import Any

from breadline.language import say
from breadline.measures import Units
from breadline.need.words import counted
from breadline.plan.cuts import GRAMS_A_POUND
from breadline.plan.money import as_told, told
from breadline.plan.targets import Frames, HoneyFlow, KeepAlive, Splits, Target, WinterBees


def more_in_a_hundred(cost: float, pays: float) -> float:
    """Colonies in a hundred that have to make it, that would not have, for a cost to come back.

    Both a colony, in the same money. [money/colony]
    """
    return 100.0 * cost / pays


@dataclass(frozen=True)
class Checked:
    """What it costs to leave some colonies unfed; money for all of them. [money]"""

    lost: float  # fees that they do not earn [money]
    saved: float  # feed that they do not get [money]

    @property
    def net(self) -> float:
        """Below 0: what the comparison costs. [money]"""
        return self.saved - self.lost


def price_of_a_check(colonies: int, points: float, fee: float, cost: float) -> Checked:
    """What a check group costs, if feeding lifts so many ``points`` in a hundred over the line.

    ``points`` are colonies in a hundred [points], ``fee`` and ``cost`` a colony [money/colony].
    """
    return Checked(colonies * points / 100.0 * fee, colonies * cost)


def break_even(
    target: Target, cost: float, money: str, year: int, units: Units | None = None, moving: bool = False
) -> str:
    """ "Feeding at this cost pays if 10 more in a hundred colonies make grade."

    Worked out from the money as it is told, so that a reader who does the sum finds the same.

    Parameters
    ----------
    target
        What is paid for, and how much.
    cost
        Of feeding, labour and travel. [money/colony]
    money, year
        Whose, and of which year the price of the target is.
    units
        The keeper's, for honey; None says both.
    moving
        Whether the cost is that of moving, not of feeding.
    """
    of = {"doing": say("Moving") if moving else say("Feeding"), "cost": told(cost, money), "year": year}
    if isinstance(target, HoneyFlow):
        return say(
            "{doing} at {cost} a colony pays if it brings {honey} ({year}).",
            honey=_honey(target, cost, money, units),
            **of,
        )
    if isinstance(target, Splits):
        return _of_splits(target, cost, of | {"each": told(target.value.amount, money)})
    cost, pays = as_told(cost), as_told(earned(target)) if earned(target) > 0.0 else 0.0
    points = more_in_a_hundred(cost, pays) if pays > 0.0 else float("inf")
    of["pays"] = told(pays, money)
    if points > 100.0:
        return say(
            "{doing} at {cost} a colony pays never: it is more than the {pays} ({year}) that a colony earns "
            "by it.",
            **of,
        )
    # whole colonies, and never fewer than it takes
    return _of_a_line(target, of | {"n": max(1, ceil(points - 1e-9))})


def _of_splits(target: Splits, cost: float, of: dict[str, Any]) -> str:
    cost, pays = as_told(cost), as_told(target.value.amount)
    if cost > pays * target.most:
        return say(
            "{doing} at {cost} a colony pays never: it is more than a colony's splits bring, at "
            "{each} a split "
            "({year}).",
            **of,
        )
    if not cost or cost > pays:
        return say(
            "{doing} at {cost} a colony pays if a colony gives {n} splits more, at {each} a split ({year}).",
            n=_rounded(cost / pays),
            **of,
        )
    return say(
        "{doing} at {cost} a colony pays if one split more comes of every {n:.0f} colonies fed, at {each} a "
        "split ({year}).",
        n=floor(pays / cost + 1e-9),  # whole colonies, and never more than one split pays for
        **of,
    )


def _of_a_line(target: Frames | WinterBees | KeepAlive, of: dict[str, Any]) -> str:
    over = isinstance(target, Frames) and target.below is not None and target.below.amount > 0
    of["at"] = (
        say("at {pays} a colony over one below the line ({year})", **of)
        if over
        else say("at {pays} a colony ({year})", **of)
    )
    if isinstance(target, WinterBees):
        return say("{doing} at {cost} a colony pays if {n} more in a hundred colonies winter, {at}.", **of)
    if isinstance(target, KeepAlive):
        return say("{doing} at {cost} a colony pays if {n} more in a hundred colonies live, {at}.", **of)
    if target.paid == "sample_average":
        return say(
            "{doing} at {cost} a colony pays if {n} more in a hundred colonies make grade, {at}; by "
            "its average, "
            "if the sample makes it in {n} more of a hundred seasons.",
            **of,
        )
    return say("{doing} at {cost} a colony pays if {n} more in a hundred colonies make grade, {at}.", **of)


def earned(target: Frames | WinterBees | KeepAlive) -> float:
    """What a colony that makes it earns over one that does not. [money/colony]"""
    if not isinstance(target, Frames):
        return target.value.amount
    return target.fee.amount - (target.below.amount if target.below is not None else 0.0)


def _honey(target: HoneyFlow, cost: float, money: str, units: Units | None) -> str:
    """ "9 lb more honey a colony, at US$2.00 a lb"."""
    a_kg, a_pound = target.price.amount, target.price.amount * GRAMS_A_POUND / 1000.0
    lb, kg = (_rounded(as_told(cost) / (as_told(price) or price)) for price in (a_pound, a_kg))
    if units == "lb":
        return say("{lb} lb more honey a colony, at {price} a lb", lb=lb, price=told(a_pound, money))
    if units == "g":
        return say("{kg} kg more honey a colony, at {price} a kg", kg=kg, price=told(a_kg, money))
    return say(
        "{kg} kg ({lb} lb) more honey a colony, at {price} a kg", kg=kg, lb=lb, price=told(a_kg, money)
    )


def cost_of_pounds(pounds: float, price_lb: float) -> float:
    """What so many pounds of feed cost, at a price a pound. [money/colony]

    ``pounds`` in [lb], ``price_lb`` in [money/lb].
    """
    return pounds * price_lb


def check_words(colonies: int, points: float, of: Checked, money: str) -> str:
    """ "20 colonies left unfed: if feeding lifts 10 in a hundred it costs US$16; if not you keep US$360."

    ``points`` in a hundred [points].
    """
    many = counted(colonies, "colony", "colonies")
    if of.net < 0:
        return say(
            "{many} left unfed: if feeding lifts {points:g} in a hundred over the line it costs {net}; "
            "if it does nothing you keep {saved}.",
            many=many,
            points=points,
            net=told(-of.net, money),
            saved=told(of.saved, money),
        )
    return say(
        "{many} left unfed: if feeding lifts {points:g} in a hundred over the line you keep {net}; "
        "if it does nothing you keep {saved}.",
        many=many,
        points=points,
        net=told(of.net, money),
        saved=told(of.saved, money),
    )


def _rounded(amount: float) -> str:
    return f"{amount:.0f}" if amount >= 9.5 else f"{amount:.1f}".removesuffix(".0")
