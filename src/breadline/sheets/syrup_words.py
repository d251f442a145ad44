"""Syrup as a crew pours it and sugar as it is weighed, by what the patties are told in."""

from __future__ import annotations

from math import ceil

from breadline.measures import Units
from breadline.plan.cuts import mass_words
from breadline.ration.measures import GALLON_L, in_quarters, weight_said


def syrup_said(litres: float, units: Units) -> str:
    """An amount to the quarter gallon or half litre, whole above 20; up, but for a tenth of a step [L]."""
    value, noun = (litres / GALLON_L, "gal") if units == "lb" else (litres, "L")
    step = 1.0 if value > 20 else 0.25 if units == "lb" else 0.5
    value = max(1, ceil(value / step - 0.1)) * step
    return f"{in_quarters(value)} {noun}"


def sugar_said(grams: float, units: Units) -> str:
    """Dry sugar to the quarter pound, whole from 3 lb, or in kilograms: "2¼ lb", "1 kg" [g]."""
    return mass_words(grams, units) if units == "lb" else weight_said(grams, "kg")
