"""The ingredients of a recipe file: the shipped table and the file's own, by their labels."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import isinf
from typing import cast

from breadline.errors import RecipeError
from breadline.jobs.recipe_written import OwnIngredient, RecipeFile
from breadline.knowledge import label as printed
from breadline.knowledge.ingredient import NUTRIENTS, Content, Ingredient, Trait
from breadline.knowledge.ingredients import ingredients
from breadline.knowledge.label_text import Said
from breadline.language import say


def all_ingredients(
    recipe: RecipeFile, shipped: Mapping[str, Ingredient] | None = None
) -> dict[str, Ingredient]:
    """The shipped ingredients and those of the file, by key.

    Errors
    ------
    RecipeError
        As ``ingredient_of``.
    """
    known = dict(ingredients() if shipped is None else shipped)
    return known | {one.key: ingredient_of(one) for one in recipe.own}


def ingredient_of(own: OwnIngredient) -> Ingredient:
    """An ingredient by its label; figures of dry matter are turned to as fed by the label's own water.

    Errors
    ------
    RecipeError
        If the protein is not stated, a figure is of dry matter and the water is not stated, or
        the label sums to more than the whole.
    """
    label = own.label
    if label.protein is None:
        raise RecipeError(
            f"label of {own.name}",
            say("its protein is not stated"),
            say("protein_pct, basis and protein_factor"),
            say("Write 0 only where there is none, as in sugar or oil"),
        )
    says: dict[str, str | Said] = {"protein": _line(label.protein, "g")}
    says |= {name: _line(content, NUTRIENTS[name]) for name, content in label.nutrients.items()}
    says |= {name: Said(grams, grams) for name, grams in label.amino_acids.items()}
    found = printed.from_label(
        printed.Label(
            own.key, own.name, says, label.basis, label.protein_factor,
            frozenset(cast(Trait, trait) for trait in label.traits), own.note,
        )
    )  # fmt: skip
    bulk = label.bulk_kg_per_l
    return found if bulk is None else replace(found, bulk_g_per_ml=Content(bulk, bulk))


def _line(content: Content, unit: str) -> Said:
    """A content [its unit, per 100 g] as a line of a label; an open upper end is a guaranteed least."""
    by = 1.0 if unit == "g" else 0.001
    return Said(content.low * by, None if isinf(content.high) else content.high * by)
