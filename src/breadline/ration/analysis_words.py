"""The analysis of a mix as a practitioner reads it: sentences first, rounded, with what makes a range."""

from __future__ import annotations

import math

from breadline.knowledge.ingredient import Content
from breadline.ration.amino import NAMES, AminoScore
from breadline.ration.analysis import Amount, Analysis, Ratio
from breadline.ration.bases import AS_FED, AS_FED_OWN, DRY, DRY_OWN
from breadline.ration.blanks import possible_content
from breadline.ration.cost import Cost
from breadline.ration.label import LabelReading
from breadline.ration.measures import System
from breadline.ration.plain_words import PER, listed, prices
from breadline.ration.plain_words import roughly as roughly  # as pages and sheets know it
from breadline.ration.rules import salt_pct

_TOLD = ("fat", "water", "sugars", "ash", "lactose", "starch", "sodium", "potassium")
_A_TENTH = 0.1
_SALT_TOLD = 0.05  # less common salt than this is not told of [% of mass]
_HALF = 0.5
_UNSEEN = 0.05  # a ratio below it is told as 0.0, which says nothing [1]
_OPEN = {"g": 1.0, "mg": 50.0}  # a blank that leaves less open is not worth a call [per 100 g] (judged)
_FEW = 3  # amino acids that may run short first, which are told by name
# which blank to ask about first: what a feed can hurt by, then what says least (judged)
_ASKED_FIRST = ("sodium", "lactose", "starch", "water", "sugars", "fat", "ash", "potassium")


def sentences(analysis: Analysis) -> tuple[str, ...]:
    """What is in a mix: protein, pollen and oils first, the rest after, then what makes the ranges."""
    rest = ", ".join(f"{_name(name)} {_amount(analysis.amounts[name])}" for name in _TOLD)
    told = (
        protein_sentence(analysis), pollen_sentence(analysis.pollen_share), omega_sentence(analysis.omega),
        f"Per 100 g as fed: {rest}.", salt_sentence(analysis.amount("sodium")), ask_sentence(analysis),
        blanks_sentence(analysis), spread_sentence(analysis), memory_sentence(analysis),
    )  # fmt: skip
    return tuple(sentence for sentence in told if sentence)


def protein_sentence(analysis: Analysis) -> str:
    """Crude protein on both bases and both factors."""
    if analysis.dry_matter.high <= 0:
        return "There is nothing but water in it."
    fed, dry, fed_own, dry_own = (
        roughly(analysis.protein(basis)) for basis in (AS_FED, DRY, AS_FED_OWN, DRY_OWN)
    )
    own = "the same" if (fed, dry) == (fed_own, dry_own) else f"{fed_own} % and {dry_own} %"
    return (
        f"About {fed} % crude protein as fed, {dry} % of dry matter, on N × 6.25 "
        f"({own} on each ingredient's own factor)."
    )


def pollen_sentence(share: float) -> str:
    """How much real pollen is in it. [share]"""
    if share == 0:
        return "No real pollen in it."
    return f"Real pollen makes up {_one(100 * share)} % of it as fed."


def omega_sentence(omega: Ratio) -> str:
    """ω6 over ω3, or why there is no such ratio."""
    if omega.low is None:
        return "It has no ω3 fatty acids, so ω6:ω3 cannot be formed."
    if omega.high is None:
        may = f"{listed(omega.blank)} may hold none of it" if omega.blank else "there may be none of it"
        if omega.low < _UNSEEN:
            return f"ω6:ω3 may be anything: of ω3, {may}."
        return f"ω6:ω3 is at least {omega.low:.1f}; how much higher is open: of ω3, {may}."
    found = roughly(Content(omega.low, omega.high))
    return f"ω6:ω3 lies anywhere from {found}." if " to " in found else f"ω6:ω3 is about {found}."


def salt_sentence(sodium: Content) -> str:
    """Sodium [mg/100 g] as common salt."""
    salt = Content(salt_pct(sodium.low), salt_pct(sodium.high))
    return "" if salt.high < _SALT_TOLD else f"Counted as common salt, its sodium is {roughly(salt)} %."


def ask_sentence(analysis: Analysis) -> str:
    """The one figure that would say most, where a blank leaves half or more of an amount open."""
    for name in _ASKED_FIRST:
        content, blank = analysis.amount(name), _wideners(analysis, name)
        open_by = content.high - content.low
        if blank and open_by >= max(_HALF * content.high, _OPEN[analysis.amounts[name].unit]):
            return f"Ask for one figure first: the {name} of {blank[0]}. Its supplier or a laboratory knows."
    return ""


def blanks_sentence(analysis: Analysis) -> str:
    """Which ingredients' blanks make which ranges; those that hardly widen one are left out."""
    by_names: dict[tuple[str, ...], list[str]] = {}
    for name in (*_TOLD, "linoleic", "linolenic"):
        if names := _wideners(analysis, name):
            by_names.setdefault(names, []).append(_name(name))
    if not by_names:
        return ""
    parts = [f"{listed(what)} by {listed(names)}" for names, what in by_names.items()]
    return f"Not reported, so a range: {'; '.join(parts)}. A blank is not nought."


def _wideners(analysis: Analysis, nutrient: str) -> tuple[str, ...]:
    """Ingredients whose blank makes at least a tenth of the range."""
    amount = analysis.amounts[nutrient]
    whole = amount.content.high - amount.content.low
    return tuple(
        kind.name
        for key, kind in analysis.ingredients.items()
        if kind.name in amount.blank
        and analysis.shares[key] * possible_content(kind, nutrient).high >= _A_TENTH * whole
    )


