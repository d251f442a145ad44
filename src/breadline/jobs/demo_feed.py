"""The feed of the demo operation: two invented recipes and an invented bought feed."""

from __future__ import annotations

from pathlib import Path

from breadline.jobs.recipe_book import RecipeBook
from breadline.jobs.recipe_file import read_recipe
from breadline.records.address import BookAt

HERE = Path(__file__).parent
PACKED = HERE / "first_recipe"  # where an installed wheel carries the example
FIRST_RECIPE = PACKED if PACKED.exists() else HERE.parents[2] / "examples" / "first-recipe"
RECIPES = (FIRST_RECIPE / "recipe.toml", HERE / "demo_recipe.toml")


def put_feed_in(path: BookAt) -> None:
    """The recipes that the demo's book at ``path`` never had, with their prices and feeds."""
    book = RecipeBook(path)
    there = {*book.names(), *(one.name for one in book.off_the_list())}
    for recipe in map(read_recipe, RECIPES):
        if recipe.name not in there:
            book.keep(recipe, "the demo")
