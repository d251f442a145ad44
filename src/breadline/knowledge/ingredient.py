"""One ingredient of a protein feed: what a kilogram of it contains, as far as anybody reported."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from breadline.knowledge.figure import Read

# Everything is per 100 g as fed. Protein stands apart, since it has two bases.
NUTRIENTS: Mapping[str, str] = {
    "water": "g", "fat": "g", "ash": "g", "fibre": "g", "sugars": "g", "lactose": "g", "starch": "g",
    "linoleic": "g", "linolenic": "g",
    "sodium": "mg", "potassium": "mg", "calcium": "mg", "phosphorus": "mg", "zinc": "mg",
}  # fmt: skip
# The ten that de Groot's pattern names, and cystine.
AMINO_ACIDS = ("arg", "his", "ile", "leu", "lys", "met", "phe", "thr", "trp", "val", "cys")

Trait = Literal[
    "syrup", "sugar", "oil", "soy", "raw soy", "dairy", "yeast", "live yeast", "egg", "starch", "salty",
    "pollen", "honey", "powder", "water", "acid", "wheat", "raw pulse",
]  # fmt: skip


@dataclass(frozen=True)
class Content:
    """How much of something there is, known to lie from ``low`` to ``high``, in the unit of its place."""

    low: float
    high: float

    @property
    def exact(self) -> bool:
        """Whether it is one number."""
        return self.low == self.high

    @property
    def middle(self) -> float:
        """Half-way between the ends."""
        return (self.low + self.high) / 2.0


@dataclass(frozen=True)
class Ingredient:
    """What is known of one ingredient, per 100 g as fed.

    Parameters
    ----------
    key, name
        How files and people call it.
    nitrogen_factor
        Grams of protein to a gram of nitrogen in ``protein``. [g/g]
    protein
        Crude protein on that factor, a range where sources differ. [g/100 g]
    nutrients
        By the names of ``NUTRIENTS``, in their units; a name that is missing was not reported,
        which is never nought.
    amino_acids
        By the names of ``AMINO_ACIDS``, where they were reported on their own, as a label does:
        the protein may move without them. [g/100 g]
    acid_shares
        Those that were reported as parts of the protein, on the factor of ``protein``: they move
        with it. An ingredient has the one or the other; both are empty where not reported. [g/g]
    traits
        What the cautions and gates go by.
    bulk_g_per_ml
        Weight of a loosely filled millilitre, where known. [g/mL]
    source, read, note
        Where the row comes from, and how it was read.
    """

    key: str
    name: str
    nitrogen_factor: float
    protein: Content
    nutrients: Mapping[str, Content]
    amino_acids: Mapping[str, Content]
    traits: frozenset[Trait]
    source: str
    read: Read
    note: str = ""
    bulk_g_per_ml: Content | None = None
    proxy_of_amino_acids: str = ""  # whose amino acids stand in, where not its own
    acid_shares: Mapping[str, float] = field(default_factory=dict)

    @property
    def crude_protein(self) -> Content:
        """Protein on N × 6.25. [g/100 g]"""
        turn = 6.25 / self.nitrogen_factor
        return Content(self.protein.low * turn, self.protein.high * turn)

    def content(self, nutrient: str) -> Content | None:
        """One of ``NUTRIENTS`` per 100 g as fed; ``None`` where not reported."""
        return self.nutrients.get(nutrient)

    @property
    def reported_acids(self) -> tuple[str, ...]:
        """Which of ``AMINO_ACIDS`` were reported."""
        return tuple(name for name in AMINO_ACIDS if name in self.acid_shares or name in self.amino_acids)

    def amino_acid(self, name: str) -> Content | None:
        """One of ``AMINO_ACIDS`` as fed; ``None`` where not reported. [g/100 g]"""
        share = self.acid_shares.get(name)
        if share is None:
            return self.amino_acids.get(name)
        return Content(share * self.protein.low, share * self.protein.high)


@dataclass(frozen=True)
class Price:
    """What somebody was asked for an ingredient or a bought feed."""

    per_kg: float  # in the user's own money [money/kg]
    money: str  # such as "US$"; as the user writes it
    year: int
    bag_kg: float | None = None  # [kg]
