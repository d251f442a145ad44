"""The table of ingredients that ships with the program."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Mapping
from dataclasses import replace
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import cast

from breadline.errors import OurFault
from breadline.knowledge.amino_pattern import pattern
from breadline.knowledge.figure import Read
from breadline.knowledge.ingredient import AMINO_ACIDS, NUTRIENTS, Content, Ingredient, Trait
from breadline.knowledge.label import Label, from_label
from breadline.language import language, say, speaking

__all__ = ["Label", "content", "from_label", "ingredients", "pattern", "rows"]

FILE = "ingredients.csv"
BETWEEN = "|"  # traits of a cell
NOTHING = Content(0.0, 0.0)


def ingredients() -> Mapping[str, Ingredient]:
    """The shipped ingredients by key, in the order of the file, by their names in this language.

    A cell of the file holds a number, a range such as ``7-16``, or nothing where it was not
    reported. Two things are worked out here. Lactose, the sugar of milk, is nought in whatever
    does not come from milk. Amino acids are shares of the protein that they were reported with,
    the row's own where no other is named, or stand in from another ingredient; they move
    with the row's protein.

    Errors
    ------
    OurFault
        If the file that came with the program is damaged.
    """
    return _named(language())


def in_english(kind: Ingredient) -> str:
    """What an ingredient is called in the table, whatever language its name is in; its own name else."""
    shipped = as_printed().get(kind.key)
    return kind.name if shipped is None or kind.name != ingredients()[kind.key].name else shipped.name


@cache
def _named(code: str) -> Mapping[str, Ingredient]:
    with speaking(code):
        return MappingProxyType({key: replace(one, name=say(one.name)) for key, one in as_printed().items()})


@cache
def as_printed() -> Mapping[str, Ingredient]:
    """The same by the names of the file."""
    found: dict[str, Ingredient] = {}
    for row in rows():
        try:
            found[row["key"]] = _ingredient(row, found)
        except (KeyError, ValueError) as damage:
            raise OurFault(FILE, f"row {row.get('key')} is damaged: {damage}") from damage
    return MappingProxyType(found)


def rows() -> Iterable[dict[str, str]]:
    """Rows of the file as they stand there."""
    text = (files("breadline.knowledge") / FILE).read_text("utf-8")
    return csv.DictReader(text.splitlines())


def content(cell: str) -> Content | None:
    """What a cell of the file says, in the unit of its column; ``None`` where it is blank."""
    if not cell:
        return None
    low, _, high = cell.partition("-")
    return Content(float(low), float(high or low))


def _ingredient(row: Mapping[str, str], before: Mapping[str, Ingredient]) -> Ingredient:
    protein = content(row["protein"])
    if protein is None:
        raise ValueError("no protein")
    traits = frozenset(cast(Trait, trait) for trait in row["traits"].split(BETWEEN) if trait)
    return Ingredient(
        row["key"], row["name"], float(row["nitrogen_factor"]), protein, _nutrients(row, traits),
        MappingProxyType({}), traits, row["source"], cast(Read, row["read"]), row["note"],
        content(row["bulk_g_per_ml"]), row["amino_acids_of"], _acid_shares(row, protein, before),
    )  # fmt: skip


def _nutrients(row: Mapping[str, str], traits: frozenset[Trait]) -> Mapping[str, Content]:
    said = {name: found for name in NUTRIENTS if (found := content(row[name])) is not None}
    if "dairy" not in traits:
        said.setdefault("lactose", NOTHING)
    return MappingProxyType(said)


def _acid_shares(
    row: Mapping[str, str], protein: Content, before: Mapping[str, Ingredient]
) -> Mapping[str, float]:
    """Amino acids over the protein of the row, on its own factor. [g/g]"""
    if row["amino_acids_of"]:
        other = before[row["amino_acids_of"]]
        turn = other.nitrogen_factor / float(row["nitrogen_factor"])
        return MappingProxyType({name: share * turn for name, share in other.acid_shares.items()})
    reported_with = float(row["amino_acids_with"] or protein.middle)
    said = {name: float(row[name]) / reported_with for name in AMINO_ACIDS if row[name]}
    return MappingProxyType(said)
