"""What changed from one version of a recipe to the next, in words, most weighty first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import fields
from typing import Any, TypeVar

from breadline.jobs.recipe_ingredients import all_ingredients
from breadline.jobs.recipe_written import Aim, Amount, Quote, RecipeFile
from breadline.knowledge.ingredient import NUTRIENTS
from breadline.language import noted, say, say_counted
from breadline.measures import of_money

T = TypeVar("T")
ONES = {
    "note": noted("the note"),
    "country": noted("the country"),
    "own": noted("own ingredients and their labels"),
    "feeds": noted("labels of bought feeds"),
    "solving": noted("what the cheapest mix may use and how"),
    "mixing": noted("the batch and its pieces"),
    "pollen": noted("papers of the real pollen"),
    "known": noted("what else is known of it"),
}


def changes(before: RecipeFile, now: RecipeFile) -> tuple[str, ...]:
    """What is other in ``now``; empty where nothing is."""
    names = {key: kind.name for file in (before, now) for key, kind in all_ingredients(file).items()}
    told = list(_lines(before.amounts, now.amounts, lambda one: one.ingredient, _amount, names))
    told += _lines(
        before.quotes,
        now.quotes,
        lambda one: say("price of {name}", name=names.get(one.of, one.of)),
        _price,
        {},
    )
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
            told.append(say("{what}: {now}, new", what=name, now=are[one]))
        elif one not in are:
            told.append(say("{what} is left out (was {was})", what=name, was=was[one]))
        elif was[one] != are[one]:
            told.append(say("{what}: {now} instead of {was}", what=name, now=are[one], was=was[one]))
    return told


def _by_key(lines: Iterable[T], key: Callable[[T], str], said: Callable[[T], str]) -> dict[str, str]:
    made: dict[str, list[str]] = {}
    for one in lines:
        made.setdefault(key(one), []).append(said(one))
    return {one: say(" and ").join(told) for one, told in made.items()}


def _amount(one: Amount) -> str:
    if one.unit != "buckets":
        return f"{one.amount:g}\u00a0{one.unit}"
    many = 1 if one.amount == 1 else 2
    buckets = say_counted("{n} bucket", "{n} buckets", many, n=f"{one.amount:g}").replace(" ", "\u00a0")
    if not one.bulk_kg_per_l:
        return buckets
    return say("{buckets} of {weight:g} kg a litre", buckets=buckets, weight=one.bulk_kg_per_l)


def _price(one: Quote) -> str:
    paid = of_money(f"{one.price:.2f}" if one.price >= 0.095 else f"{one.price:g}", one.money)
    unit = say({"t": "tonne"}.get(one.per, one.per))
    if one.bag:
        bag = f"{one.bag:g}\u00a0{one.bag_unit}"
        return say("{price} a {unit} of {bag}, {year}", price=paid, unit=unit, bag=bag, year=one.year)
    return say("{price} a {unit}, {year}", price=paid, unit=unit, year=one.year)


def _aim_of(one: Aim, names: Mapping[str, str]) -> str:
    if one.of in names and one.of not in NUTRIENTS:
        return say("target share of {names}", names=names[one.of])
    basis = ", ".join(say(text.replace(" x ", " × ")) for text in (one.basis, one.protein_on) if text)
    of = say(one.of.replace("_", " "))
    if one.to:
        of = say("{low} to {high}", low=of, high=say(one.to.replace("_", " ")))
    if basis:
        return say("target {what} ({basis})", what=of, basis=basis)
    return say("target {what}", what=of)


def _bounds(one: Aim) -> str:
    unit = f"\u00a0{one.unit}"
    least = "" if one.at_least is None else say("at least {amount}", amount=f"{one.at_least:g}{unit}")
    most = "" if one.at_most is None else say("at most {amount}", amount=f"{one.at_most:g}{unit}")
    return say(" and ").join(text for text in (least, most) if text)


def _one(name: str, was: Any, now: Any) -> str:
    what = say(name)
    if isinstance(now, str):
        none = say("none")
        return say("{what}: {now} instead of {was}", what=what, now=now or none, was=was or none)
    return (
        say("{what} were changed", what=what) if name.endswith("s") else say("{what} was changed", what=what)
    )
