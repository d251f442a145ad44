"""What an ingredient may contain of something that nobody reported: from nought to what is left of it.

A blank is never nought. What can be ruled out is: no ingredient holds more than its 100 g; fatty acids
are part of its fat, minerals of its ash, lactose of its sugars; and lactose comes from milk only.
"""

from __future__ import annotations

from breadline.knowledge.ingredient import NUTRIENTS, Content, Ingredient
from breadline.knowledge.label import weighs

_PARTS = ("water", "fat", "ash", "fibre", "sugars", "starch")  # with protein they are the 100 g
_INSIDE = {
    "linoleic": "fat", "linolenic": "fat", "lactose": "sugars", "sodium": "ash", "potassium": "ash",
    "calcium": "ash", "phosphorus": "ash", "zinc": "ash",
}  # fmt: skip


def possible_content(ingredient: Ingredient, nutrient: str) -> Content:
    """One of ``NUTRIENTS`` per 100 g as fed: as reported, else what is possible. [unit of ``NUTRIENTS``]"""
    reported = ingredient.content(nutrient)
    if reported is not None:
        return reported
    if nutrient == "lactose" and ingredient.traits and "dairy" not in ingredient.traits:
        return Content(0.0, 0.0)
    return Content(0.0, _room(ingredient, nutrient) * (1000.0 if NUTRIENTS[nutrient] == "mg" else 1.0))


def possible_amino_acid(ingredient: Ingredient, name: str) -> Content:
    """One of ``AMINO_ACIDS``: as reported, else up to the protein that no other one takes. [g/100 g]"""
    reported = ingredient.amino_acid(name)
    return Content(0.0, unnamed_protein(ingredient)) if reported is None else reported


def unnamed_protein(ingredient: Ingredient) -> float:
    """Most crude protein that none of the reported amino acids accounts for. [g/100 g]"""
    if not ingredient.amino_acids:
        return ingredient.protein.high * unnamed_part(ingredient)
    most = max(ingredient.protein.high, ingredient.crude_protein.high)
    return max(0.0, most - sum(held.low for held in ingredient.amino_acids.values()))


def unnamed_part(ingredient: Ingredient) -> float:
    """The same over the protein on its own factor; not for a label's own amino acids. [g/g]"""
    most = max(1.0, 6.25 / ingredient.nitrogen_factor)
    return max(0.0, most - sum(ingredient.acid_shares.values()))


def _room(ingredient: Ingredient, nutrient: str) -> float:
    """Grams of 100 g that a blank may fill."""
    inside = _INSIDE.get(nutrient)
    if inside is None:
        return _left(ingredient)
    whole = ingredient.content(inside)
    most = _left(ingredient) if whole is None else whole.high
    others = [name for name, home in _INSIDE.items() if home == inside and name != nutrient]
    return max(0.0, most - sum(_grams(ingredient, name) for name in others))


def _left(ingredient: Ingredient) -> float:
    protein = ingredient.protein.low * weighs(ingredient.nitrogen_factor)
    taken = protein + sum(_grams(ingredient, name) for name in _PARTS)
    return max(0.0, 100.0 - taken)


def _grams(ingredient: Ingredient, name: str) -> float:
    reported = ingredient.content(name)
    if reported is None:
        return 0.0
    return reported.low / (1000.0 if NUTRIENTS[name] == "mg" else 1.0)
