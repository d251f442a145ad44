"""An ingredient or a bought feed as its label describes it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import AMINO_ACIDS, NUTRIENTS, Content, Ingredient, Trait
from breadline.knowledge.label_text import Said, possible, said
from breadline.language import say

BASES = ("as fed", "dry matter")
ALSO_CALLED = {
    "crude protein": "protein", "moisture": "water", "crude fat": "fat", "oil": "fat", "crude ash": "ash",
    "crude fibre": "fibre", "crude fiber": "fibre", "fiber": "fibre", "sugar": "sugars",
    "linoleic acid": "linoleic", "alpha-linolenic acid": "linolenic",
    "lysine": "lys", "methionine": "met", "cystine": "cys",
    "threonine": "thr", "tryptophan": "trp", "arginine": "arg", "histidine": "his", "isoleucine": "ile",
    "leucine": "leu", "phenylalanine": "phe", "valine": "val",
}  # fmt: skip
PARTS = ("water", "fat", "ash", "fibre", "sugars", "starch")  # with protein, all that 100 g can hold
INSIDE = {"fat": ("linoleic", "linolenic"), "sugars": ("lactose",), "ash": (
    "sodium", "potassium", "calcium", "phosphorus", "zinc")}  # fmt: skip
# Crude protein counts more grams than the protein weighs: by 6.25 / 5.70 at most, in wheat.
LEAST_FACTOR = 5.70
FACTORS = (5.0, 7.0)  # between which every factor in use lies
ROUNDING = 1e-6


@dataclass(frozen=True)
class Label:
    """What a label says, as it is printed.

    Parameters
    ----------
    key, name
        How files and people call it; small letters, digits and low lines in the key.
    says
        Line by line, as printed: ``{"protein": "min 40 %", "sodium": "120 mg/100 g"}``,
        or already read. Names as in ``NUTRIENTS`` and ``AMINO_ACIDS`` or as in ``ALSO_CALLED``.
    basis
        "as fed" or "dry matter"; moisture is always of the feed as it is sold.
    nitrogen_factor
        Grams of protein to a gram of nitrogen: 6.25 for "crude protein". [g/g]
    """

    key: str
    name: str
    says: Mapping[str, str | Said]
    basis: str
    nitrogen_factor: float | None
    traits: frozenset[Trait] = field(default_factory=frozenset)
    note: str = ""


def from_label(label: Label) -> Ingredient:
    """The ingredient that a label describes.

    A guaranteed "max" runs from nought to the guarantee. A guaranteed "min" runs from the
    guarantee to what room the rest of the label leaves in 100 g: the label promises no upper
    end, so none better can be known. What the label does not name stays unreported.

    Errors
    ------
    RecipeError
        Where a line has no number or unit, is below 0 or over 100 %, or named twice or not known;
        where protein or its basis or factor is left out; where the parts sum to more than 100 %.
    """
    _check_named(label)
    lines = lines_of(label)
    factor = _factor(label)
    if "protein" not in lines:
        raise _error(
            label, say("says nothing of protein"), say("a line such as protein: min 40 %"), say("Copy it too")
        )
    lines = _as_fed(label, lines)
    _check_sum(label, lines, factor)
    protein = _content(lines, "protein", factor)
    nutrients = {name: _scaled(name, _content(lines, name, factor)) for name in NUTRIENTS if name in lines}
    return Ingredient(
        label.key, label.name, factor, protein, MappingProxyType(nutrients), _amino_acids(label, lines),
        label.traits, "own_label", "itself", label.note,
    )  # fmt: skip


def _check_named(label: Label) -> None:
    if not re.fullmatch(r"[a-z][a-z0-9_]*", label.key):
        raise RecipeError(
            "key",
            say('"{key}" is no key', key=label.key),
            say("small letters, digits and low lines"),
            say("Write for example my_feed"),
        )
    if not label.name.strip():
        raise RecipeError(
            "name", say("is empty"), say("the name on the bag"), say("Give the ingredient a name")
        )
    if label.basis not in BASES:
        raise _error(
            label,
            say('"{basis}" is no basis', basis=label.basis) if label.basis else say("states no basis"),
            say(" or ").join(BASES),
            say("Most labels state their feed as fed, that is, as sold"),
        )


def lines_of(label: Label) -> dict[str, Said]:
    """What a label says, by the names of ``NUTRIENTS`` and ``AMINO_ACIDS`` and "protein". [g/100 g]

    Errors
    ------
    RecipeError
        Where a line is not known, is there twice, or cannot be.
    """
    lines: dict[str, Said] = {}
    for written, text in label.says.items():
        plain = written.strip().lower().replace("_", " ")
        name = ALSO_CALLED.get(plain, plain)
        where = f"{label.name}, {written}"
        if name not in NUTRIENTS and name not in AMINO_ACIDS and name != "protein":
            known = ", ".join(("protein", *NUTRIENTS))
            raise RecipeError(
                where, say("is not a line that is known"), known, say("Leave the line out, or mend its name")
            )
        if name in lines:
            raise RecipeError(
                where, say("is there twice"), say("each line once"), say("Take one of the two out")
            )
        lines[name] = said(where, text) if isinstance(text, str) else possible(where, text)
    return lines


def _factor(label: Label) -> float:
    factor = label.nitrogen_factor
    least, most = FACTORS
    if factor is None:
        raise _error(
            label,
            say("does not say how protein was worked out from nitrogen"),
            say("a nitrogen factor"),
            say(
                'Write 6.25 for "crude protein"; food labels of soy may use 5.71, of milk 6.38, of wheat 5.70'
            ),
        )
    if not least <= factor <= most:
        raise _error(
            label,
            say("a nitrogen factor of {factor:g} is none", factor=factor),
            say("{least:g} to {most:g}", least=least, most=most),
            say("Write 6.25"),
        )
    return factor


def _as_fed(label: Label, lines: dict[str, Said]) -> dict[str, Said]:
    """Everything per 100 g as fed."""
    if label.basis == "as fed":
        return lines
    water = lines.get("water")
    if water is None or water.high is None:
        raise _error(
            label, say("is on dry matter but says nothing of the most moisture"),
            say("a line such as moisture: max 8 %"), say("Copy it too, or state the label as fed"),
        )  # fmt: skip
    driest, wettest = 1.0 - (water.low or 0.0) / 100.0, 1.0 - water.high / 100.0
    return {
        name: line if name == "water" else Said(_times(line.low, wettest), _times(line.high, driest))
        for name, line in lines.items()
    }


def _times(value: float | None, by: float) -> float | None:
    return None if value is None else value * by


def _check_sum(label: Label, lines: Mapping[str, Said], factor: float) -> None:
    together = _taken(lines, factor)
    if together > 100.0 + ROUNDING:
        raise _error(
            label, say("its lines sum to at least {together:.1f} %", together=together), say("at most 100 %"),
            say("Look for a wrong unit, or a line that is on another basis"),
        )  # fmt: skip
    for whole, inner in INSIDE.items():
        most = lines[whole].high if whole in lines else None
        least = sum(lines[name].low or 0.0 for name in inner if name in lines)
        if most is not None and least > most + ROUNDING:
            names = " and ".join(name for name in inner if name in lines)
            raise _error(
                label,
                say(
                    "{least:g} % of {names} is more than all its {whole}, {most:g} %",
                    least=least,
                    names=names,
                    whole=whole,
                    most=most,
                ),
                say("no more than the {whole}", whole=whole),
                say("Look for a wrong unit"),
            )


def _taken(lines: Mapping[str, Said], factor: float, but: str = "") -> float:
    """Grams of 100 g that the lines take at least, without one of them."""
    parts = sum(lines[name].low or 0.0 for name in PARTS if name in lines and name != but)
    protein = 0.0 if but == "protein" else (lines["protein"].low or 0.0) * weighs(factor)
    return parts + protein


def weighs(factor: float) -> float:
    """Grams of protein that are sure in a gram of it on a nitrogen factor."""
    return min(1.0, LEAST_FACTOR / factor)


def _content(lines: Mapping[str, Said], name: str, factor: float) -> Content:
    line = lines[name]
    low = line.low or 0.0
    return Content(low, _room(lines, name, factor) if line.high is None else line.high)


def _room(lines: Mapping[str, Said], name: str, factor: float) -> float:
    """The most of one line that the others leave room for. [g/100 g]"""
    for whole, inner in INSIDE.items():
        if name in inner and whole in lines and lines[whole].high is not None:
            return _content(lines, whole, factor).high
    room = 100.0 - _taken(lines, factor, but=name)
    return min(100.0, room / weighs(factor)) if name == "protein" else room


def _scaled(name: str, content: Content) -> Content:
    return Content(1000.0 * content.low, 1000.0 * content.high) if NUTRIENTS[name] == "mg" else content


def _amino_acids(label: Label, lines: Mapping[str, Said]) -> Mapping[str, Content]:
    found: dict[str, Content] = {}
    for name in AMINO_ACIDS:
        if name in lines:
            low, high = lines[name].low, lines[name].high
            if low is None or high is None:
                raise _error(
                    label,
                    say("{name} is only a min or a max", name=name),
                    say("a number"),
                    say("Leave amino acids out that are guarantees"),
                )
            found[name] = Content(low, high)
    return MappingProxyType(found)


def _error(label: Label, what: str, expected: str, do: str) -> RecipeError:
    return RecipeError(f"label of {label.name}", what, expected, do)
