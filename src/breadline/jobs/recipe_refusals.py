"""What is refused before anything is worked out: drugs, and pollen that may carry foulbrood."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Any

from breadline.errors import FeedRefused
from breadline.jobs.recipe_fields import Spot
from breadline.jobs.recipe_written import BoughtFeed, RecipeFile
from breadline.knowledge.countries import CountryLaw, law_of
from breadline.knowledge.ingredient import Ingredient
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.ration.pollen_gate import Gate, Pollen, lists_pollen, pollen_gate
from breadline.ration.refused import refusals
from breadline.ration.remark import Remark


def refuse_drugs(data: Mapping[str, Any], spot: Spot) -> None:
    """Refuse a file in which a drug or the like is named anywhere, before anything else is read.

    Errors
    ------
    FeedRefused
        Names the line and refers to whom to ask; never repeats what was asked for.
    """
    law = _law(data.get("country"))
    for place, key, text in _texts(data, spot):
        no = [one for one in refusals([text], law) if one.level == "refuse"]
        if no:
            raise _refusal(place.where(key), no)


def refuse_request(text: str, country: str = "", where: str = "request") -> None:
    """The same of a request or a name that somebody typed, called ``where`` in the refusal.

    Errors
    ------
    FeedRefused
        As ``refuse_drugs``.
    """
    no = [one for one in refusals([text], law_of(country)) if one.level == "refuse"]
    if no:
        raise _refusal(where, no)


def refuse_pollen(
    recipe: RecipeFile, keys: tuple[str, ...], kinds: Mapping[str, Ingredient], figures: Reader
) -> Gate | None:
    """The pollen gate for what holds real pollen among ``keys``; nothing where none does.

    Errors
    ------
    FeedRefused
        If the gate refuses it.
    """
    names = [kinds[key].name for key in keys if "pollen" in kinds[key].traits]
    if not names:
        return None
    gate = pollen_gate(pollen_of(recipe), law_of(recipe.country), figures)
    if gate.answer == "refused":
        raise _refusal(f"{recipe.name}, {' and '.join(names)}", gate.remarks)
    return gate


def listed_pollen(feed: BoughtFeed) -> bool:
    """Whether real pollen is among what a label lists, with or without a per cent."""
    return any(lists_pollen(line) for line in feed.ingredients)


def feed_gate(feed: BoughtFeed, country: str, figures: Reader) -> Gate | None:
    """The pollen gate for a bought feed that states or lists real pollen; nothing where it states none."""
    if not (feed.pollen_pct or listed_pollen(feed)):
        return None
    pollen = Pollen("bought", False, feed.rays, feed.dose_kgy, bool(feed.certificate))
    return pollen_gate(pollen, law_of(country), figures)


def refuse_feed(feed: BoughtFeed, country: str, figures: Reader) -> Gate | None:
    """The same for a feed that is to be fed; FeedRefused where its real pollen may not be."""
    gate = feed_gate(feed, country, figures)
    if gate is not None and gate.answer == "refused":
        raise _refusal(f"{feed.name}, real pollen", gate.remarks)
    return gate


def pollen_of(recipe: RecipeFile) -> Pollen:
    """What the file says of its real pollen; nothing said is unknown."""
    papers = recipe.pollen
    if papers is None:
        return Pollen()
    return Pollen(
        papers.origin, papers.free_of_foulbrood, papers.rays, papers.dose_kgy, bool(papers.certificate),
        papers.frozen,
    )  # fmt: skip


def _refusal(where: str, remarks: tuple[Remark, ...] | list[Remark]) -> FeedRefused:
    """The refusals as one error: what, why, and whom to ask; the gate's other remarks behind them."""
    no = [one for one in remarks if one.level == "refuse"]
    rest = [one for one in remarks if one.level != "refuse"]
    what = " ".join(part for one in no for part in (one.line, one.law) if part)
    why = " ".join([*(one.why for one in no), *(f"{one.line} {one.law}".strip() for one in rest)])
    asked = dict.fromkeys(one.ask for one in remarks)
    return FeedRefused(where, what, "", f"{why} {say('Ask: {whom}', whom='; '.join(asked))}")


def _law(country: Any) -> CountryLaw:
    known = isinstance(country, str) and len(country.strip()) == 2 and country.strip().isalpha()
    return law_of(country if known and country.isascii() else None)


def _texts(data: Any, spot: Spot, key: str = "") -> Iterator[tuple[Spot, str, str]]:
    """Every key and text of the file with its place."""
    if isinstance(data, str):
        yield spot, key, data
    elif isinstance(data, Mapping):
        for name, value in data.items():
            at_top = not spot.heading
            inner = replace(spot, heading=name) if at_top and _tables(value) else spot
            yield inner, name if inner is spot else "", str(name)
            yield from _texts(value, inner, name if inner is spot else "")
    elif isinstance(data, list):
        for n, value in enumerate(data, 1):
            inner = replace(spot, n=n, several=True) if isinstance(value, Mapping) and spot.heading else spot
            yield from _texts(value, inner, key)


def _tables(value: Any) -> bool:
    return isinstance(value, Mapping) or (
        isinstance(value, list) and any(isinstance(one, Mapping) for one in value)
    )
