"""Amounts of money: never without whose money and of which year."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import isfinite

from breadline.errors import PlanError
from breadline.knowledge.price import YEARS
from breadline.language import say
from breadline.measures import halves_up, of_money


@dataclass(frozen=True)
class Amount:
    """What somebody asked, paid or was paid, in the unit that the field says."""

    amount: float  # [money]
    money: str  # such as US$
    year: int

    def checked(self, where: str, zero_is_fine: bool = False) -> Amount:
        """The same, if it can be.

        Errors: PlanError for a price of nothing, no money named, or a year that is none.
        """
        least = say("0 or more") if zero_is_fine else "above 0"
        fine = isfinite(self.amount) and (self.amount >= 0 if zero_is_fine else self.amount > 0)
        if not fine:
            raise PlanError(where, say("{amount:g} is not a price", amount=self.amount), least,
                            say("Write what you were quoted, or leave it out"))  # fmt: skip
        if not self.money.strip():
            raise PlanError(
                where, say("says not in whose money"), say("such as US$ or EUR"), say("Name the money")
            )
        if not YEARS[0] <= self.year <= YEARS[1]:
            raise PlanError(
                where,
                say("{year} is not a year", year=self.year),
                say("{years} to {years2}", years=YEARS[0], years2=YEARS[1]),
                say("Write the year of the price"),
            )
        return self

    @property
    def said(self) -> str:
        """As it is told: "US$188 (2023)"; cents below 10."""
        return f"{told(self.amount, self.money)} ({self.year})"


def told(amount: float, money: str) -> str:
    """Money rounded as people round it: cents below 10, whole above, tens above 1,000, halves up [money]."""
    size, sign = as_told(abs(amount)), "−" if amount < 0 else ""
    return of_money(f"{sign}{size:,.2f}" if 0.0 < size < 9.995 else f"{sign}{size:,.0f}", money)


def as_told(amount: float) -> float:
    """An amount from 0 up as ``told`` writes it, for what a reader works out from it [money]."""
    if amount >= 999.5:
        return halves_up(amount / 10) * 10
    return halves_up(amount, 2) if amount < 9.995 else halves_up(amount)


def to_the_cent(amount: float, money: str) -> str:
    """Money where a rounder number would tell another story, from 0 up [money]."""
    return of_money(f"{halves_up(amount, 2):,.2f}", money)


def about(amount: float, money: str) -> str:
    """Money out of a search, as surely as it is known: whole, tens above 100, halves up [money]."""
    size, sign = abs(amount), "−" if amount <= -0.5 else ""
    step = 10 if size >= 99.5 else 1
    return of_money(f"{sign}{halves_up(size / step) * step:,.0f}", money)


def one_money(amounts: Iterable[Amount | None]) -> str:
    """Whose money all of them are in.

    Errors: PlanError where they differ, since no rate of exchange is kept here.
    """
    named = {a.money for a in amounts if a is not None}
    if len(named) > 1:
        raise PlanError(
            "prices",
            say("are in {sorted}", sorted=" and ".join(sorted(named))),
            say("one money in all of them"),
            say("Turn them into one money at your own rate"),
        )
    return named.pop() if named else ""
