"""What changed from one version of a recipe to the next, in words, most weighty first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import fields
from typing import Any, TypeVar

from breadline.jobs.recipe_ingredients import all_ingredients
from breadline.jobs.recipe_written import Aim, Amount, Quote, RecipeFile
from breadline.knowledge.ingredient import NUTRIENTS

T = TypeVar("T")
ONES = {
    "note": "the note", "country": "the country", "own": "own ingredients and their labels",
    "feeds": "labels of bought feeds", "solving": "what the cheapest mix may use and how",
    "mixing": "the batch and its pieces", "pollen": "papers of the real pollen",
    "known": "what else is known of it",
}  # fmt: skip
LEFT_OUT = "is left out"


def changes(before: RecipeFile, now: RecipeFile) -> tuple[str, ...]:
    """What is other in ``now``; empty where nothing is."""
    names = {key: kind.name for file in (before, now) for key, kind in all_ingredients(file).items()}
    told = list(_lines(before.amounts, now.amounts, lambda one: one.ingredient, _amount, names))
    told += _lines(before.quotes, now.quotes, lambda one: f"price of {names.get(one.of, one.of)}", _price, {})
    told += _lines(before.aims, now.aims, lambda one: _aim_of(one, names), _bounds, {})
    for one in fields(RecipeFile):
        was, is_now = getattr(before, one.name), getattr(now, one.name)
        if one.name in ONES and was != is_now:
            told.append(_one(ONES[one.name], was, is_now))
    return tuple(told)


def _lines(
    before: Iterable[T], now: Iterable[T], key: Callable[[T], str], said: Callable[[T], str],
    names: Mapping[str, str],
) -> list[str]:  # fmt: skip
    """Lines of one kind that came, went or say something else; several of one name are taken together."""
    was, are = _by_key(before, key, said), _by_key(now, key, said)
    told = []
    for one in [*are, *(k for k in was if k not in are)]:
        name = names.get(one, one)
        if one not in was:
            told.append(f"{name}: {are[one]}, new")
        elif one not in are:
            told.append(f"{name} {LEFT_OUT} (was {was[one]})")
        elif was[one] != are[one]:
            told.append(f"{name}: {are[one]} instead of {was[one]}")
    return told


def _by_key(lines: Iterable[T], key: Callable[[T], str], said: Callable[[T], str]) -> dict[str, str]:
    made: dict[str, str] = {}
    for one in lines:
        made[key(one)] = f"{made[key(one)]} and {said(one)}" if key(one) in made else said(one)
    return made


def _amount(one: Amount) -> str:
    count = f"{one.amount:g}"
    if one.unit != "buckets":
        return f"{count}\u00a0{one.unit}"
    weighs = f" of {one.bulk_kg_per_l:g}\u00a0kg a litre" if one.bulk_kg_per_l else ""
    return f"{count}\u00a0{'bucket' if one.amount == 1 else 'buckets'}{weighs}"


def _price(one: Quote) -> str:
    bag = f" of {one.bag:g}\u00a0{one.bag_unit}" if one.bag else ""
    paid = f"{one.price:g}\u00a0{one.money}" if one.money[-1:].isalpha() else f"{one.money}{one.price:.2f}"
    return f"{paid} a {'tonne' if one.per == 't' else one.per}{bag}, {one.year}"


def _aim_of(one: Aim, names: Mapping[str, str]) -> str:
    if one.of in names and one.of not in NUTRIENTS:
        return f"target share of {names[one.of]}"
    basis = ", ".join(text for text in (one.basis, one.protein_on) if text).replace(" x ", " × ")
    of = f"{one.of} to {one.to}" if one.to else one.of
    return f"target {of.replace('_', ' ')}{f' ({basis})' if basis else ''}"


def _bounds(one: Aim) -> str:
    unit = f"\u00a0{one.unit}"
    least = "" if one.at_least is None else f"at least {one.at_least:g}{unit}"
    most = "" if one.at_most is None else f"at most {one.at_most:g}{unit}"
    return " and ".join(text for text in (least, most) if text)


def _one(name: str, was: Any, now: Any) -> str:
    if isinstance(now, str):
        return f"{name}: {now or 'none'} instead of {was or 'none'}"
    return f"{name} {'were' if name.endswith('s') else 'was'} changed"
