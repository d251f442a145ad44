"""The analysis of a mix as a practitioner reads it: sentences first, rounded, with what makes a range."""

from __future__ import annotations

import math

from breadline.knowledge.ingredient import Content
from breadline.language import noted, say, say_counted
from breadline.ration.amino import AminoScore
from breadline.ration.analysis import Amount, Analysis, Ratio
from breadline.ration.bases import AS_FED, AS_FED_OWN, DRY, DRY_OWN
from breadline.ration.blanks import possible_content
from breadline.ration.cost import Cost
from breadline.ration.label import LabelReading
from breadline.ration.measures import System
from breadline.ration.plain_words import PER, listed, prices
from breadline.ration.plain_words import roughly as roughly  # as pages and sheets know it
from breadline.ration.rules import salt_pct
from breadline.ration.targets import AMINO

_TOLD = ("fat", "water", "sugars", "ash", "lactose", "starch", "sodium", "potassium")
CONTENT_WORDS = {
    "fat": noted("fat"), "water": noted("water"), "sugars": noted("sugars"), "ash": noted("ash"),
    "lactose": noted("lactose"), "starch": noted("starch"), "sodium": noted("sodium"),
    "potassium": noted("potassium"), "fibre": noted("fibre"), "linoleic": noted("linoleic acid"),
    "linolenic": noted("linolenic acid"), "protein": noted("protein"),
}  # fmt: skip
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
        protein_sentence(analysis),
        pollen_sentence(analysis.pollen_share),
        omega_sentence(analysis.omega),
        say("Per 100 g as fed: {rest}.", rest=rest),
        salt_sentence(analysis.amount("sodium")),
        ask_sentence(analysis),
        blanks_sentence(analysis),
        spread_sentence(analysis),
        memory_sentence(analysis),
    )
    return tuple(sentence for sentence in told if sentence)


def protein_sentence(analysis: Analysis) -> str:
    """Crude protein on both bases and both factors."""
    if analysis.dry_matter.high <= 0:
        return say("There is nothing but water in it.")
    fed, dry, fed_own, dry_own = (
        roughly(analysis.protein(basis)) for basis in (AS_FED, DRY, AS_FED_OWN, DRY_OWN)
    )
    if (fed, dry) == (fed_own, dry_own):
        return say(
            "About {fed} % crude protein as fed, {dry} % of dry matter, on N × 6.25 (the same on each "
            "ingredient's own factor).",
            fed=fed,
            dry=dry,
        )
    return say(
        "About {fed} % crude protein as fed, {dry} % of dry matter, on N × 6.25 ({fed_own} % and "
        "{dry_own} % on "
        "each ingredient's own factor).",
        fed=fed,
        dry=dry,
        fed_own=fed_own,
        dry_own=dry_own,
    )


def pollen_sentence(share: float) -> str:
    """How much real pollen is in it. [share]"""
    if share == 0:
        return say("No real pollen in it.")
    return say("Real pollen makes up {share} % of it as fed.", share=_one(100 * share))


def omega_sentence(omega: Ratio) -> str:
    """ω6 over ω3, or why there is no such ratio."""
    if omega.low is None:
        return say("It has no ω3 fatty acids, so ω6:ω3 cannot be formed.")
    if omega.high is None:
        may = (
            say("{names} may hold none of it", names=listed(omega.blank))
            if omega.blank
            else say("there may be none of it")
        )
        if omega.low < _UNSEEN:
            return say("ω6:ω3 may be anything: of ω3, {may}.", may=may)
        return say(
            "ω6:ω3 is at least {low:.1f}; how much higher is open: of ω3, {may}.", low=omega.low, may=may
        )
    found = roughly(Content(omega.low, omega.high))
    if found != roughly(Content(omega.low, omega.low)):
        return say("ω6:ω3 lies anywhere from {found}.", found=found)
    return say("ω6:ω3 is about {found}.", found=found)


