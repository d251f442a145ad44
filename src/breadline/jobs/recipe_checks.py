"""Checks across the lines of a recipe file: twice the same, shares that do not sum, two moneys."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from difflib import get_close_matches

from breadline.errors import InputToMend
from breadline.jobs.recipe_fields import RecipeTable
from breadline.jobs.recipe_written import Amount, Quote
from breadline.language import say

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
                key,
                say('"{name}" is there twice, first in line {line}', name=name, line=line),
                say("each once"),
                say("Put the two together, or take one out"),
            )
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
            "unit",
            say("this one is in {unit} and others are in %", unit=amounts[odd].unit),
            say("all in %, or none"),
            say("A share says nothing beside a weight: write all parts one way"),
        )
    whole = sum(one.amount for one in shares)
    if abs(whole - 100) <= SHARE_SLACK:
        return
    told = {"whole": whole, "off": abs(100 - whole)}
    do = say("Mend a share, or write weights: they need not sum to anything")
    if abs(whole - 1) <= SHARE_SLACK / 100:
        do = say("If you typed fractions (0.2), enter per cent (20)")
    said = (
        say("the shares sum to {whole:.5g} %, {off:.4g} % are missing", **told)
        if whole < 100
        else say("the shares sum to {whole:.5g} %, {off:.4g} % are too much", **told)
    )
    raise tables[-1].error("amount", said, "100 % together", do)


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
                "money",
                say('"{money}" stands beside "{money2}"', money=quote.money, money2=quotes[0].money),
                say("one money for all prices"),
                say("Turn the price into the other money, at a rate you know"),
            )


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
    do = say(
        "Did you mean one of these: {names}? Or add it from its label under [[ingredient]]", names=listed
    )
    return table.error(
        key, say("\"{name}\" is not in the table of ingredients", name=name),
        say("a key of the table, or of an [[ingredient]] of this file"),
        do if listed else say("Add it from its label under [[ingredient]]"),
    )  # fmt: skip
