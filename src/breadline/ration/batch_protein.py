"""How far measuring out in buckets, bags and round weights moves the protein of a mix."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Protocol

from breadline.knowledge.ingredient import Content, Ingredient
from breadline.ration.measuring import Measured
from breadline.ration.mixing import mixed

MOST_MOVED = 0.5  # further than this it is said, and weights are offered [percentage points]

Held = Sequence[tuple[float, Content]]  # grams of each ingredient, and its crude protein per 100 g


class MeasuredOut(Protocol):
    """An ingredient, and how it is measured out."""

    @property
    def ingredient(self) -> Ingredient:
        """What it is."""
        ...

    @property
    def measured(self) -> Measured:
        """In what, and how much of it."""
        ...


def protein_of(held: Held) -> Content:
    """Crude protein of the mix as fed, N × 6.25, from the low and the high end of each ingredient. [%]"""
    whole = sum(grams for grams, _ in held)
    return Content(
        sum(grams * protein.low for grams, protein in held) / whole,
        sum(grams * protein.high for grams, protein in held) / whole,
    )


def protein_moved(exact: Held, rounded: Held) -> float:
    """Protein of the rounded mix less that of the exact one, at the end that moves further.

    [percentage points]
    """
    before, after = protein_of(exact), protein_of(rounded)
    return max(after.low - before.low, after.high - before.high, key=abs)


def protein_spread(lines: Iterable[MeasuredOut]) -> Content:
    """Crude protein as fed if buckets are as light or as heavy as they may be, each by itself. [%]"""
    weights, proteins = zip(
        *((line.measured.between, line.ingredient.crude_protein) for line in lines), strict=True
    )
    return mixed(weights, proteins)
