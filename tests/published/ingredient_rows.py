"""Cells of the table of ingredients, put into the shape in which others print them."""

from __future__ import annotations

from breadline.knowledge.amino_pattern import pattern
from breadline.knowledge.ingredients import ingredients

CUP_ML = 236.588


def crude_protein(key: str) -> float:
    """Protein on N × 6.25, where it is one number. [g/100 g]"""
    found = ingredients()[key].crude_protein
    assert found.exact
    return found.low


def protein(key: str) -> float:
    """Protein on the row's own factor, where it is one number. [g/100 g]"""
    found = ingredients()[key].protein
    assert found.exact
    return found.low


def content(key: str, nutrient: str) -> float:
    """One cell, where it is one number. [its unit]"""
    found = ingredients()[key].content(nutrient)
    assert found is not None
    assert found.exact
    return found.low


def cup_g(key: str, end: str) -> float:
    """What a cup weighs, from the low or the high end of the bulk density. [g]"""
    bulk = ingredients()[key].bulk_g_per_ml
    assert bulk is not None
    return CUP_ML * getattr(bulk, end)


def least_of_the_pattern() -> float:
    """The smallest of the ten. [% of digested protein]"""
    return min(pattern().percent.values())


def most_of_the_pattern() -> float:
    """The largest of the ten. [% of digested protein]"""
    return max(pattern().percent.values())


def of_the_pattern(amino_acid: str) -> float:
    """One of the ten. [% of digested protein]"""
    return pattern().percent[amino_acid]
