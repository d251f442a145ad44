"""The sentence that owners repeat to each other, before any chance: what has to come of it to pay."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import ceil, floor
from typing import Any

from breadline.language import say
from breadline.measures import Units, halves_up
from breadline.need.words import counted
from breadline.plan.cuts import GRAMS_A_POUND
from breadline.plan.money import as_told, to_the_cent, told
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

    Worked out to the cent; where the money in round numbers would give a reader another answer it is told
    to the cent too.

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
    of = {"doing": say("Moving") if moving else say("Feeding"), "year": year}
    if isinstance(target, HoneyFlow):
        return _honey(target, cost, of | {"money": money}, units)
    if isinstance(target, Splits):
        return _of_splits(target, cost, of | {"money": money})
    cost, pays = halves_up(cost, 2), halves_up(max(0.0, earned(target)), 2)
    of["cost"], of["pays"] = _told(cost, pays, money, _points)
    if (points := _points(cost, pays)) is None:
        return say(
            "{doing} at {cost} a colony pays never: it is more than the {pays} ({year}) that a colony earns "
            "by it.",
            **of,
        )
    return _of_a_line(target, of | {"n": points})


def _told(cost: float, pays: float, money: str, answer: Callable[[float, float], Any]) -> tuple[str, str]:
    """Both as they are told: in round numbers, unless these give another answer [money]."""
    if answer(as_told(cost), as_told(pays)) == answer(cost, pays):
        return told(cost, money), told(pays, money)
    return to_the_cent(cost, money), to_the_cent(pays, money)


def _points(cost: float, pays: float) -> int | None:
    """Whole colonies in a hundred, never fewer than it takes; None where all of them are too few [money]."""
    if cost > pays or pays <= 0.0:
        return None
    return max(1, ceil(more_in_a_hundred(cost, pays) - 1e-9))


def _of_splits(target: Splits, cost: float, of: dict[str, Any]) -> str:
    cost, pays = halves_up(cost, 2), halves_up(target.value.amount, 2) or target.value.amount

    def answer(cost: float, pays: float) -> tuple[float, str]:
        if not pays or cost > pays * target.most:
            return -1.0, ""
        # whole colonies, and never more than one split pays for
        return (floor(pays / cost + 1e-9), "") if 0.0 < cost <= pays else (0.0, _rounded(cost / pays))

    of["cost"], of["each"] = _told(cost, pays, of["money"], answer)
    every, more = answer(cost, pays)
    if every < 0.0:
        return say(
            "{doing} at {cost} a colony pays never: it is more than a colony's splits bring, at "
            "{each} a split "
            "({year}).",
            **of,
        )
    if not every:
        return say(
            "{doing} at {cost} a colony pays if a colony gives {n} splits more, at {each} a split ({year}).",
            n=more,
            **of,
        )
    return say(
        "{doing} at {cost} a colony pays if one split more comes of every {n:.0f} colonies fed, at {each} a "
        "split ({year}).",
        n=every,
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


def _honey(target: HoneyFlow, cost: float, of: dict[str, Any], units: Units | None) -> str:
    """ "… pays if it brings 9 lb more honey a colony, at US$2.00 a lb (2026)."."""
    a_kg, a_pound = target.price.amount, target.price.amount * GRAMS_A_POUND / 1000.0
    lb, kg = (_rounded(cost / price) for price in (a_pound, a_kg))

    def answer(cost: float, price: float) -> str:
        return _rounded(cost / (price or a_kg))

    of["cost"], price = _told(cost, a_pound if units == "lb" else a_kg, of["money"], answer)
    if units == "lb":
        honey = say("{lb} lb more honey a colony, at {price} a lb", lb=lb, price=price)
    elif units == "g":
        honey = say("{kg} kg more honey a colony, at {price} a kg", kg=kg, price=price)
    else:
        honey = say("{kg} kg ({lb} lb) more honey a colony, at {price} a kg", kg=kg, lb=lb, price=price)
    return say("{doing} at {cost} a colony pays if it brings {honey} ({year}).", honey=honey, **of)


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
