"""The analysis of a mix as a practitioner reads it: sentences first, rounded, with what makes a range."""

from __future__ import annotations

from collections.abc import Sequence

from breadline.knowledge.ingredient import Content
from breadline.ration.amino import NAMES, AminoScore
from breadline.ration.analysis import Amount, Analysis, Ratio
from breadline.ration.bases import AS_FED, AS_FED_OWN, DRY, DRY_OWN, Basis
from breadline.ration.blanks import possible_content
from breadline.ration.cost import Cost
from breadline.ration.label import LabelReading

_TOLD = ("fat", "water", "sugars", "ash", "lactose", "starch", "sodium", "potassium")
_A_TENTH = 0.1
_SALT_TO_SODIUM = 58.44 / 22.99  # molar masses of sodium chloride and sodium [g/g]


def sentences(analysis: Analysis) -> tuple[str, ...]:
    """What is in a mix: protein, pollen and oils first, the rest after, then what makes the ranges."""
    rest = ", ".join(f"{_name(name)} {_amount(analysis.amounts[name])}" for name in _TOLD)
    told = (
        protein_sentence(analysis), pollen_sentence(analysis.pollen_share), omega_sentence(analysis.omega),
        f"Per 100 g as fed: {rest}.", salt_sentence(analysis.amount("sodium")), blanks_sentence(analysis),
        spread_sentence(analysis), memory_sentence(analysis),
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
        may = f"{_listed(omega.blank)} may hold none of it" if omega.blank else "there may be none of it"
        return f"ω6:ω3 is at least {omega.low:.1f}; how much higher is open: of ω3, {may}."
    found = roughly(Content(omega.low, omega.high))
    return f"ω6:ω3 lies anywhere from {found}." if " to " in found else f"ω6:ω3 is about {found}."


def salt_sentence(sodium: Content) -> str:
    """Sodium [mg/100 g] as common salt."""
    salt = Content(salt_pct(sodium.low), salt_pct(sodium.high))
    return "" if salt.high < 0.005 else f"Its sodium is that of {_hundredths(salt)} % common salt."


def salt_pct(sodium_mg: float) -> float:
    """Common salt that holds so much sodium [mg/100 g]. [% of mass]"""
    return sodium_mg * _SALT_TO_SODIUM / 1000.0


def blanks_sentence(analysis: Analysis) -> str:
    """Which ingredients' blanks make which ranges; those that hardly widen one are left out."""
    by_names: dict[tuple[str, ...], list[str]] = {}
    for name in (*_TOLD, "linoleic", "linolenic"):
        if names := _wideners(analysis, name):
            by_names.setdefault(names, []).append(_name(name))
    if not by_names:
        return ""
    parts = [f"{_listed(what)} by {_listed(names)}" for names, what in by_names.items()]
    return f"Ranges come from what was not reported: {'; '.join(parts)}. A blank is not nought."


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
    return f"Sources differ on what is in {_listed(names)}; that makes ranges too." if names else ""


def memory_sentence(analysis: Analysis) -> str:
    """Which ingredients' contents nobody looked up."""
    names = [kind.name for kind in analysis.ingredients.values() if kind.read == "memory"]
    return f"From memory, not checked: what is in {_listed(names)}." if names else ""


def useful_sentence(score: AminoScore) -> str:
    """How much of the protein a bee can use, by the pattern."""
    return (
        f"By that pattern a bee could use about {roughly(score.useful_protein)} % of the feed as protein, as "
        "fed; advice only."
    )


def amino_sentence(score: AminoScore) -> str:
    """The amino acid that runs short first, as advice."""
    first = NAMES[score.limiting[0]]
    told = _hundredths(score.score)
    if score.sure and score.score.low >= 1:
        head = f"No amino acid falls short of the pattern; {first} comes nearest, at {told} of it"
    elif score.sure:
        head = f"{first.capitalize()} runs short first, at {told} of the pattern"
    else:
        which = _listed([NAMES[name] for name in score.limiting])
        head = f"Which amino acid runs short first is open ({which}); it has {told} of the pattern"
    blank = f" Not reported in full by {_listed(score.blank)}." if score.blank else ""
    proxy = f" Those of {_listed(score.proxies)} stand in from another ingredient." if score.proxies else ""
    about = f"({score.pattern.label}; protein on {score.factor}, all of it taken as digested)"
    return " ".join((f"{head} {about}.{blank}{proxy}", *score.pattern.critique))


def target_sentence(target_pct: float, basis: Basis, analysis: Analysis) -> str:
    """A target of protein [%] with the basis it is meant on, and what the mix has on that basis."""
    has = analysis.protein(basis)
    met = "meets it" if has.low >= target_pct else "may meet it" if has.high >= target_pct else "falls short"
    return (
        f"Your target of {target_pct:g} % is meant {basis}: the mix has about {roughly(has)} % on that basis "
        f"and {met}."
    )


def cost_sentence(cost: Cost) -> str:
    """What it costs, with the years of the prices."""
    parts = [
        f"{_money(cost.feed)} {cost.money} a kilogram as fed",
        f"{_money(cost.dry_matter)} of dry matter",
    ]
    if cost.protein is not None:
        parts.append(f"{_money(cost.protein)} a kilogram of crude protein")
    least, open_end = ("", "")
    if cost.unpriced:
        least, open_end = "at least ", f" How much more is open: {_listed(cost.unpriced)} without a price."
    return f"It costs {least}{', '.join(parts)} ({_years(cost)}).{open_end}"


def label_sentences(reading: LabelReading) -> tuple[str, ...]:
    """What a label lets one say of a bought feed, and what not."""
    pollen = (
        "The label says nothing on real pollen."
        if reading.pollen_share is None
        else f"By its label: {pollen_sentence(reading.pollen_share)}"
    )
    cost = () if reading.cost is None else (_label_cost(reading, reading.cost),)
    unsaid = f"Its label cannot tell {_listed(reading.unsaid)}."
    return (_guaranteed(reading), pollen, *cost, *((unsaid,) if reading.unsaid else ()))


def _guaranteed(reading: LabelReading) -> str:
    fed, dry = reading.protein_as_fed, reading.protein_dry
    own, other, less = fed, dry, "of dry matter it is more, and how much more"
    if reading.basis != AS_FED:
        own, other, less = dry, fed, "as fed it is less, and how much less"
    said = "guarantees at least" if reading.at_least else "states"
    told = f"Its label {said} {roughly(own)} % crude protein {reading.basis.words}, on N × 6.25"
    if not reading.moisture_said:
        return f"{told}; {less} hangs on its water, which is not stated."
    basis = DRY if reading.basis == AS_FED else AS_FED
    return f"{told}; with {roughly(reading.water)} % water that is {roughly(other)} % {basis.words}."


def _label_cost(reading: LabelReading, cost: Cost) -> str:
    dry = f"{_money(cost.dry_matter)} of dry matter"
    if not reading.moisture_said:
        dry = "more by what water it holds for dry matter"
    parts = [f"{_money(cost.feed)} {cost.money} a kilogram as fed", dry]
    if cost.protein is not None:
        at_most = "at most " if reading.at_least else ""
        protein = f"{cost.protein.high:.2f}" if reading.at_least else _money(cost.protein)
        parts.append(f"{at_most}{protein} a kilogram of crude protein")
    return f"It costs {', '.join(parts)} ({_years(cost)})."


def _years(cost: Cost) -> str:
    prices = "price" if len(cost.years) == 1 else "prices"
    return f"{prices} of {_listed([str(year) for year in cost.years])}"


def roughly(content: Content) -> str:
    """A content as a beekeeper says it: whole numbers from 10 on, tenths below, a range as a range."""
    low, high = _rounded(content.low), _rounded(content.high)
    if low == high:
        return low
    return f"{low} to {high}"


def _one(value: float) -> str:
    return roughly(Content(value, value))


def _rounded(value: float) -> str:
    if value >= 9.95 or value == 0:
        return f"{value:.0f}"
    return "under 0.1" if value < 0.05 else f"{value:.1f}".removesuffix(".0")


def _amount(amount: Amount) -> str:
    return f"{roughly(amount.content)} {amount.unit}"


def _hundredths(content: Content) -> str:
    low, high = f"{content.low:.2f}", f"{content.high:.2f}"
    return low if low == high else f"{low} to {high}"


def _money(content: Content) -> str:
    low, high = f"{content.low:.2f}", f"{content.high:.2f}"
    return low if low == high else f"{low} to {high}"


def _name(nutrient: str) -> str:
    return {"linoleic": "linoleic acid", "linolenic": "linolenic acid"}.get(nutrient, nutrient)


def _listed(names: Sequence[str]) -> str:
    if len(names) < 2:
        return "".join(names) or "nothing"
    mark = ";" if any("," in name for name in names) else ""
    return f"{(mark or ',') + ' '}".join(names[:-1]) + f"{mark} and {names[-1]}"
