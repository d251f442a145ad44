"""What a mix has to reach: a least or a most of something, on a basis that is always said."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal, get_args

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import AMINO_ACIDS, NUTRIENTS, Trait
from breadline.language import noted, say
from breadline.ration.bases import Basis, Factor, Of

Side = Literal["least", "most"]
SIDES: tuple[Side, ...] = ("least", "most")
PROTEIN = "protein"
SHARE = "share"  # of the mix, of named ingredients or of all with one trait
FACTOR_WORDS = {"N × 6.25": "N × 6.25", "own factor": noted("each ingredient’s own factor")}
ON = {
    "as fed": noted("as fed"), "dry matter": noted("on dry matter"),
    "sugar-free dry matter": noted("on sugar-free dry matter"),
}  # fmt: skip
AMINO = {
    "arg": noted("arginine"),
    "his": noted("histidine"),
    "ile": noted("isoleucine"),
    "leu": noted("leucine"),
    "lys": noted("lysine"),
    "met": noted("methionine"),
    "phe": noted("phenylalanine"),
    "thr": noted("threonine"),
    "trp": noted("tryptophan"),
    "val": noted("valine"),
    "cys": noted("cystine"),
}
SAID = {"linoleic": "ω6", "linolenic": "ω3"} | AMINO


@dataclass(frozen=True)
class Target:
    """One thing that a mix must reach or not pass.

    Use the makers below (``protein``, ``nutrient``, ``ratio``, ``share``, ``real_pollen``).

    Parameters
    ----------
    of
        ``"protein"``, one of ``NUTRIENTS`` or ``AMINO_ACIDS``, or ``"share"``.
    least, most
        The bounds; at least one of them. [its own ``unit``]
    basis
        Per cent of what; blank for ratios and shares.
    factor
        How nitrogen is turned to protein, wherever protein is counted.
    to
        What ``of`` is held against, for a ratio.
    keys, trait
        Whose share it is.
    """

    of: str
    least: float | None = None
    most: float | None = None
    basis: Of | Literal[""] = ""
    factor: Factor | Literal[""] = ""
    to: str = ""
    keys: tuple[str, ...] = ()
    trait: Trait | Literal[""] = ""

    def __post_init__(self) -> None:
        _known(self)
        _bases_said(self)
        _bounds_possible(self)

    @property
    def unit(self) -> str:
        """Unit of the bounds, as a recipe file has it."""
        if self.to:
            return "g per 100 g of protein" if self.to == PROTEIN else "to 1"
        on = "" if self.basis in ("", "as fed") else f" of {self.basis}"
        return f"mg per 100 g{on}" if NUTRIENTS.get(self.of) == "mg" else f"%{on}"

    @property
    def name(self) -> str:
        """What it is about, in words."""
        said = say(SAID.get(self.of, self.of))
        if self.of == SHARE:
            return _share_name(self)
        if self.of == PROTEIN and not self.to:
            return say("crude protein ({factor}, {on})", factor=say(FACTOR_WORDS[self.factor]), on=self._on())
        if self.to == PROTEIN:
            return say("{what} in the protein", what=said)
        if self.to:
            return f"{said}:{say(SAID.get(self.to, self.to))}"
        return f"{said} ({self._on()})"

    def _on(self) -> str:
        return say(ON[self.basis or "as fed"])

    def bound(self, side: Side) -> float | None:
        """The least or the most asked for; ``None`` where that side is open. [its own ``unit``]"""
        return self.least if side == "least" else self.most

    def step(self, side: Side) -> float:
        """The step by which a person would give way: 1 point of a percentage, a tenth of anything else.

        Percentages below 5 step by a tenth of a point, below 0.5 by a hundredth;
        what is no percentage by a tenth of the bound, rounded down to 1, 2 or 5 in
        its last place. It is also what one unit of giving way weighs. [its own ``unit``]
        """
        bound = abs(self.bound(side) or 0.0)
        if self.unit.startswith("%"):
            return 1.0 if bound >= 5.0 or bound == 0.0 else 0.1 if bound >= 0.5 else 0.01
        return _one_two_five(bound / 10.0) if bound else (10.0 if self.unit.startswith("mg") else 0.1)


@dataclass(frozen=True)
class Miss:
    """A side of a target that a mix misses, and what the mix comes to. [unit of the target]"""

    target: Target
    side: Side
    bound: float  # [unit of the target]
    reached: float  # [unit of the target]


def protein(basis: Basis, least: float | None = None, most: float | None = None) -> Target:
    """Crude protein, on a basis that has to be said. [%]"""
    return Target(PROTEIN, least, most, basis=basis.of, factor=basis.factor)


def nutrient(of: str, basis: Of, least: float | None = None, most: float | None = None) -> Target:
    """One of ``NUTRIENTS`` or ``AMINO_ACIDS``. [% or mg/100 g, as in ``NUTRIENTS``]"""
    return Target(of, least, most, basis=basis)


def ratio(of: str, to: str, least: float | None = None, most: float | None = None) -> Target:
    """Grams of one to a gram of the other, such as ω6:ω3 (linoleic, linolenic) or sugars to water. [g/g]"""
    return Target(of, least, most, to=to)


def in_protein(amino_acid: str, factor: Factor, least: float | None = None) -> Target:
    """An amino acid in the protein. [g/100 g of protein]"""
    return Target(amino_acid, least, to=PROTEIN, factor=factor)


def share(keys: str | tuple[str, ...], least: float | None = None, most: float | None = None) -> Target:
    """Share of one ingredient, or of several together, in the mix as fed. [%]"""
    return Target(SHARE, least, most, keys=(keys,) if isinstance(keys, str) else tuple(keys))


def real_pollen(least: float | None = None, most: float | None = None) -> Target:
    """Share of real pollen in the mix as fed. [%]"""
    return Target(SHARE, least, most, trait="pollen")


def _share_name(target: Target) -> str:
    if target.trait == "pollen":
        return say("share of real pollen")
    if target.trait:
        return say("share of {names}", names=say(target.trait))
    return say("share of {names}", names=say(" and ").join(target.keys))


def _one_two_five(value: float) -> float:
    ten = 10.0 ** math.floor(math.log10(value) + 1e-9)
    return float(next(n * ten for n in (5.0, 2.0, 1.0) if n * ten <= value * (1 + 1e-9)))


def _known(target: Target) -> None:
    """Refuse what no ingredient could report."""
    names = (PROTEIN, *NUTRIENTS, *AMINO_ACIDS)
    if target.of != SHARE and target.of not in names:
        raise RecipeError(
            f"target {target.of}",
            say("nothing of that name is kept"),
            say("one of {names}", names=", ".join(names)),
            say("Take one of these names"),
        )
    if target.to and (target.to not in names or target.to == target.of or target.of == SHARE):
        raise RecipeError(
            f"target {target.of}:{target.to}", say("nothing can be held against “{to}” here", to=target.to),
            say("another nutrient below the line"), say("Name what the ratio is to"),
        )  # fmt: skip
    if target.of == SHARE and not (target.keys or target.trait):
        raise RecipeError(
            "target share",
            say("it is not said whose share"),
            say("an ingredient"),
            say("Name the ingredient"),
        )


def _bases_said(target: Target) -> None:
    """Refuse a bound whose basis was left out: that is how 16.5 % gets read as 20.7 %."""
    counts_protein = PROTEIN in (target.of, target.to)
    plain = target.of != SHARE and not target.to
    if counts_protein and target.factor not in get_args(Factor):
        raise RecipeError(
            f"target {target.of}", say("it is not said how protein is counted from nitrogen"),
            say("“N × 6.25” or “own factor”"), say("Say which; for soy they differ by 9.5 %"),
        )  # fmt: skip
    if plain and target.basis not in get_args(Of):
        raise RecipeError(
            f"target {target.of}",
            say("its basis is not said"),
            say("as fed, dry matter or sugar-free dry matter"),
            say("Say which; a patty with a fifth of water differs by a quarter between them"),
        )


def _bounds_possible(target: Target) -> None:
    """Refuse bounds that no mix could be held to."""
    where = f"target {target.name}"
    bounds = [b for b in (target.least, target.most) if b is not None]
    if not bounds:
        raise RecipeError(
            where, say("neither a least nor a most is given"), say("one bound"), say("Give one, or leave it")
        )
    for bound in bounds:
        if not math.isfinite(bound) or bound < 0.0:
            raise RecipeError(
                where,
                say("{bound:g} is no bound", bound=bound),
                say("a number from 0 upwards"),
                say("Mend the number"),
            )
        if target.unit.startswith("%") and bound > 100.0:
            raise RecipeError(
                where,
                say("{bound:g} % is over 100 %", bound=bound),
                say("0 to 100 %"),
                say("Mend the number"),
            )
    if target.least is not None and target.most is not None and target.least > target.most:
        raise RecipeError(
            where,
            say("the least ({least:g}) lies above the most ({most:g})", least=target.least, most=target.most),
            say("a least no greater than the most"),
            say("Turn them round, or mend one"),
        )
