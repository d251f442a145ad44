"""Numbers, money and lists as a practitioner says them: one unit, and no digit that means nothing."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from breadline.knowledge.ingredient import Content
from breadline.language import noted, say, say_counted
from breadline.measures import of_money
from breadline.ration.measures import LB_G, System

PER: Mapping[str, str] = {"lb": noted("pound"), "kg": "kg"}
KG: Mapping[System, float] = {"lb": LB_G / 1000.0, "kg": 1.0}  # what prices are told of [kg]
CENTS = ("$", "€", "EUR", "USD")  # moneys told in their hundredths
_NO_CENTS = 20.0  # from here money is told without cents: a choice of words, no figure
_PARTS = ((0.125, ""), (0.375, "¼"), (0.625, "½"), (0.875, "¾"))


def roughly(content: Content) -> str:
    """A content as a beekeeper says it: whole numbers from 10, tens from 100, a range as a range."""
    low, high = _rounded(content.low), _rounded(content.high)
    if content.high >= 9.95 and 1.0 <= content.low < 9.95:
        low = f"{content.low:.0f}"  # both ends of a range are as fine as its coarser one
    return low if low == high else say("{low} to {high}", low=low, high=high)


def _rounded(value: float) -> str:
    if value >= 99.5:
        step = 10.0 ** (math.floor(math.log10(value)) - 1)
        return f"{round(value / step) * step:,.0f}"
    if value >= 9.95 or value == 0:
        return f"{value:.0f}"
    return say("under 0.1") if value < 0.05 else f"{value:.1f}".removesuffix(".0")


def percent(share: float) -> str:
    """A share in per cent: whole from 10, tenths below. [share]"""
    value = 100.0 * share
    return f"{value:.0f} %" if value >= 9.95 else f"{_rounded(value)} %"


def money(amount: float, unit: str, whole: bool = False) -> str:
    """Money as the user writes its unit; small amounts to the cent: "US$1.05", "€310", "12 kr". [money]"""
    number = f"{amount:,.0f}" if whole or amount >= _NO_CENTS else f"{amount:,.2f}"
    return of_money(number, unit)


def no_cents(low: float, high: float) -> bool:
    """Whether a range is told without cents, so that one end is no finer than the other. [money]"""
    return low >= _NO_CENTS / 2 and high >= _NO_CENTS


def price(per_kg: float, unit: str, system: System) -> str:
    """Money for a pound or a kilogram, without saying which: "US$0.81". [money/kg]"""
    return money(per_kg * KG[system], unit)


def told_apart(pair: tuple[float, float], unit: str, system: System) -> tuple[str, str]:
    """Two prices for a pound or a kilogram, in thousandths where cents hide that they differ. [money/kg]"""
    one, other = (price(each, unit, system) for each in pair)
    if one != other or pair[0] == pair[1]:
        return one, other
    one, other = (f"{each * KG[system]:,.3f}" for each in pair)
    return of_money(one, unit), of_money(other, unit)


def prices(per_kg: Content, unit: str, system: System) -> str:
    """The same of a range: "US$0.81 to US$1.05". [money/kg]"""
    ends = per_kg.low * KG[system], per_kg.high * KG[system]
    low, high = (money(end, unit, no_cents(*ends)) for end in ends)
    return low if low == high else say("{low} to {high}", low=low, high=high)


def small_money(per_kg: float, unit: str, system: System) -> str:
    """A little money for a pound or a kilogram: "½ cent", "3 cents", "US$0.24", "0.04 kr". [money/kg]"""
    value = per_kg * KG[system]
    in_cents = any(unit.endswith(mark) for mark in CENTS)
    if value >= 0.2 or not in_cents:
        return money(value, unit) if value >= 0.095 else _small(value, unit)
    cents = 100.0 * value
    if cents < 0.125:
        return say("less than ¼ cent")
    if cents < 0.875:
        return say("{part} cent", part=next(said for below, said in _PARTS if cents < below))
    return say_counted("{n} cent", "{n} cents", round(cents))


def is_less_than(per_kg: float, unit: str, system: System) -> bool:
    """Whether ``small_money`` says only that it is less than something. [money/kg]"""
    value = per_kg * KG[system]
    return value < (0.00125 if any(unit.endswith(mark) for mark in CENTS) else 0.001)


def _small(value: float, unit: str) -> str:
    if value < 0.001:
        return say("less than {small}", small=_small(0.001, unit))
    number = f"{value:.1g}"
    return of_money(number, unit)


def listed(names: Sequence[str]) -> str:
    """Names as one list; where one has a comma in it they are kept apart by semicolons."""
    if len(names) < 2:
        return "".join(names)
    mark = ";" if any("," in name for name in names) else ""
    some = f"{(mark or ',') + ' '}".join(names[:-1])
    return say("{some}{mark} and {last}", some=some, mark=mark, last=names[-1])


def capital(text: str) -> str:
    """The first letter as a sentence begins; Greek ones stay small."""
    return text if text[:1] == "ω" else text[:1].upper() + text[1:]
