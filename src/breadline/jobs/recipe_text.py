"""A recipe written as the text of a recipe file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from math import isinf
from typing import Any

from breadline.jobs.recipe_written import Known, OwnIngredient, RecipeFile, Solving
from breadline.jobs.yard_text import section
from breadline.knowledge.ingredient import AMINO_ACIDS, NUTRIENTS, Content


def recipe_to_toml(recipe: RecipeFile) -> str:
    """The recipe as the text of a file that ``read_recipe`` reads back to the same recipe."""
    top = {"name": recipe.name, "note": recipe.note or None, "country": recipe.country or None}
    parts = [section("", top).strip()]
    parts += [section("[[part]]", _facts(one)) for one in recipe.amounts]
    parts += [section("[[ingredient]]", _own(one)) for one in recipe.own]
    parts += [section("[[feed]]", _facts(one)) for one in recipe.feeds]
    parts += [section("[[price]]", _facts(one)) for one in recipe.quotes]
    parts += [section("[[target]]", _facts(one)) for one in recipe.aims]
    if recipe.solving != Solving():
        parts.append(section("[solve]", _facts(recipe.solving)))
    if recipe.mixing is not None:
        parts.append(section("[mixing]", _facts(recipe.mixing)))
    if recipe.pollen is not None:
        parts.append(section("[pollen]", _facts(recipe.pollen)))
    if recipe.known != Known():
        parts.append(section("[known]", _facts(recipe.known)))
    return "\n\n".join(part for part in parts if part) + "\n"


def _facts(thing: Any) -> dict[str, Any]:
    """Each field that says something."""
    found = {one.name: getattr(thing, one.name) for one in fields(thing)}
    return {key: None if value in ("", ()) else value for key, value in found.items()}


def _own(one: OwnIngredient) -> Mapping[str, Any]:
    label = one.label
    written: dict[str, Any] = {"key": one.key, "name": one.name, "note": one.note or None}
    written |= {"basis": label.basis, "protein_pct": _span(label.protein)}
    written["protein_factor"] = label.protein_factor
    for name, unit in NUTRIENTS.items():
        written[f"{name}_pct" if unit == "g" else f"{name}_mg"] = _span(label.nutrients.get(name))
    told = {name: label.amino_acids[name] for name in AMINO_ACIDS if name in label.amino_acids}
    written["amino_acids"] = told or None
    return written | {"traits": label.traits, "bulk_kg_per_l": label.bulk_kg_per_l}


def _span(content: Content | None) -> Any:
    if content is None:
        return None
    if isinf(content.high):
        return f"min {content.low!r}"
    return content.low if content.exact else [content.low, content.high]
