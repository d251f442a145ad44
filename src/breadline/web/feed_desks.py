"""The desk that the pages about feed work at, and what they check before anything is kept."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import cast
from urllib.parse import quote

from starlette.requests import Request

from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.recipe_ingredients import all_ingredients
from breadline.jobs.recipe_written import BoughtFeed, OwnIngredient, RecipeFile
from breadline.knowledge.countries import law_of
from breadline.ration.refused import refusals
from breadline.ration.remark import Remark


def desk_of(request: Request) -> FeedDesk:
    """The desk over the book of this app."""
    return FeedDesk(cast(Path, request.app.state.book_path))


def path_of(name: str) -> str:
    """A name as the end of an address."""
    return quote(name, safe="")


def texts_of(file: RecipeFile) -> Iterable[str]:
    """Everything in a recipe that somebody wrote in words."""
    yield from (file.name, file.note)
    yield from (one.ingredient for one in file.amounts)
    for own in file.own:
        yield from texts_of_own(own)
    for feed in file.feeds:
        yield from texts_of_feed(feed)
    if file.pollen is not None:
        yield file.pollen.certificate


def texts_of_own(own: OwnIngredient) -> Iterable[str]:
    """What somebody wrote of an ingredient."""
    return (own.key, own.name, own.note)


def texts_of_feed(feed: BoughtFeed) -> Iterable[str]:
    """What somebody wrote of a bought feed."""
    return (feed.name, feed.note, *feed.ingredients)


def named_drugs(file: RecipeFile) -> tuple[Remark, ...]:
    """Refusals where a drug, or anything against mites or pests, is named anywhere in a recipe."""
    return refusals(texts_of(file), law_of(file.country or None))


def ingredient_choices(own: Iterable[RecipeFile]) -> list[tuple[str, str]]:
    """Keys and names of what can go into a recipe, by name; the own ingredients of ``own`` among them."""
    known: dict[str, str] = {}
    for file in own:
        known |= {key: kind.name for key, kind in all_ingredients(file).items()}
    return sorted(known.items(), key=lambda pair: pair[1].casefold())