def salt_sentence(sodium: Content) -> str:
    """Sodium [mg/100 g] as common salt."""
    salt = Content(salt_pct(sodium.low), salt_pct(sodium.high))
    return (
        "" if salt.high < _SALT_TOLD else say("Counted as common salt, its sodium is {n} %.", n=roughly(salt))
    )


def ask_sentence(analysis: Analysis) -> str:
    """The one figure that would say most, where a blank leaves half or more of an amount open."""
    for name in _ASKED_FIRST:
        content, blank = analysis.amount(name), _wideners(analysis, name)
        open_by = content.high - content.low
        if blank and open_by >= max(_HALF * content.high, _OPEN[analysis.amounts[name].unit]):
            return say(
                "Ask for one figure first: the {name} of {blank}. Its supplier or a laboratory knows.",
                name=_name(name),
                blank=blank[0],
            )
    return ""


def blanks_sentence(analysis: Analysis) -> str:
    """Which ingredients' blanks make which ranges; those that hardly widen one are left out."""
    by_names: dict[tuple[str, ...], list[str]] = {}
    for name in (*_TOLD, "linoleic", "linolenic"):
        if names := _wideners(analysis, name):
            by_names.setdefault(names, []).append(_name(name))
    if not by_names:
        return ""
    parts = [
        say("{what} by {names}", what=listed(what), names=listed(names)) for names, what in by_names.items()
    ]
    return say("Not reported, so a range: {parts}. A blank is not nought.", parts="; ".join(parts))


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
    return (
        say("Sources differ on what is in {names}; that makes ranges too.", names=listed(names))
        if names
        else ""
    )


def memory_sentence(analysis: Analysis) -> str:
    """Which ingredients' contents nobody looked up."""
    names = [kind.name for kind in analysis.ingredients.values() if kind.read == "memory"]
    return say("From memory, not checked: what is in {names}.", names=listed(names)) if names else ""


def useful_sentence(score: AminoScore) -> str:
    """How much of the protein a bee can use, by the pattern."""
    return say(
        "By that pattern a bee could use about {n} % of the feed as protein, as fed; advice only.",
        n=roughly(score.useful_protein),
    )


def amino_sentence(score: AminoScore) -> str:
    """The amino acid that runs short first, as advice; what speaks against the pattern in a line."""
    first = say(AMINO[score.limiting[0]])
    if score.sure and score.score.low >= 1:
        head = say(
            "No amino acid falls short of the pattern; {first} comes nearest, at {share} of it",
            first=first,
            share=_told(score),
        )
    elif score.sure:
        head = say(
            "{first} runs short first, at {share} of the pattern",
            first=first.capitalize(),
            share=_told(score),
        )
    elif len(score.limiting) <= _FEW:
        names = listed([say(AMINO[name]) for name in score.limiting])
        head = say("Which amino acid runs short first is open: {names}", names=names)
    else:
        head = say("Which amino acid runs short first is open")
    counted = say("protein on {factor}, all of it taken as digested", factor=say(score.factor))
    said = [f"{head} ({say(score.pattern.label)}; {counted}; {say(score.pattern.in_short)})."]
    if score.blank:
        said.append(say("Not reported in full by {names}.", names=listed(score.blank)))
    if score.proxies:
        said.append(say("Those of {names} stand in from another ingredient.", names=listed(score.proxies)))
    return " ".join(said)


def _told(score: AminoScore) -> str:
    return _hundredths(score.score)


def cost_sentence(cost: Cost, system: System) -> str:
    """What a pound or a kilogram costs, with the years of the prices."""
    per = say(PER[system])
    parts = [
        say("{price} a {unit} as fed", price=prices(cost.feed, cost.money, system), unit=per),
        say("{price} of dry matter", price=prices(cost.dry_matter, cost.money, system)),
    ]
    if cost.protein is not None:
        paid = prices(cost.protein, cost.money, system)
        parts.append(say("{price} a {unit} of crude protein", price=paid, unit=per))
    told = {"parts": ", ".join(parts), "years": _years(cost)}
    said = [
        say("It costs at least {parts} ({years}).", **told)
        if cost.unpriced
        else say("It costs {parts} ({years}).", **told)
    ]
    if cost.unpriced:
        said.append(say("How much more is open: {names} without a price.", names=listed(cost.unpriced)))
    if cost.free:
        said.append(say("{names} without a price counts as free.", names=listed(cost.free)))
    return " ".join(said)


