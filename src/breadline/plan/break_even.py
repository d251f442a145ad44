"""The sentence that owners repeat to each other, before any chance: what has to come of it to pay."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil

from breadline.measures import Units
from breadline.need.words import counted
from breadline.plan.cuts import GRAMS_A_POUND
from breadline.plan.money import told
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


def break_even(target: Target, cost: float, money: str, year: int, units: Units | None = None) -> str:
    """ "Feeding at this cost pays if 10 more in a hundred colonies make grade."

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
    """
    spent = f"Feeding at {told(cost, money)} a colony pays"
    if isinstance(target, HoneyFlow):
        return f"{spent} if it brings {_honey(target, cost, money, units)} ({year})."
    if isinstance(target, Splits):
        pays = target.value.amount
        each = f"at {told(pays, money)} a split ({year})"
        if cost > pays * target.most:
            return f"{spent} never: it is more than a colony's splits bring, {each}."
        if not cost or cost > pays:
            return f"{spent} if a colony gives {_rounded(cost / pays)} splits more, {each}."
        return f"{spent} if one split more comes of every {pays / cost:.0f} colonies fed, {each}."
    pays = _earned(target)
    points = more_in_a_hundred(cost, pays) if pays > 0.0 else float("inf")
    if points > 100.0:
        return f"{spent} never: it is more than the {told(pays, money)} ({year}) that a colony earns by it."
    many = max(1, ceil(points - 1e-9))  # whole colonies, and never fewer than it takes
    by_sample = isinstance(target, Frames) and target.paid == "sample_average"
    means = (
        f"; by its average, if the sample makes it in {many} more of a hundred seasons" if by_sample else ""
    )
    at = f"at {told(pays, money)} a colony{_over_below(target)} ({year})"
    return f"{spent} if {many} more in a hundred colonies {_what(target)}, {at}{means}."


def _earned(target: Frames | WinterBees | KeepAlive) -> float:
    """What a colony that makes it earns over one that does not. [money/colony]"""
    if not isinstance(target, Frames):
        return target.value.amount
    return target.fee.amount - (target.below.amount if target.below is not None else 0.0)


def _over_below(target: Target) -> str:
    some = isinstance(target, Frames) and target.below is not None and target.below.amount > 0
    return " over one below the line" if some else ""


def _what(target: Target) -> str:
    if isinstance(target, Frames):
        return "make grade"
    return "winter" if isinstance(target, WinterBees) else "live"


def _honey(target: HoneyFlow, cost: float, money: str, units: Units | None) -> str:
    """ "9 lb more honey a colony, at US$2.00 a lb"."""
    a_kg, a_pound = target.price.amount, target.price.amount * GRAMS_A_POUND / 1000.0
    if units == "lb":
        return f"{_rounded(cost / a_pound)} lb more honey a colony, at {told(a_pound, money)} a lb"
    pounds = "" if units == "g" else f" ({_rounded(cost / a_pound)} lb)"
    return f"{_rounded(cost / a_kg)} kg{pounds} more honey a colony, at {told(a_kg, money)} a kg"


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
    net = f"it costs {told(-of.net, money)}" if of.net < 0 else f"you keep {told(of.net, money)}"
    return (
        f"{many} left unfed: if feeding lifts {points:g} in a hundred over the line {net}; "
        f"if it does nothing you keep {told(of.saved, money)}."
    )


def _rounded(amount: float) -> str:
    return f"{amount:.0f}" if amount >= 9.5 else f"{amount:.1f}".removesuffix(".0")
