"""The pattern of amino acids against which a feed's protein is held: advisory, never a limit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import cast

from breadline.knowledge.data import shipped
from breadline.knowledge.figure import Read
from breadline.knowledge.ingredient import AMINO_ACIDS


@dataclass(frozen=True)
class AminoPattern:
    """What a protein should hold of each amino acid, and what is wrong with saying so.

    Parameters
    ----------
    name, label
        What it is called, and how every figure that rests on it is marked.
    percent
        By the names of ``AMINO_ACIDS``, without those that it does not name. [% of digested protein]
    in_short, critique
        What speaks against it: in a line, to show beside every figure that rests on it, and whole.
    source, read, note
        Where the ten come from, and how they were read.
    critique_source
        Where the critique was read.
    """

    name: str
    label: str
    percent: Mapping[str, float]
    in_short: str
    critique: tuple[str, ...]
    source: str
    read: Read
    note: str
    critique_source: str = ""


@cache
def pattern() -> AminoPattern:
    """The shipped pattern, of ten amino acids."""
    table = shipped("amino_pattern.toml")["de_groot"]
    percent = {name: float(table[name]) for name in AMINO_ACIDS if name in table}
    return AminoPattern(
        str(table["name"]), str(table["label"]), MappingProxyType(percent), str(table["in_short"]),
        tuple(table["critique"]), str(table["source"]), cast(Read, table["read"]), str(table["note"]),
        str(table["critique_source"]),
    )  # fmt: skip