def spread_sentence(analysis: Analysis) -> str:
    """Of which ingredients the sources report ranges."""
    names = [
        kind.name
        for kind in analysis.ingredients.values()
        if not all(content.exact for content in (kind.protein, *kind.nutrients.values()))
    ]
    return f"Sources differ on what is in {listed(names)}; that makes ranges too." if names else ""


def memory_sentence(analysis: Analysis) -> str:
    """Which ingredients' contents nobody looked up."""
    names = [kind.name for kind in analysis.ingredients.values() if kind.read == "memory"]
    return f"From memory, not checked: what is in {listed(names)}." if names else ""


def useful_sentence(score: AminoScore) -> str:
    """How much of the protein a bee can use, by the pattern."""
    return (
        f"By that pattern a bee could use about {roughly(score.useful_protein)} % of the feed as protein, as "
        "fed; advice only."
    )


def amino_sentence(score: AminoScore) -> str:
    """The amino acid that runs short first, as advice; what speaks against the pattern in a line."""
    first = NAMES[score.limiting[0]]
    if score.sure and score.score.low >= 1:
        head = f"No amino acid falls short of the pattern; {first} comes nearest, at {_told(score)} of it"
    elif score.sure:
        head = f"{first.capitalize()} runs short first, at {_told(score)} of the pattern"
    else:
        names = [NAMES[name] for name in score.limiting]
        which = f": {listed(names)}" if len(names) <= _FEW else ""
        head = f"Which amino acid runs short first is open{which}"
    blank = f" Not reported in full by {listed(score.blank)}." if score.blank else ""
    proxy = f" Those of {listed(score.proxies)} stand in from another ingredient." if score.proxies else ""
    counted = f"protein on {score.factor}, all of it taken as digested"
    return f"{head} ({score.pattern.label}; {counted}; {score.pattern.in_short}).{blank}{proxy}"


def _told(score: AminoScore) -> str:
    return _hundredths(score.score)


def cost_sentence(cost: Cost, system: System) -> str:
    """What a pound or a kilogram costs, with the years of the prices."""
    per = PER[system]
    feed = prices(cost.feed, cost.money, system)
    parts = [f"{feed} a {per} as fed", f"{prices(cost.dry_matter, cost.money, system)} of dry matter"]
    if cost.protein is not None:
        parts.append(f"{prices(cost.protein, cost.money, system)} a {per} of crude protein")
    least, open_end = ("", "")
    if cost.unpriced:
        least, open_end = "at least ", f" How much more is open: {listed(cost.unpriced)} without a price."
    free = f" {listed(cost.free)} without a price counts as free." if cost.free else ""
    return f"It costs {least}{', '.join(parts)} ({_years(cost)}).{open_end}{free}"


def label_sentences(reading: LabelReading, system: System = "kg") -> tuple[str, ...]:
    """What a label lets one say of a bought feed, and what not."""
    pollen = "The label says nothing on real pollen."
    if reading.pollen_share is not None:
        pollen = f"By its label: {pollen_sentence(reading.pollen_share)}"
    elif reading.feed.pollen_listed:
        pollen = "The label lists real pollen; how much is not stated."
    cost = () if reading.cost is None else (_label_cost(reading, reading.cost, system),)
    unsaid = f"Its label cannot tell {listed(reading.unsaid)}."
    return (_guaranteed(reading), pollen, *cost, *((unsaid,) if reading.unsaid else ()))


def _guaranteed(reading: LabelReading) -> str:
    fed, dry = reading.protein_as_fed, reading.protein_dry
    own, other, less = fed, dry, "of dry matter it is more, and how much more"
    if reading.basis != AS_FED:
        own, other, less = dry, fed, "as fed it is less, and how much less"
    said = "guarantees at least" if reading.at_least else "states"
    figure = _least(own) if reading.at_least else roughly(own)
    told = f"Its label {said} {figure} % crude protein {reading.basis.words}, on N × 6.25"
    if not reading.moisture_said:
        return f"{told}; {less} hangs on its water, which is not stated."
    basis = DRY if reading.basis == AS_FED else AS_FED
    return f"{told}; with {roughly(reading.water)} % water that is {roughly(other)} % {basis.words}."


def _least(content: Content) -> str:
    """A guaranteed least to a tenth, never rounded up: 17.5 is not 18. [%]"""
    return f"{math.floor(10 * content.low + 1e-6) / 10:g}" if content.exact else roughly(content)


def _label_cost(reading: LabelReading, cost: Cost, system: System) -> str:
    per = PER[system]
    dry = f"{prices(cost.dry_matter, cost.money, system)} of dry matter"
    if not reading.moisture_said:
        dry = "more by what water it holds for dry matter"
    parts = [f"{prices(cost.feed, cost.money, system)} a {per} as fed", dry]
    if cost.protein is not None:
        at_most = "at most " if reading.at_least else ""
        paid = Content(cost.protein.high, cost.protein.high) if reading.at_least else cost.protein
        parts.append(f"{at_most}{prices(paid, cost.money, system)} a {per} of crude protein")
    return f"It costs {', '.join(parts)} ({_years(cost)})."


def _years(cost: Cost) -> str:
    prices = "price" if len(cost.years) == 1 else "prices"
    return f"{prices} of {listed([str(year) for year in cost.years])}"


def _one(value: float) -> str:
    return roughly(Content(value, value))


def _amount(amount: Amount) -> str:
    return f"{roughly(amount.content)} {amount.unit}"


def _hundredths(content: Content) -> str:
    low, high = f"{content.low:.2f}", f"{content.high:.2f}"
    return low if low == high else f"{low} to {high}"


def _name(nutrient: str) -> str:
    return {"linoleic": "linoleic acid", "linolenic": "linolenic acid"}.get(nutrient, nutrient)
