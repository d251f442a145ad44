"""What a difference is worth, and what it has to be to cover the cost of feeding."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Protocol

from breadline.errors import TrialError


class Path(Protocol):
    """How an effect becomes money."""

    def money(self, effect: float) -> float:
        """Money a colony [money] for an effect [unit of the outcome]."""
        ...

    def break_even(self, cost: float) -> float:
        """Effect [unit of the outcome] that brings in a cost [money]."""
        ...


@dataclass(frozen=True)
class ByUnit:
    """So much for each frame, or for each pound of honey. [money per unit of the outcome]"""

    price: float

    def __post_init__(self) -> None:
        if not 0 < self.price < float("inf"):
            raise TrialError("price", f"{self.price:g}", "more than 0", "What is one more worth to you?")

    def money(self, effect: float) -> float:
        """Money a colony [money] for an effect [unit of the outcome]."""
        return self.price * effect

    def break_even(self, cost: float) -> float:
        """Effect [unit of the outcome] that brings in a cost [money]."""
        return cost / self.price


@dataclass(frozen=True)
class Worth:
    """The money of a comparison.

    Parameters
    ----------
    cost
        Of feeding one colony: feed, work, trips. [money]
    path
        How an effect becomes money.
    unit
        "$", "€" or a code such as "CHF".
    """

    cost: float
    path: Path
    unit: str

    def __post_init__(self) -> None:
        if not 0 <= self.cost < float("inf"):
            raise TrialError("cost", f"{self.cost:g}", "0 or more", "What did feeding one colony cost?")

    def left_over(self, effect: float) -> float:
        """What an effect [unit of the outcome] brings in over the cost of a colony [money]."""
        return self.path.money(effect) - self.cost

    @property
    def break_even(self) -> float:
        """Effect that covers the cost. [unit of the outcome]"""
        return self.path.break_even(self.cost)
