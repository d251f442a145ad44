"""Syrup as a crew pours it and sugar as it is weighed, by what the patties are told in."""

from __future__ import annotations

from math import ceil

from breadline.measures import Units
from breadline.plan.cuts import GRAMS_A_POUND, mass_words
from breadline.ration.measures import GALLON_L, in_quarters, weight_said

HALF_L = 0.5  # [L]


def syrup_said(litres: float, units: Units) -> str:
    """An amount to the quarter gallon or half litre, whole above 20; up, but for a tenth of a step [L]."""
    value, noun = (litres / GALLON_L, "gal") if units == "lb" else (litres, "L")
    step = 1.0 if value > 20 else 0.25 if units == "lb" else 0.5
    value = max(1, ceil(value / step - 0.1)) * step
    return f"{in_quarters(value)} {noun}"


def syrup_each_said(litres: float, units: Units) -> str:
    """What one colony gets, as it is poured: "¼ qt", "1½ gal", "0.3 L", "2½ L" [L]."""
    step = _pour_step(litres, units)
    count = max(1, round(litres / step))
    if units == "lb":
        return f"{in_quarters(count * 0.25)} {'gal' if step == GALLON_L / 4 else 'qt'}"
    said = in_quarters(count * step) if step == HALF_L else f"{count * step:.1f}".removesuffix(".0")
    return f"{said} L"


def poured(litres: float, units: Units) -> float:
    """The same as an amount, so that a load is as much as all colonies of it get [L]."""
    step = _pour_step(litres, units)
    return max(1, round(litres / step)) * step if litres > 0.0 else 0.0


def weighed(grams: float, units: Units) -> float:
    """Dry sugar of one colony as it is weighed out, for the same reason [g]."""
    if units == "lb":
        step = GRAMS_A_POUND if grams >= 3.0 * GRAMS_A_POUND else GRAMS_A_POUND / 4.0
    else:
        step = 500.0 if grams >= 2000.0 else 100.0
    return max(1, round(grams / step)) * step if grams > 0.0 else 0.0


def _pour_step(litres: float, units: Units) -> float:
    if units == "lb":
        return GALLON_L / 4.0 if litres >= GALLON_L else GALLON_L / 16.0  # a quarter of a quart
    return HALF_L if litres >= 2.0 else 0.1


def sugar_said(grams: float, units: Units) -> str:
    """Dry sugar to the quarter pound, whole from 3 lb, or in kilograms: "2¼ lb", "1 kg" [g]."""
    return mass_words(grams, units) if units == "lb" else weight_said(grams, "kg")