def label_sentences(reading: LabelReading, system: System = "kg") -> tuple[str, ...]:
    """What a label lets one say of a bought feed, and what not."""
    pollen = say("The label says nothing on real pollen.")
    if reading.pollen_share is not None:
        pollen = say("By its label: {pollen}", pollen=pollen_sentence(reading.pollen_share))
    elif reading.feed.pollen_listed:
        pollen = say("The label lists real pollen; how much is not stated.")
    cost = () if reading.cost is None else (_label_cost(reading, reading.cost, system),)
    said, *unsaid = label_says(reading)
    return (said, pollen, *cost, *unsaid)


def label_says(reading: LabelReading) -> tuple[str, ...]:
    """Of the same what the label guarantees, and what it cannot tell."""
    if not reading.unsaid:
        return (_guaranteed(reading),)
    return _guaranteed(reading), say("Its label cannot tell {names}.", names=listed(reading.unsaid))


def _guaranteed(reading: LabelReading) -> str:
    fed, dry = reading.protein_as_fed, reading.protein_dry
    own, other = (fed, dry) if reading.basis == AS_FED else (dry, fed)
    told = {"protein": _least(own) if reading.at_least else roughly(own), "basis": reading.basis.words}
    said = (
        say("Its label guarantees at least {protein} % crude protein {basis}, on N × 6.25", **told)
        if reading.at_least
        else say("Its label states {protein} % crude protein {basis}, on N × 6.25", **told)
    )
    if reading.moisture_said:
        return say(
            "{said}; with {water} % water that is {protein} % {basis}.",
            said=said,
            water=roughly(reading.water),
            protein=roughly(other),
            basis=(DRY if reading.basis == AS_FED else AS_FED).words,
        )
    if reading.basis == AS_FED:
        return say(
            "{said}; of dry matter it is more, and how much more hangs on its water, which is not stated.",
            said=said,
        )
    return say(
        "{said}; as fed it is less, and how much less hangs on its water, which is not stated.", said=said
    )


def _least(content: Content) -> str:
    """A guaranteed least to a tenth, never rounded up: 17.5 is not 18. [%]"""
    return f"{math.floor(10 * content.low + 1e-6) / 10:g}" if content.exact else roughly(content)


def _label_cost(reading: LabelReading, cost: Cost, system: System) -> str:
    per = say(PER[system])
    dry = say("{price} of dry matter", price=prices(cost.dry_matter, cost.money, system))
    if not reading.moisture_said:
        dry = say("more by what water it holds for dry matter")
    parts = [say("{price} a {unit} as fed", price=prices(cost.feed, cost.money, system), unit=per), dry]
    if cost.protein is not None and reading.at_least:
        paid = prices(Content(cost.protein.high, cost.protein.high), cost.money, system)
        parts.append(say("at most {price} a {unit} of crude protein", price=paid, unit=per))
    elif cost.protein is not None:
        paid = prices(cost.protein, cost.money, system)
        parts.append(say("{price} a {unit} of crude protein", price=paid, unit=per))
    return say("It costs {parts} ({years}).", parts=", ".join(parts), years=_years(cost))


def _years(cost: Cost) -> str:
    years = listed([str(year) for year in cost.years])
    return say_counted("price of {years}", "prices of {years}", len(cost.years), years=years)


def _one(value: float) -> str:
    return roughly(Content(value, value))


def _amount(amount: Amount) -> str:
    return f"{roughly(amount.content)} {amount.unit}"


def _hundredths(content: Content) -> str:
    low, high = f"{content.low:.2f}", f"{content.high:.2f}"
    return low if low == high else say("{low} to {high}", low=low, high=high)


def _name(nutrient: str) -> str:
    return say(CONTENT_WORDS.get(nutrient, nutrient))
