"""Pollen as loads, trips, protein and bees: the conversions between what sources print.

Every figure comes in as an argument.
"""

from __future__ import annotations

from breadline.errors import FigureError
from breadline.language import say


def load_mg(pellet_mg: float) -> float:
    """One bee's load: the two pellets on her legs [mg]."""
    return 2.0 * pellet_mg


def trips(pollen_kg: float, one_load_mg: float) -> float:
    """Pollen trips that bring in this much [trips]."""
    return pollen_kg * 1e6 / _above_zero("load", one_load_mg)


def bees_reared(pollen: float, mg_per_bee: float) -> float:
    """Bees that ``pollen`` kilograms rear at ``mg_per_bee`` each [bees]."""
    return pollen * 1e6 / _above_zero("pollen per bee", mg_per_bee)


def pollen_for_protein_g(protein_g: float, crude_protein_pct: float) -> float:
    """Pollen that holds this much crude protein [g]."""
    return protein_g * 100.0 / _above_zero("crude protein", crude_protein_pct)


def colony_eats_g(bees: float, mg_per_bee: float) -> float:
    """What a colony eats in a day at so much a bee [g/day]."""
    return bees * mg_per_bee / 1000.0


def bee_eats_mg(colony_g: float, bees: float) -> float:
    """What one bee eats in a day when the colony eats ``colony_g`` [mg/day]."""
    return colony_g * 1000.0 / _above_zero("bees", bees)


def _above_zero(what: str, value: float) -> float:
    if not value > 0.0:
        raise FigureError(what, f"{value}", say("a value above 0"))
    return value
