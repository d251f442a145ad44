"""Feed in few words for the pages: per cent, money and what speaks against it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import Content
from breadline.language import say, say_as, say_counted
from breadline.need.words import counted
from breadline.ration import plain_words
from breadline.ration.amino import AminoScore
from breadline.ration.analysis_told import Told
from breadline.ration.analysis_words import pollen_sentence, roughly
from breadline.ration.bases import AS_FED, DRY, Basis
from breadline.ration.cost import Cost
from breadline.ration.measures import LB_G, System
from breadline.ration.remark import Remark
from breadline.ration.targets import AMINO

PER = plain_words.PER


def percent(content: Content | None) -> str:
    """ "17 %", "15 to 17 %", or "not said"."""
    return say("not said") if content is None else f"{roughly(content)} %"


def guaranteed(content: Content | None) -> str:
    """ "17.5 %": a guaranteed least is never rounded up; of a range it is the low end. [%]"""
    if content is None:
        return percent(content)
    return f"{math.floor(10 * content.low + 1e-6) / 10:g} %"


def percent_big(content: Content | None) -> str:
    """The same at the head of a sentence: "About 17 %", "15 to 17 %"."""
    said = percent(content)
    whole = content is not None and roughly(content) != roughly(Content(content.low, content.low))
    return said if whole else say("About {what}", what=said)


def protein_on(told: Told, basis: Basis) -> Content | None:
    """Protein on a basis; None where there is nothing that it could be a per cent of."""
    try:
        return told.analysis.protein(basis)
    except RecipeError:
        return None


def per_unit(cost: Content | None, unit: System, of: str) -> str:
    """Money for a pound or a kilogram, from what a kilogram costs: "US$1.05 to 1.10". [money/kg]"""
    if cost is None:
        return ""
    by = LB_G / 1000.0 if unit == "lb" else 1.0
    whole = plain_words.no_cents(cost.low * by, cost.high * by)
    low, high = plain_words.money(cost.low * by, of, whole), plain_words.money(cost.high * by, of, whole)
    return low if low == high else say("{low} to {high}", low=low, high=high.removeprefix(of))


def years(cost: Cost) -> str:
    """ "2026 price", "2025 and 2026 prices"."""
    listed = say(" and ").join(str(year) for year in cost.years)
    return say_counted("{years} price", "{years} prices", len(cost.years), years=listed)


def cost_words(cost: Cost | None, unit: System) -> str:
    """What a pound or a kilogram costs, with the year; says where a price is missing."""
    if cost is None:
        return say("cost not known: no prices")
    told = {"price": per_unit(cost.feed, unit, cost.money), "unit": say(PER[unit])}
    return say("at least {price} a {unit}", **told) if cost.unpriced else say("{price} a {unit}", **told)


def short_first(score: AminoScore | None) -> str:
    """Which amino acid runs short first, in two words; "none" where none falls short of the pattern."""
    if score is None:
        return say("no protein")
    if score.sure and score.score.low >= 1:
        return say_as("amino acids", "none")
    names = [say(AMINO[name]) for name in score.limiting]
    if score.sure:
        return names[0]
    return say("open: {names}", names=say(" or ").join(names[:2]) + (" …" if len(names) > 2 else ""))


def pollen_words(share: float | None, listed: bool = False) -> str:
    """ "yes, 12 %", "yes", "no" or "not said"; ``listed`` without a per cent is a yes. [share]"""
    if share is None:
        return say("yes") if listed else say("not said")
    if not share:
        return say("no")
    return say("yes, {n} %", n=roughly(Content(100 * share, 100 * share))).replace(" %", "\u00a0%")


def recipe_sentence(told: Told, unit: System) -> str:
    """What a recipe is, in one or two sentences: protein on both bases, pollen, cost."""
    fed, dry = protein_on(told, AS_FED), protein_on(told, DRY)
    if dry is None:
        return say("There is nothing but water in it.")
    first = say("{fed} crude protein as fed, {dry} of dry matter.", fed=percent_big(fed), dry=percent(dry))
    return f"{first} {pollen_sentence(told.analysis.pollen_share)} {_paid(told.cost, unit)}"


def _paid(cost: Cost | None, unit: System) -> str:
    if cost is None:
        return say("What it costs is not known yet: there are no prices.")
    told = {"cost": cost_words(cost, unit), "years": say(" and ").join(str(year) for year in cost.years)}
    return say_counted(
        "It costs {cost} at your {years} price.", "It costs {cost} at your {years} prices.", len(cost.years),
        **told,
    )  # fmt: skip


def refusal_sentence(remarks: Sequence[Remark]) -> str:
    """What comes before everything else where a mix is refused."""
    no = [r for r in remarks if r.level == "refuse"]
    return f"{say('Not to be mixed or fed as it stands.')} {no[0].line}" if no else ""


def counted_remarks(remarks: Sequence[Remark]) -> str:
    """ "refused", "2 cautions, 3 notes", "none"."""
    if any(r.level == "refuse" for r in remarks):
        return say("refused")
    n, notes = (sum(r.level == level for r in remarks) for level in ("caution", "note"))
    said = counted(n, "caution") if n else say_as("cautions", "none")
    return f"{said}, {counted(notes, 'note')}" if notes else said
