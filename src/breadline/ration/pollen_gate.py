"""Real pollen in a feed: whose it is decides whether it may go in."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Literal, get_args

from breadline.errors import RecipeError
from breadline.knowledge.countries import CountryLaw
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.ration.remark import Remark, hardest_first, refused, remark

Origin = Literal["own", "bought", "unknown"]
Rays = Literal["gamma", "electron beam"]
Answer = Literal["passes", "warned", "refused"]
# Pollen and the bread bees make of it, as labels of several languages write them.
_POLLEN = re.compile(r"pollen|\bpolen|polline|py[łl]ek|пыльц|bee[ -]?bread|bienenbrot|\bperga\b", re.I)
_NOT_POLLEN = re.compile(r"substitut|replac|\bfree\b|\bno\b|without|\bohne\b|\bsans\b|\bsin\b", re.I)


@dataclass(frozen=True)
class Pollen:
    """Where real pollen comes from, as the user says.

    Parameters
    ----------
    origin
        Of one's own hives, bought from somebody known, or nobody knows.
    free_of_foulbrood
        Own hives only: looked through and known to be free of disease.
    rays, dose_kgy, certificate
        Irradiated with what and how much [kGy], and whether a certificate says so.
    frozen
        It was frozen; changes nothing.
    """

    origin: Origin = "unknown"
    free_of_foulbrood: bool = False
    rays: Rays | None = None
    dose_kgy: float | None = None  # [kGy]
    certificate: bool = False
    frozen: bool = False


@dataclass(frozen=True)
class Gate:
    """What the gate answers, and why."""

    answer: Answer
    remarks: tuple[Remark, ...]

    @property
    def text(self) -> str:
        """All remarks as paragraphs."""
        return "\n".join(r.text for r in self.remarks)


def names_pollen(text: str) -> bool:
    """Whether a name speaks of pollen or bee bread, whatever else it says of it."""
    return _POLLEN.search(text) is not None


def lists_pollen(line: str) -> bool:
    """Whether a line of a label's list is real pollen; a substitute for it, or none of it, is not."""
    return names_pollen(line) and _NOT_POLLEN.search(line) is None


def pollen_gate(pollen: Pollen, law: CountryLaw, figures: Reader) -> Gate:
    """Whether real pollen may go into a feed.

    Own pollen from hives known to be free of disease passes. Irradiated pollen is judged by the
    dose on its certificate, against what is published for foulbrood spores in comb and honey.
    Anything else is refused, frozen or not.

    Errors
    ------
    RecipeError
        If the origin or the rays are no known word, or the dose is no possible one.

    Sources
    -------
    [gamma1962], [beam_comb2007], [irradiation] for doses, [qdaf_afb] for frost.
    """
    _check(pollen)
    found = _of_origin(pollen, figures)
    no = refused(found)
    if pollen.frozen or no:
        found.append(remark("pollen_frozen"))
    found.append(remark("pollen_border", law=border_law(law), ask=say(law.ask).split(";")[0]))
    cautious = any(r.level == "caution" for r in found)
    return Gate("refused" if no else "warned" if cautious else "passes", hardest_first(found))


def border_law(law: CountryLaw) -> str:
    """A country's rules on bringing in and moving pollen; says so where none was read."""
    if not law.code:
        return say(
            "No country is given, so no law is told: what may be brought in and moved "
            "differs between countries. Give the country, or ask."
        )
    told = " ".join(say(text) for text in (law.imports, law.movement) if text)
    if told:
        return f"{say(law.name)}: {told}"
    return say("No source on the rules of {name} was read.", name=say(law.name))


def _check(pollen: Pollen) -> None:
    """A word from a file may be any; only these are known."""
    if pollen.origin not in get_args(Origin):
        raise RecipeError(
            "pollen, origin", say('"{origin}" is unknown', origin=pollen.origin), ", ".join(get_args(Origin))
        )
    if pollen.rays is not None and pollen.rays not in get_args(Rays):
        raise RecipeError(
            "pollen, rays", say('"{rays}" is unknown', rays=pollen.rays), " or ".join(get_args(Rays))
        )


def _of_origin(pollen: Pollen, figures: Reader) -> list[Remark]:
    if pollen.origin == "own" and pollen.free_of_foulbrood:
        return [remark("pollen_own")]
    if pollen.rays is not None:
        return _of_rays(pollen, figures)
    return [remark("pollen_own_unchecked" if pollen.origin == "own" else "pollen_unknown")]


def _of_rays(pollen: Pollen, figures: Reader) -> list[Remark]:
    dose = _possible(pollen.dose_kgy, figures)
    if dose is None or not pollen.certificate:
        return [remark("pollen_no_certificate")]
    amount, least = _kgy(dose), figures.figure("feed_rule.least_radiation").span.low
    if dose < least:
        return [remark("pollen_dose_too_low", amount=amount, limit=_kgy(least))]
    needed, most = figures.figure("feed_rule.gamma").span, figures.figure("feed_rule.most_radiation").span.low
    enough = say("{low:g} to {high:g} kGy", low=needed.low, high=needed.high)
    found = []
    if pollen.rays == "electron beam":
        found.append(remark("pollen_beam", amount=amount))
    if dose < needed.low:
        found.append(remark("pollen_dose_low", amount=amount, limit=enough))
    elif pollen.rays == "gamma":
        found.append(remark("pollen_dose_enough", amount=amount, limit=enough))
    if dose >= most:
        found.append(remark("pollen_dose_high", amount=amount, limit=_kgy(most)))
    return found


def _possible(dose_kgy: float | None, figures: Reader) -> float | None:
    """The dose, if it can be one. [kGy]"""
    if dose_kgy is None:
        return None
    most = figures.figure("feed_rule.most_radiation").bounds[1]
    if 0 < dose_kgy <= most:
        return dose_kgy
    do = (
        say("If you typed gray, enter {dose_kgy:g} kGy", dose_kgy=dose_kgy / 1000)
        if dose_kgy > most
        else say("Look on the certificate")
    )
    raise RecipeError(
        "pollen, dose",
        say("{dose_kgy:g} kGy is implausible", dose_kgy=dose_kgy),
        say("above 0, up to {most:g} kGy", most=most),
        do,
    )


def _kgy(dose: float) -> str:
    return say("{dose:g} kGy", dose=dose)
