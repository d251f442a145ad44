"""Weights and volumes as a mixing room writes them: in pounds and US gallons, or in kilograms and litres."""

from __future__ import annotations

from collections.abc import Mapping
from math import floor, isfinite
from typing import Literal

System = Literal["lb", "kg"]

LB_G = 453.59237  # exact by definition [g]
OZ_G = LB_G / 16  # [g]
GALLON_L = 3.785411784  # US liquid gallon, exact by definition [L]
GRAMS: Mapping[str, float] = {"lb": LB_G, "oz": OZ_G, "kg": 1000.0, "g": 1.0, "t": 1e6}
# steps that scales and scoops are read in, coarsest first; a weight takes the first one that is fine enough
STEPS: Mapping[System, tuple[float, ...]] = {
    "lb": (LB_G / 2, OZ_G, OZ_G / 4, 1.0, 0.1),
    "kg": (100.0, 10.0, 1.0, 0.1),
}
FINE_ENOUGH = 20  # a step is at most this part of the weight: rounding moves it by 2.5 % at most (judged)

_QUARTERS = ("", "¼", "½", "¾")


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
