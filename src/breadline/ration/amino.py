"""The amino acid that runs short first, against a pattern measured in cages. Advice, never a limit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from breadline.errors import RecipeError
from breadline.knowledge.amino_pattern import AminoPattern
from breadline.knowledge.ingredient import Content, Ingredient
from breadline.language import say
from breadline.ration.analysis import Analysis
from breadline.ration.bases import Factor
from breadline.ration.blanks import unnamed_protein
from breadline.ration.rows import Table
from breadline.ration.targets import in_protein

_HALVINGS = 60
_COUNTS = 0.01  # of the protein: below it a blank is not worth naming [share]


@dataclass(frozen=True)
class AminoScore:
    """How the amino acids of a mix compare with the pattern; 1 is as much as the pattern asks. [1]

    Parameters
    ----------
    score
        Of the amino acid that runs short first, as a range where contents are ranges. [1]
    limiting
        Which it is, or may be, scarcest first.
    each
        Every amino acid of the pattern over what the pattern asks. [1]
    factor
        The basis of the protein that both are per cent of.
    blank, proxies
        Ingredients that reported none, or not all, but for traces; and those whose amino acids stand in
        from another.
    useful_protein
        Protein as fed that the scarcest amino acid lets a bee use, by the pattern; never above all. [%]
    pattern
        What they were held against, with its label and what speaks against it.
    """

    score: Content
    limiting: tuple[str, ...]
    each: Mapping[str, Content]
    factor: Factor
    blank: tuple[str, ...]
    proxies: tuple[str, ...]
    useful_protein: Content
    pattern: AminoPattern

    @property
    def sure(self) -> bool:
        """Whether one amino acid is known to run short first."""
        return len(self.limiting) == 1


def amino_score(analysis: Analysis, pattern: AminoPattern, factor: Factor) -> AminoScore:
    """Amino acids as per cent of protein over what ``pattern`` asks, at full digestion.

    Errors
    ------
    RecipeError
        If the mix has no protein, or the pattern asks for nothing.
    """
    protein = analysis.crude_protein if factor == "N × 6.25" else analysis.own_protein
    asked = {name: per_cent for name, per_cent in pattern.percent.items() if per_cent > 0}
    if protein.high <= 0 or not asked:
        raise RecipeError(
            analysis.name, say("there is no protein to judge"), say("some protein"), say("Add a protein")
        )
    each = {name: _over(analysis, name, factor, asked[name]) for name in asked}
    enough = _enough_for(analysis, asked)
    open_ = protein.low > 0 and any(analysis.amino_acids[name].blank for name in asked)
    top = enough.high / protein.low if open_ else float("inf")
    low = min(c.low for c in each.values())
    score = Content(low, max(low, min(top, *(c.high for c in each.values()))))
    order = sorted(asked, key=lambda name: (each[name].low, each[name].high))
    limiting = tuple(name for name in order if each[name].low <= score.high * (1 + 1e-12))
    blank = [
        kind.name
        for key, kind in analysis.ingredients.items()
        if _unreported(kind, asked) and analysis.shares[key] * unnamed_protein(kind) > _COUNTS * protein.low
    ]
    proxies = tuple(kind.name for kind in analysis.ingredients.values() if kind.proxy_of_amino_acids)
    useful = Content(min(protein.low, enough.low), min(protein.high, enough.high))
    return AminoScore(score, limiting, each, factor, tuple(blank), proxies, useful, pattern)


def _over(analysis: Analysis, name: str, factor: Factor, asked: float) -> Content:
    """Amino acid over protein, over what is asked [%]; exact, as both move together. [1]"""
    table = Table(tuple(analysis.ingredients.values()))
    shares = np.array([analysis.shares[key] for key in analysis.ingredients])
    low, high = table.quotient(in_protein(name, factor, least=0.0)).span(shares)
    high = min(high / asked, 100.0 / asked)
    return Content(min(low / asked, high), high)


def _enough_for(analysis: Analysis, asked: Mapping[str, float]) -> Content:
    """How much protein of the pattern the mix's amino acids would make. [g/100 g]

    Its high end: protein of unreported make-up cannot be all amino acids at once.
    """
    held = {name: analysis.amino_acids[name] for name in asked}
    low = min(100.0 * held[name].content.low / per_cent for name, per_cent in asked.items())
    high = min(100.0 * held[name].content.high / per_cent for name, per_cent in asked.items())
    if not any(amount.blank for amount in held.values()):
        return Content(low, high)
    spare = sum(
        analysis.shares[key] * unnamed_protein(kind)
        for key, kind in analysis.ingredients.items()
        if _unreported(kind, asked)
    )
    least, most = low, high
    for _ in range(_HALVINGS):
        middle = (least + most) / 2.0
        wanted = sum(
            max(0.0, middle * per_cent / 100.0 - held[name].content.low) for name, per_cent in asked.items()
        )
        least, most = (middle, most) if wanted <= spare else (least, middle)
    return Content(low, most)


def _unreported(kind: Ingredient, asked: Mapping[str, float]) -> bool:
    return any(kind.amino_acid(name) is None for name in asked)
