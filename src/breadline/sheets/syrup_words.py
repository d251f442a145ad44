"""Syrup as a crew pours it: gallons or litres, by what the patties are told in."""

from __future__ import annotations

from math import ceil

from breadline.plan.cuts import Units
from breadline.ration.measures import GALLON_L, in_quarters


def syrup_said(litres: float, units: Units) -> str:
    """An amount to the quarter gallon or half litre, whole above 20; up, but for a tenth of a step [L]."""
    value, noun = (litres / GALLON_L, "gal") if units == "lb" else (litres, "L")
    step = 1.0 if value > 20 else 0.25 if units == "lb" else 0.5
    value = max(1, ceil(value / step - 0.1)) * step
    return f"{in_quarters(value)} {noun}"
