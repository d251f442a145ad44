"""The desk that the pages about feed work at, and what they check before anything is kept."""

from __future__ import annotations

from collections.abc import Iterable
from urllib.parse import quote

from starlette.requests import Request

from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.recipe_ingredients import all_ingredients
from breadline.jobs.recipe_written import RecipeFile
from breadline.web.opened import place_of


def desk_of(request: Request) -> FeedDesk:
    """The desk over the book of this app."""
    return FeedDesk(place_of(request))


def path_of(name: str) -> str:
    """A name as the end of an address."""
    return quote(name, safe="")


def ingredient_choices(own: Iterable[RecipeFile]) -> list[tuple[str, str]]:
    """Keys and names of what can go into a recipe, by name; the own ingredients of ``own`` among them."""
    known: dict[str, str] = {}
    for file in own:
        known |= {key: kind.name for key, kind in all_ingredients(file).items()}
    return sorted(known.items(), key=lambda pair: pair[1].casefold())
