"""What speaks against a feed, and what its mixer should know: the rule table against a recipe."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace

from breadline.errors import RecipeError
from breadline.knowledge.countries import CountryLaw
from breadline.knowledge.feed_rules import LEVELS, FeedRule, Level, feed_rules
from breadline.knowledge.ingredient import Content, Ingredient
from breadline.knowledge.ingredients import in_english
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.ration.plain_words import roughly
from breadline.ration.pollen_gate import Pollen, border_law, pollen_gate
from breadline.ration.recipe import Recipe
from breadline.ration.refused import refusals_of_recipe
from breadline.ration.remark import Remark, hardest_first, refused, remark

SALT_TO_SODIUM = 58.44 / 22.99  # molar masses of sodium chloride and sodium [g/g]
EXACT = 1e-9  # above what rounding in the last digit can do [1]


@dataclass(frozen=True)
class Circumstances:
    """What the user knows of a feed beside its recipe; ``None`` is "don't know".

    Parameters
    ----------
    pollen
        Where real pollen in it comes from.
    honey_own
        Whether honey in it is from one's own hives, known to be free of disease.
    hmf_mg_per_kg, syrup_c
        Measured hydroxymethylfurfural of the syrup [mg/kg], and how warm it was kept or made [°C].
    inhibitor_pct, inhibitor_syrup_pct
        Trypsin inhibitor in the feed [% of mass], in a syrup [% of volume].
    weeks_without_pollen
        How long the feed is to be given while no pollen comes in. [weeks]
    for_sale
        Whether it is mixed to be sold.
    """

    pollen: Pollen | None = None
    honey_own: bool | None = None
    hmf_mg_per_kg: float | None = None  # [mg/kg]
    syrup_c: float | None = None  # [°C]
    inhibitor_pct: float | None = None  # [% of mass]
    inhibitor_syrup_pct: float | None = None  # [% of volume]
    weeks_without_pollen: float | None = None  # [weeks]
    for_sale: bool = False


def rules_for(
    recipe: Recipe, amounts: Mapping[str, Content], known: Circumstances, law: CountryLaw, figures: Reader
) -> tuple[Remark, ...]:
    """All that the rule table, the pollen gate and the refusals say of a recipe, hardest first.

    Where a drug or something against mites is named, that refusal is all that is said.
    An amount whose range only reaches over a limit is said with "may", as a note: a blank is no nought.

    Parameters
    ----------
    amounts
        The mix by the names of ``NUTRIENTS``, in their units per 100 g as fed.

    Errors
    ------
    RecipeError
        If something that the user said cannot be.
    """
    told = list(refusals_of_recipe(recipe, law))
    if refused(told):  # no calculation, and nothing that repeats the name and its amount
        return hardest_first(told)
    told += _pollen(recipe, known, law, figures)
    measured = _measured(amounts, known)
    spoke: dict[str, Level] = {}
    for rule in feed_rules():
        said = None if rule.by else _said(rule, recipe, measured, known, law, figures)
        if said is None or _silenced(rule, said, spoke):
            continue
        told.append(said)
        spoke[rule.key] = said.level
    return hardest_first(told)


def salt_pct(sodium_mg: float) -> float:
    """Sodium [mg/100 g] counted as if all of it were salt. [% of mass]"""
    return sodium_mg / 1000.0 * SALT_TO_SODIUM


def _pollen(recipe: Recipe, known: Circumstances, law: CountryLaw, figures: Reader) -> tuple[Remark, ...]:
    """The gate's remarks where the recipe holds real pollen; of unknown origin unless told otherwise."""
    names = tuple(kind.name for kind in _kinds(recipe) if "pollen" in kind.traits)
    if not names:
        return ()
    gate = pollen_gate(known.pollen or Pollen(), law, figures)
    return tuple(replace(r, about=names) for r in gate.remarks)


