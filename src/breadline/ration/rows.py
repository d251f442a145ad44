"""A target as a row of numbers: what each ingredient brings towards it, at its safe end."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import AMINO_ACIDS, Ingredient
from breadline.ration.blanks import possible_amino_acid, possible_content
from breadline.ration.problem import Problem
from breadline.ration.targets import PROTEIN, SHARE, SIDES, Side, Target

FloatArray = NDArray[np.float64]
DRY_LEAST = 0.01  # share of a mix that has to be dry matter, where anything is a per cent of it
NOUGHT = 1e-9  # less than this of a mix is none of it


@dataclass(frozen=True)
class Line:
    """What stands above or below the line of a target, by ingredient.

    Parameters
    ----------
    low, high
        Ends of what it can be, shape (ingredients,). [unit of the target × per]
    known
        Whether it was reported, shape (ingredients,).
    """

    low: FloatArray
    high: FloatArray
    known: NDArray[np.bool_]

    def end(self, which: str, middle: bool) -> FloatArray:
        """The low or the high end, or half-way where it is known and so wanted. [as ``low``]"""
        end = self.low if which == "low" else self.high
        return np.where(self.known, (self.low + self.high) / 2.0, end) if middle else end


@dataclass(frozen=True)
class Row:
    """One side of one target over the ingredients on offer.

    A mix with shares ``s`` (together 1) keeps it where ``counted @ s`` is at least
    (or at most) ``bound`` times ``per @ s``.

    Parameters
    ----------
    counted, per
        Above and below the line, one value per ingredient, shape (ingredients,). [unit of the target]
    above, below
        The same with both ends.
    """

    target: Target
    side: Side
    bound: float
    counted: FloatArray
    per: FloatArray
    above: Line
    below: Line

    def at(self, bound: float) -> FloatArray:
        """Coefficients that must add up to nought or more, were the bound this [unit of the target]."""
        toward = self.counted - bound * self.per
        return toward if self.side == "least" else -toward

    def reached(self, shares: FloatArray) -> float:
        """What a mix comes to at the safe end; infinite over nought. [unit of the target]

        Parameters
        ----------
        shares
            Shape (ingredients,). [share]
        """
        return over(float(self.counted @ shares), float(self.per @ shares))

    @property
    def step(self) -> float:
        """How far a person would give way at once. [unit of the target]"""
        return self.target.step(self.side)

    def eased(self, by: float) -> float:
        """The bound after giving way. [unit of the target]"""
        return max(0.0, self.bound - by) if self.side == "least" else self.bound + by

    def tight(self, shares: FloatArray, within: float) -> bool:
        """Whether a mix of these shares [share] lies at the bound, within a part of it [share].

        Never where nothing on offer holds any of it: then no mix is held by the bound.
        """
        return bool(self.counted.any()) and abs(self.reached(shares) - self.bound) <= within * max(
            1.0, self.bound
        )


def over(top: float, bottom: float) -> float:
    """A quotient of two of the same unit; infinite over nought, and no number for nought over nought. [1]"""
    if bottom > NOUGHT:
        return top / bottom
    return math.inf if top > NOUGHT else math.nan


@dataclass
class Table:
    """The contents of what is on offer as arrays, each worked out once."""

    ingredients: tuple[Ingredient, ...]
    made: dict[tuple[str, str], Line] = field(default_factory=dict)

    def above(self, target: Target) -> Line:
        """What every ingredient brings above the line."""
        if target.of == SHARE:
            return self._members(target)
        line = self.held(target.of, target.factor)
        times = 100.0 if target.to == PROTEIN else 1.0
        return Line(line.low * times, line.high * times, line.known)

    def below(self, target: Target) -> Line:
        """What stands below the line: the other nutrient, the dry matter, or the whole."""
        if target.to:
            return self.held(target.to, target.factor)
        n = len(self.ingredients)
        if target.basis in ("", "as fed"):
            return Line(np.ones(n), np.ones(n), np.ones(n, dtype=bool))
        taken = [self.held("water")]
        if target.basis == "sugar-free dry matter":
            taken.append(self.held("sugars"))
        low = 1.0 - np.sum([line.high for line in taken], axis=0) / 100.0
        high = 1.0 - np.sum([line.low for line in taken], axis=0) / 100.0
        known = np.all([line.known for line in taken], axis=0)
        return Line(np.maximum(0.0, low), np.maximum(0.0, high), known)

    def held(self, name: str, factor: str = "") -> Line:
        """How much of something each ingredient holds as fed.

        What was not reported lies from nought to what the reported rest leaves room
        for, as in the analysis.
        """
        if (name, factor) not in self.made:
            make = _reported_protein if name == PROTEIN else _amino if name in AMINO_ACIDS else _content
            ends = [make(i, name, factor) for i in self.ingredients]
            low, high, known = zip(*ends, strict=True)
            self.made[name, factor] = Line(np.array(low), np.array(high), np.array(known))
        return self.made[name, factor]

    def _members(self, target: Target) -> Line:
        hundred = np.array(
            [100.0 * (i.key in target.keys or target.trait in i.traits) for i in self.ingredients]
        )
        return Line(hundred, hundred, np.ones(len(hundred), dtype=bool))


def rows_of(problem: Problem) -> tuple[Row, ...]:
    """All sides of all targets, in their order.

    Raises
    ------
    RecipeError
        Where a ratio has nothing below its line in anything on offer, or a least
        share is asked of what is not on offer.
    """
    table = Table(problem.ingredients)
    middle = problem.counted == "middle"
    rows: list[Row] = []
    for target in problem.targets:
        above, below = table.above(target), table.below(target)
        _on_offer(target, above, below)
        for side, top, bottom in SIDES:  # a least counts low over high, a most counts high over low
            bound = target.bound(side)
            if bound is not None:
                counted, per = above.end(top, middle), below.end(bottom, middle)
                rows.append(Row(target, side, bound, counted, per, above, below))
    return tuple(rows)


def floors_of(rows: Sequence[Row]) -> tuple[FloatArray, ...]:
    """For every dry basis in use, what keeps a mix above a hundredth of it, shape (ingredients,). [share]

    Water alone is any per cent of its dry matter that one likes; it is no feed.
    """
    dry = {row.target.basis: row.per for row in rows if row.target.basis not in ("", "as fed")}
    return tuple(per - DRY_LEAST for per in dry.values())


def _reported_protein(ingredient: Ingredient, name: str, factor: str) -> tuple[float, float, bool]:
    content = ingredient.crude_protein if factor == "N × 6.25" else ingredient.protein
    return content.low, content.high, True


def _amino(ingredient: Ingredient, name: str, factor: str) -> tuple[float, float, bool]:
    grams = ingredient.amino_acids.get(name)
    if grams is not None:
        return grams, grams, True
    content = possible_amino_acid(ingredient, name)
    return content.low, content.high, content.exact


def _content(ingredient: Ingredient, name: str, factor: str) -> tuple[float, float, bool]:
    reported = ingredient.nutrients.get(name)
    if reported is not None:
        return reported.low, reported.high, True
    content = possible_content(ingredient, name)
    return content.low, content.high, content.exact


def _absent(target: Target, above: Line) -> bool:
    """Whether it is a share of ingredients none of which is on offer: a most of it always holds."""
    return bool(target.keys) and not above.high.any()


def _on_offer(target: Target, above: Line, below: Line) -> None:
    """Refuse a least share of what is not there, and a ratio to what nothing contains."""
    if target.least and _absent(target, above):
        raise RecipeError(
            f"target {target.name}", f"“{'”, “'.join(target.keys)}” is not on offer",
            "one of the ingredients on offer", "Add it, or drop the target",
        )  # fmt: skip
    if target.to and float(below.high.max()) <= 0.0:
        raise RecipeError(
            f"target {target.name}", "what stands below the line is 0 in everything on offer",
            "something on offer that contains it", "Add such an ingredient, or drop the ratio",
        )  # fmt: skip
