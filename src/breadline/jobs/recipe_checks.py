"""Checks across the lines of a recipe file: twice the same, shares that do not sum, two moneys."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from difflib import get_close_matches

from breadline.errors import InputToMend
from breadline.jobs.recipe_fields import RecipeTable
from breadline.jobs.recipe_written import Amount, Quote

SHARE_SLACK = 0.5  # three thirds of 33.3 are 99.9 [% of the mix]


def check_twice(tables: Sequence[RecipeTable], key: str, names: Sequence[str]) -> None:
    """The same ingredient on two lines.

    Errors
    ------
    RecipeError
        Names both lines.
    """
    first: dict[str, int] = {}
    for n, name in enumerate(names):
        if name in first:
            before = tables[first[name]].spot
            line = before.lines.of(before.heading, before.n, key)
            raise tables[n].error(
                key, f'"{name}" is there twice, first in line {line}', "each once",
                "Put the two together, or take one out",
            )  # fmt: skip
        first[name] = n


def check_shares(tables: Sequence[RecipeTable], amounts: Sequence[Amount]) -> None:
    """Shares that do not make a whole, or that stand beside weights.

    Errors
    ------
    RecipeError
        Says what they sum to and what is missing or too much.
    """
    shares = [one for one in amounts if one.unit == "%"]
    if not shares:
        return
    if len(shares) < len(amounts):
        odd = next(n for n, one in enumerate(amounts) if one.unit != "%")
        raise tables[odd].error(
            "unit", f"this one is in {amounts[odd].unit} and others are in %", "all in %, or none",
            "A share says nothing beside a weight: write all parts one way",
        )  # fmt: skip
    whole = sum(one.amount for one in shares)
    if abs(whole - 100) <= SHARE_SLACK:
        return
    off = f"{abs(100 - whole):.4g} % {'are missing' if whole < 100 else 'are too much'}"
    do = "Mend a share, or write weights: they need not sum to anything"
    if abs(whole - 1) <= SHARE_SLACK / 100:
        do = "If you typed fractions (0.2), enter per cent (20)"
    raise tables[-1].error("amount", f"the shares sum to {whole:.5g} %, {off}", "100 % together", do)


def check_money(tables: Sequence[RecipeTable], quotes: Sequence[Quote]) -> None:
    """Prices in two moneys, which cannot be added.

    Errors
    ------
    RecipeError
        Names both.
    """
    for table, quote in zip(tables, quotes, strict=True):
        if quote.money != quotes[0].money:
            raise table.error(
                "money", f'"{quote.money}" stands beside "{quotes[0].money}"', "one money for all prices",
                "Turn the price into the other money, at a rate you know",
            )  # fmt: skip


def known_ingredient(table: RecipeTable, key: str, name: str, names: Mapping[str, str]) -> str:
    """The key of an ingredient that is known; its name will do.

    Errors
    ------
    RecipeError
        Suggests what is near.
    """
    if name in names:
        return name
    by_name = {known.casefold(): key for key, known in names.items()}
    if name.casefold() in by_name:
        return by_name[name.casefold()]
    raise _unknown(table, key, name, names, by_name)


def _unknown(
    table: RecipeTable, key: str, name: str, names: Collection[str], by_name: Mapping[str, str]
) -> InputToMend:
    wanted = name.casefold()
    near = [by_name[one] for one in get_close_matches(wanted, by_name, n=3, cutoff=0.5)]
    near += get_close_matches(wanted.replace(" ", "_"), names, n=3, cutoff=0.5)
    near += [
        key for one, key in by_name.items() if any(word in one for word in wanted.split() if len(word) > 3)
    ]
    listed = ", ".join(dict.fromkeys(near[:4]))
    do = f"Did you mean one of these: {listed}? Or add it from its label under [[ingredient]]"
    return table.error(
        key, f'"{name}" is not in the table of ingredients',
        "a key of the table, or of an [[ingredient]] of this file",
        do if listed else "Add it from its label under [[ingredient]]",
    )  # fmt: skip
