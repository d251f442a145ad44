"""The sentence that owners repeat to each other, before any chance: what has to come of it to pay."""

from __future__ import annotations

from dataclasses import dataclass

from breadline.need.words import counted
from breadline.plan.money import told
from breadline.plan.targets import Frames, HoneyFlow, Splits, Target, WinterBees

GRAMS_A_POUND = 453.59237


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


def break_even(target: Target, cost: float, money: str, year: int) -> str:
    """ "Feeding at this cost pays if 10 more in a hundred colonies make grade."

    Parameters
    ----------
    target
        What is paid for, and how much.
    cost
        Of feeding, labour and travel. [money/colony]
    money, year
        Whose, and of which year the price of the target is.
    """
    spent = f"Feeding at {told(cost, money)} a colony pays"
    if isinstance(target, HoneyFlow):
        kg = cost / target.price.amount
        return (
            f"{spent} if it brings {_rounded(kg)} kg ({_rounded(kg * 1000 / GRAMS_A_POUND)} lb) more honey "
            f"a colony, at {told(target.price.amount, money)} a kg ({year})."
        )
    pays = target.fee.amount if isinstance(target, Frames) else target.value.amount
    if isinstance(target, Splits):
        every = pays / cost if cost else 0.0
        each = f"at {told(pays, money)} a split ({year})"
        return f"{spent} if one split more comes of every {every:.0f} colonies fed, {each}."
    points = more_in_a_hundred(cost, pays)
    if points > 100.0:
        return f"{spent} never: it is more than the {told(pays, money)} ({year}) that a colony earns."
    what = (
        "make grade" if isinstance(target, Frames) else "winter" if isinstance(target, WinterBees) else "live"
    )
    many = max(1, round(points))
    return f"{spent} if {many} more in a hundred colonies {what}, at {told(pays, money)} a colony ({year})."


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
