"""The ingredients of a recipe file: the shipped table and the file's own, by their labels."""

from __future__ import annotations

from collections.abc import Mapping
from typing import cast

from breadline.errors import RecipeError
from breadline.jobs.recipe_written import Label, OwnIngredient, RecipeFile
from breadline.knowledge.ingredient import Content, Ingredient, Trait
from breadline.knowledge.ingredients import ingredients

LABEL = "label"  # key of the source: what is printed on the bag
NOTHING = Content(0.0, 0.0)


def all_ingredients(
    recipe: RecipeFile, shipped: Mapping[str, Ingredient] | None = None
) -> dict[str, Ingredient]:
    """The shipped ingredients and those of the file, by key."""
    known = dict(ingredients() if shipped is None else shipped)
    return known | {one.key: ingredient_of(one) for one in recipe.own}


def ingredient_of(own: OwnIngredient) -> Ingredient:
    """An ingredient by its label; figures of dry matter are turned to as fed by the label's own water.

    Errors
    ------
    RecipeError
        If the protein is not stated, or a figure is of dry matter and the water is not stated.
    """
    label = own.label
    where = f"ingredient {own.key}"
    if label.protein is None or label.protein_factor is None:
        raise RecipeError(
            where, "its protein is not stated", "protein_pct, basis and protein_factor",
            "Write 0 only where there is none, as in sugar or oil",
        )  # fmt: skip
    dry = _dry(label, where)
    nutrients = {
        name: content if name == "water" else _as_fed(content, dry)
        for name, content in label.nutrients.items()
    }
    traits = frozenset(cast(Trait, trait) for trait in label.traits)
    if traits and "dairy" not in traits:  # no traits is nothing said
        nutrients.setdefault("lactose", NOTHING)
    bulk = None if label.bulk_kg_per_l is None else Content(label.bulk_kg_per_l, label.bulk_kg_per_l)
    return Ingredient(
        own.key, own.name, label.protein_factor, _as_fed(label.protein, dry), nutrients,
        {name: _as_fed(Content(one, one), dry).middle for name, one in label.amino_acids.items()},
        traits, LABEL, "itself", own.note, bulk,
    )  # fmt: skip


def _dry(label: Label, where: str) -> Content:
    """Dry matter of 100 g as fed where the label is of dry matter, else the whole. [g/100 g]"""
    if label.basis == "as fed":
        return Content(100.0, 100.0)
    water = label.nutrients.get("water")
    if water is None:
        raise RecipeError(
            where, "its label is of dry matter and its water is not stated", "water_pct, as fed",
            "Read the moisture on the label, or ask the seller",
        )  # fmt: skip
    return Content(100.0 - water.high, 100.0 - water.low)


def _as_fed(content: Content, dry: Content) -> Content:
    return Content(content.low * dry.low / 100.0, content.high * dry.high / 100.0)
