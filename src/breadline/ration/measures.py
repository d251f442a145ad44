"""Weights and volumes as a mixing room writes them: in pounds and US gallons, or in kilograms and litres."""

from __future__ import annotations

import re
from collections.abc import Mapping
from math import floor, isfinite
from typing import Literal

from breadline.errors import RecipeError

System = Literal["lb", "kg"]

LB_G = 453.59237  # exact by definition [g]
OZ_G = LB_G / 16  # [g]
GALLON_L = 3.785411784  # US liquid gallon, exact by definition [L]
GRAMS: Mapping[str, float] = {
    "lb": LB_G, "lbs": LB_G, "pound": LB_G, "pounds": LB_G, "oz": OZ_G, "ounce": OZ_G, "ounces": OZ_G,
    "kg": 1000.0, "g": 1.0, "gram": 1.0, "grams": 1.0, "t": 1e6,
}  # fmt: skip
LITRES: Mapping[str, float] = {
    "us gal": GALLON_L, "gal": GALLON_L, "gallon": GALLON_L, "gallons": GALLON_L, "us gallons": GALLON_L,
    "qt": GALLON_L / 4, "pt": GALLON_L / 8, "l": 1.0, "litre": 1.0, "litres": 1.0, "liter": 1.0,
    "liters": 1.0, "ml": 0.001,
}  # fmt: skip
# steps that scales and scoops are read in, coarsest first; a weight takes the first one that is fine enough
STEPS: Mapping[System, tuple[float, ...]] = {
    "lb": (LB_G / 2, OZ_G, OZ_G / 4, 1.0, 0.1),
    "kg": (100.0, 10.0, 1.0, 0.1),
}
FINE_ENOUGH = 20  # a step is at most this part of the weight: rounding moves it by 2.5 % at most (judged)

_FRACTIONS = {"¼": 0.25, "½": 0.5, "¾": 0.75}
_QUARTERS = ("", "¼", "½", "¾")
_WRITTEN = re.compile(r"^\s*(\d+(?:\.\d+)?|\.\d+)?\s*([¼½¾]|\d+/\d+)?\s*([a-z ]*?)\.?\s*$", re.I)


def grams_of(text: str, where: str) -> float:
    """A weight as it is written, such as "300 lb", "1½ lb", "12 oz" or "140 kg". [g]

    Errors
    ------
    RecipeError
        If there is no number above 0, or its unit is left out or is none of ``GRAMS``.
    """
    return _measured(text, where, GRAMS, "lb, oz, kg or g", "300 lb")


def litres_of(text: str, where: str) -> float:
    """A volume as it is written, such as "4¼ gal" (US) or "18 L". [L]

    Errors
    ------
    RecipeError
        If there is no number above 0, or its unit is left out or is none of ``LITRES``.
    """
    return _measured(text, where, LITRES, "gal, qt, pt (US), L or mL", "4.3 gal")


def _measured(text: str, where: str, units: Mapping[str, float], known: str, such_as: str) -> float:
    match = _WRITTEN.match(text)
    if match is None or not (match[1] or match[2]):
        raise RecipeError(where, f"“{text}” is no amount", f"a number and its unit, such as {such_as}",
                          "Write decimals with a point")  # fmt: skip
    unit = " ".join(match[3].lower().split())
    if unit not in units:
        what = f"the unit “{match[3]}” is not known here" if unit else f"“{text.strip()}” has no unit"
        raise RecipeError(where, what, f"one of {known}", f"Write it behind the number, such as {such_as}")
    number = float(match[1] or 0) + _fraction(match[2] or "")
    if not 0 < number < 1e9:
        raise RecipeError(where, f"{text.strip()} is no amount", "more than 0", "Check the number")
    return number * units[unit]


def _fraction(text: str) -> float:
    if "/" in text:
        above, below = (int(part) for part in text.split("/"))
        return above / below if below else 0.0
    return _FRACTIONS.get(text, 0.0)


def step_for(grams: float, system: System, finer: int = 0) -> float:
    """The step that a weight is rounded to, ``finer`` places down the ladder from the practical one. [g]"""
    steps = STEPS[system]
    fits = next((n for n, step in enumerate(steps) if step * FINE_ENOUGH <= grams), len(steps) - 1)
    return steps[min(fits + finer, len(steps) - 1)]


def rounded_weight(grams: float, system: System, finer: int = 0) -> float:
    """A weight as it can be read off a scale; never rounded away to nothing. [g]"""
    step = step_for(grams, system, finer)
    return max(1, floor(grams / step + 0.5)) * step


def in_quarters(count: float) -> str:
    """A count to the quarter: 2.5 as "2½". [1]"""
    whole, rest = divmod(floor(abs(count) * 4 + 0.5), 4)
    return f"{f'{whole:,}' if whole or not rest else ''}{_QUARTERS[rest]}"


def weight_said(grams: float, system: System, per: float | None = None) -> str:
    """A weight as a mixing room says it: "83 lb", "8½ lb", "1 lb 4 oz", "37.7 kg", "250 g". [g]

    ``per`` is the step it was rounded to [g]; without it the practical one.
    """
    if not isfinite(grams):
        return "not known"
    step = step_for(abs(grams), system) if per is None else per
    grams = floor(grams / step + 0.5) * step
    if system == "kg":
        return _kilograms(grams, step)
    return _pounds(grams, step)


def _kilograms(grams: float, step: float) -> str:
    if grams >= 1000:
        places = 1 if step >= 100 else 2 if step >= 10 else 3
        return f"{grams / 1000:,.{places}f}".rstrip("0").rstrip(".") + " kg"
    return f"{grams:.1f}".removesuffix(".0") + " g"


def _pounds(grams: float, step: float) -> str:
    if step < OZ_G / 4 - 1e-9:
        return f"{grams:.1f}".removesuffix(".0") + " g"
    if step > OZ_G * 1.5:
        return f"{in_quarters(grams / LB_G)} lb"
    pounds, ounces = divmod(round(grams / OZ_G * 4) / 4, 16)
    small = f"{in_quarters(ounces)} oz" if ounces else ""
    return " ".join(part for part in (f"{pounds:,.0f} lb" if pounds else "", small) if part) or "0 oz"


def volume_said(litres: float, system: System) -> str:
    """A volume roughly, as a jug is filled: "1¼ gal", "3 pt", "4.5 L", "250 mL". [L]"""
    if system == "lb":
        gallons = litres / GALLON_L
        if gallons >= 1:
            return f"{in_quarters(gallons)} gal"
        return f"{in_quarters(gallons * 8)} pt" if gallons * 8 >= 0.25 else f"{litres * 1000:.0f} mL"
    return f"{round(litres * 2) / 2:g} L" if litres >= 2 else f"{round(litres * 100) * 10} mL"
