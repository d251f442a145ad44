"""Dates, amounts and ticks as a beekeeper reads them."""

from __future__ import annotations

import math

from breadline.language import say
from breadline.measures import Units

GRAMS_A_POUND = 453.59237  # by definition of the international pound
FRACTIONS = {0.25: "¼", 0.5: "½", 0.75: "¾"}


def plain(value: float) -> str:
    """A tick's number without trailing noughts: ``0.5``, ``12``."""
    return f"{value:.10g}"


def amount(grams: float, units: Units) -> str:
    """A weight of feed: pounds to the quarter, or grams to the ten."""
    if units == "g":
        return f"{round(grams, -1):.0f} g"
    quarters = round(grams / GRAMS_A_POUND * 4)
    whole, part = divmod(quarters, 4)
    fraction = FRACTIONS.get(part / 4, "")
    return f"{whole if whole or not fraction else ''}{fraction} lb"


def weight(grams: float, units: Units) -> str:
    """A weight as a beekeeper rounds it: half pounds, or 100 g."""
    if units == "g":
        return f"{round(grams, -2):,.0f} g" if grams >= 50 else say("under 100 g")
    halves = round(grams / GRAMS_A_POUND * 2)
    if halves == 0:
        return say("under ½ lb")
    return f"{halves // 2 or ''}{'½' if halves % 2 else ''} lb"


def per_week(grams_a_day: float, units: Units) -> float:
    """Grams a day as pounds or grams a week."""
    return grams_a_day * 7.0 / (GRAMS_A_POUND if units == "lb" else 1.0)


def ticks(top: float, most: int, steps: tuple[float, ...] = (1.0, 2.0, 2.5, 5.0, 10.0)) -> list[float]:
    """Round numbers from 0 up to at least ``top``, at most about ``most`` steps; the last is the axis top."""
    if top <= 0:
        return [0.0, 1.0]
    rough = top / most
    tens = 10.0 ** math.floor(math.log10(rough))
    step = next(s * tens for s in steps if s * tens >= rough * (1 - 1e-9))
    return [round(i * step, 10) for i in range(math.ceil(top / step - 1e-9) + 1)]