def _measured(amounts: Mapping[str, Content], known: Circumstances) -> dict[str, Content]:
    """Every amount that a rule can go by, in the unit of its figure."""
    measured = dict(amounts)
    if "sodium" in amounts:
        sodium = amounts["sodium"]
        measured["salt"] = Content(salt_pct(sodium.low), salt_pct(sodium.high))
    if {"linoleic", "linolenic"} <= amounts.keys() and amounts["linolenic"].low > 0:
        over, below = amounts["linoleic"], amounts["linolenic"]
        measured["ω6:ω3"] = Content(over.low / below.high, over.high / below.low)
    said = {
        "HMF": known.hmf_mg_per_kg,
        "syrup warmth": known.syrup_c,
        "trypsin inhibitor": known.inhibitor_pct,
        "trypsin inhibitor in syrup": known.inhibitor_syrup_pct,
        "weeks of soy without pollen": known.weeks_without_pollen,
    }
    for name, value in said.items():
        if value is not None:
            measured[name] = _possible(name, value)
    return measured


def _possible(name: str, value: float) -> Content:
    if not 0 <= value < float("inf"):
        raise RecipeError(
            name,
            say("{value:g} cannot be", value=value),
            say("a number from 0"),
            say("Measure it, or leave it empty"),
        )
    return Content(value, value)


def _silenced(rule: FeedRule, said: Remark, spoke: Mapping[str, Level]) -> bool:
    """Whether a stronger rule said as much: for certain, or no less certainly than this one."""
    stronger = [LEVELS.index(spoke[key]) for key in rule.unless if key in spoke]
    return any(level <= LEVELS.index(said.level) for level in stronger)


def _said(
    rule: FeedRule, recipe: Recipe, measured: Mapping[str, Content], known: Circumstances, law: CountryLaw,
    figures: Reader,
) -> Remark | None:  # fmt: skip
    about = tuple(kind.name for kind in _kinds(recipe) if _is_meant(rule, kind))
    if (rule.traits or rule.words) and not about:
        return None
    if any(set(rule.without) & kind.traits for kind in _kinds(recipe)):
        return None
    if rule.when and not _holds(rule.when, known):
        return None
    if rule.over:
        return _of_amount(rule, about, measured.get(rule.over), figures)
    told = {"selling": law.selling and say(law.selling), "borders": border_law(law)}.get(rule.law, "")
    return remark(rule, about, law=told)


def _of_amount(
    rule: FeedRule, about: tuple[str, ...], amount: Content | None, figures: Reader
) -> Remark | None:
    """What a rule says of an amount; only a note, with "may", where just the range's upper end reaches it."""
    if amount is None:
        return None
    figure = figures.figure(rule.figure)
    limit = figure.span.high if rule.end in ("high", "above_high") else figure.span.low
    if not _reaches(rule, amount.high, limit):
        return None
    sure = _reaches(rule, amount.low, limit)
    told = (
        _written(amount, figure.unit)
        if sure
        else say("up to {amount}", amount=_written(_most(amount), figure.unit))
    )
    said = remark(rule, about, amount=told, limit=f"{limit:g} {figure.unit}")
    if sure:
        return said
    return replace(
        said, level="note", line=say("Not known for certain, but it may be: {line}", line=said.line)
    )


def _reaches(rule: FeedRule, amount: float, limit: float) -> bool:
    slack = EXACT * max(1.0, limit)
    return amount > limit + slack if rule.end in ("above", "above_high") else amount >= limit - slack


def _most(amount: Content) -> Content:
    return Content(amount.high, amount.high)


def _written(amount: Content, unit: str) -> str:
    return f"{roughly(amount)} {unit}"


def _kinds(recipe: Recipe) -> tuple[Ingredient, ...]:
    return tuple(part.ingredient for part in recipe.parts)


def _is_meant(rule: FeedRule, kind: Ingredient) -> bool:
    if set(rule.but_not) & kind.traits:
        return False
    if set(rule.traits) & kind.traits:
        return True
    words = f" {' '.join(re.findall(r'[a-z]+', in_english(kind).lower()))} "
    return any(f" {word} " in words for word in rule.words)


def _holds(when: str, known: Circumstances) -> bool:
    return {"for sale": known.for_sale, "honey is not our own": known.honey_own is False}[when]
