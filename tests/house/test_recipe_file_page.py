"""Every key, unit and trait of the recipe file has its word in docs/guide/recipe-file.md."""

from __future__ import annotations

import re
from typing import get_args

from breadline.jobs import recipe_file, recipe_tables
from breadline.knowledge.ingredient import AMINO_ACIDS, Trait
from house import tree

PAGE = (tree.ROOT / "docs" / "guide" / "recipe-file.md").read_text(encoding="utf-8")
TABLES = {
    "": recipe_file.TOP, "part": recipe_tables.PART, "ingredient": recipe_tables.INGREDIENT,
    "feed": recipe_tables.FEED, "price": recipe_tables.PRICE, "target": recipe_tables.TARGET,
    "solve": recipe_tables.SOLVE, "mixing": recipe_tables.MIXING, "pollen": recipe_tables.POLLEN,
    "known": recipe_tables.KNOWN,
}  # fmt: skip


def on_the_page() -> dict[str, set[str]]:
    """Keys in the first column, by the heading above them."""
    found: dict[str, set[str]] = {"": set()}
    heading = ""
    for line in PAGE.splitlines():
        if new := re.match(r"\| \*\*`\[+(\w+)\]+`\*\*", line):
            heading = new[1]
            found[heading] = set()
        elif line.startswith("| `"):
            found[heading] |= set(re.findall(r"`(\w+)`", line.split("|")[1]))
    return found


def test_the_page_names_every_key_below_its_table_and_none_that_is_gone() -> None:
    there = on_the_page()
    assert set(there) == set(TABLES)
    for heading, keys in TABLES.items():
        assert there[heading] == set(keys) - (set() if heading else set(TABLES)), heading


def test_the_page_names_every_unit_amino_acid_and_trait() -> None:
    words = (*recipe_tables.UNITS, *recipe_tables.BASES)
    assert not [word for word in words if f'"{word}"' not in PAGE]
    assert not [word for word in (*AMINO_ACIDS, *get_args(Trait)) if f"`{word}`" not in PAGE]
