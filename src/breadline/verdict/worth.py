"""The money of a comparison: what a difference leaves over once feeding is paid for."""

from __future__ import annotations

from dataclasses import dataclass

from breadline.plan.money import Amount
from breadline.trial.value_path import ValuePath


@dataclass(frozen=True)
class Worth:
    """The money of a comparison.

    Parameters
    ----------
    cost
        Of feeding one colony: feed, work, trips. [money/colony]
    path
        How an effect becomes money.
    """

    cost: Amount
    path: ValuePath

    def __post_init__(self) -> None:
        self.cost.checked("cost", zero_is_fine=True)

    @property
    def unit(self) -> str:
        """Whose money."""
        return self.cost.money

    def left_over(self, effect: float) -> float:
        """What an effect [unit of the outcome] brings in over the cost [money/colony]."""
        return self.path.money(effect) - self.cost.amount

    @property
    def break_even(self) -> float:
        """Effect that covers the cost. [unit of the outcome]"""
        return self.path.break_even(self.cost.amount)
