"""A target as a row of numbers: what each ingredient brings towards it, at its safe end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import AMINO_ACIDS, Ingredient
from breadline.language import say
from breadline.ration.blanks import possible_amino_acid, possible_content, unnamed_part
from breadline.ration.problem import Problem
from breadline.ration.quotient import FloatArray, Quotient, Way, worst, worst_of
from breadline.ration.targets import PROTEIN, SHARE, SIDES, Side, Target

OF_PROTEIN = {PROTEIN, *AMINO_ACIDS}
LET_THROUGH = 1e-7  # of the largest coefficient of a row: what HiGHS takes for kept
ROUGHLY = 1e-3  # of a bound: further off than this is off it
DRY_LEAST = 0.01  # share of a mix that has to be dry matter, where anything is a per cent of it


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

    A mix with shares ``s`` (together 1) keeps it where ``above @ s`` is at least
    (or at most) ``bound`` times ``below @ s``, with each ingredient in the worst of its ways.

    Parameters
    ----------
    ways
        Above and below the line, one value per ingredient, shape (ingredients,): at each
        end where both move together, as amino acids do with their protein; else one way.
        [unit of the target × per, per]
    quotient
        What it can be over all ranges.
    """

    target: Target
    side: Side
    bound: float
    ways: tuple[Way, ...]
    quotient: Quotient

    def per(self, bound: float) -> FloatArray:
        """Below the line, where an ingredient is worst for this bound [unit of the target]. [per]"""
        return worst_of(self.ways, self.side, bound)[1]

    def at(self, bound: float) -> FloatArray:
        """Coefficients that must add up to nought or more, were the bound this [unit of the target]."""
        counted, per = worst_of(self.ways, self.side, bound)
        toward = counted - bound * per
        return toward if self.side == "least" else -toward

    def reached(self, shares: FloatArray) -> float:
        """What a mix comes to at the safe end; infinite over nought. [unit of the target]

        Parameters
        ----------
        shares
            Shape (ingredients,). [share]
        """
        return worst(self.ways, self.side, shares)

    @property
    def step(self) -> float:
        """How far a person would give way at once. [unit of the target]"""
        return self.target.step(self.side)

    def eased(self, by: float) -> float:
        """The bound after giving way. [unit of the target]"""
        return max(0.0, self.bound - by) if self.side == "least" else self.bound + by

    def reached_of(self, ends: tuple[float, float], shares: FloatArray) -> float:
        """The same, where the ends of the quotient for these shares are known. [unit of the target]"""
        known = self.quotient.least if self.side == "least" else self.quotient.most
        return ends[SIDES.index(self.side)] if self.ways is known else self.reached(shares)

    def tight(self, shares: FloatArray, within: float, ends: tuple[float, float] | None = None) -> bool:
        """Whether a mix of these shares [share] lies at the bound, within a part of it [share].

        ``ends`` are those of the quotient for these shares, where they are there. Never where nothing on
        offer holds any of it: then no mix is held by the bound. Where something on offer holds very
        much, as salt does of sodium, what the solver lets through is more than the part.
        """
        reached = self.reached(shares) if ends is None else self.reached_of(ends, shares)
        off = abs(reached - self.bound)
        near = off <= within * max(1.0, self.bound)
        if not near and off <= ROUGHLY * self.bound:
            toward = self.at(self.bound)
            near = abs(float(toward @ shares)) <= LET_THROUGH * float(np.abs(toward).max()) * shares.sum()
        return near and any(above.any() for above, _ in self.ways)


@dataclass
class Table:
    """The contents of what is on offer as arrays, each worked out once."""

    ingredients: tuple[Ingredient, ...]
    made: dict[tuple[str, str], Line] = field(default_factory=dict)
    parts: dict[tuple[str, str], Line] = field(default_factory=dict)

    def above(self, target: Target) -> Line:
        """What every ingredient brings above the line."""
        if target.of == SHARE:
            return self._members(target)
        line = self.held(target.of, target.factor)
        return Line(line.low * 100.0, line.high * 100.0, line.known) if target.to == PROTEIN else line

    def below(self, target: Target) -> Line:
        """What stands below the line: the other nutrient, the dry matter, or the whole."""
        if target.to:
            return self.held(target.to, target.factor)
        if target.basis in ("", "as fed"):
            return self.whole
        taken = [self.held("water")]
        if target.basis == "sugar-free dry matter":
            taken.append(self.held("sugars"))
        low = 1.0 - np.sum([line.high for line in taken], axis=0) / 100.0
        high = 1.0 - np.sum([line.low for line in taken], axis=0) / 100.0
        known = np.all([line.known for line in taken], axis=0)
        return Line(np.maximum(0.0, low), np.maximum(0.0, high), known)

    def quotient(self, target: Target, lines: tuple[Line, Line] | None = None) -> Quotient:
        """What a target can be over all ranges, from its two lines where they are there."""
        lines = lines or (self.above(target), self.below(target))
        least, most = (self.ways(target, side, lines) for side in SIDES)
        return Quotient(least, most, lines[0].known & lines[1].known)

    def ways(
        self, target: Target, side: Side, lines: tuple[Line, Line], middle: bool = False
    ) -> tuple[Way, ...]:
        """Above and below the line where a least counts low over high, and a most high over low.

        An amino acid over the protein that it is a part of, or over another one, lies
        at the same end as that: both ends are a way.
        """
        top, bottom = ("low", "high") if side == "least" else ("high", "low")
        above, below = lines[0].end(top, middle), lines[1].end(bottom, middle)
        if not {target.of, target.to} <= OF_PROTEIN:
            return ((above, below),)
        over, under = self.part(target.of, target.factor), self.part(target.to, target.factor)
        tied, protein = over.known & under.known, self.held(PROTEIN, "own factor")
        ends = [(protein.low + protein.high) / 2.0] if middle else [protein.low, protein.high]
        if not tied.any():
            return ((above, below),)
        if np.array_equal(protein.low[tied], protein.high[tied]):
            ends = ends[:1]
        times = 100.0 if target.to == PROTEIN else 1.0
        top_part, bottom_part = times * over.end(top, False), under.end(bottom, False)
        return tuple(
            (np.where(tied, top_part * grams, above), np.where(tied, bottom_part * grams, below))
            for grams in ends
        )

    def part(self, name: str, factor: str) -> Line:
        """Protein or an amino acid to a gram of protein on its own factor; known where it moves with it."""
        factor = factor if name == PROTEIN else ""
        if (name, factor) not in self.parts:
            self.parts[name, factor] = self._turn(factor) if name == PROTEIN else self._share(name)
        return self.parts[name, factor]

    def _turn(self, factor: str) -> Line:
        turn = np.ones(len(self.ingredients))
        if factor == "N × 6.25":
            turn = np.array([6.25 / i.nitrogen_factor for i in self.ingredients])
        return Line(turn, turn, np.ones(len(turn), dtype=bool))

    def _share(self, name: str) -> Line:
        """An amino acid over the protein of the row; not known where a label states grams of it."""
        at = AMINO_ACIDS.index(name)
        low, high = self._shares
        return Line(low[at], high[at], ~self.labelled)

    @cached_property
    def _shares(self) -> tuple[FloatArray, FloatArray]:
        """Least and most of every amino acid in the protein of its row, shape (acids, ingredients). [g/g]"""
        rows = [i.acid_shares for i in self.ingredients]
        share = np.array([[row.get(name, np.nan) for row in rows] for name in AMINO_ACIDS])
        blank = np.isnan(share)
        low, high = np.where(blank, 0.0, share), np.where(blank, self.unnamed, share)
        return np.where(self.labelled, 0.0, low), np.where(self.labelled, 0.0, high)

    @cached_property
    def whole(self) -> Line:
        """A gram of each ingredient is a gram. [g/g]"""
        n = len(self.ingredients)
        return Line(np.ones(n), np.ones(n), np.ones(n, dtype=bool))

    @cached_property
    def labelled(self) -> NDArray[np.bool_]:
        """Which ingredients bring amino acids of their own label, shape (ingredients,)."""
        return np.array([bool(i.amino_acids) for i in self.ingredients])

    @cached_property
    def unnamed(self) -> FloatArray:
        """Protein that no reported amino acid accounts for, shape (ingredients,). [g/g]"""
        return np.array([unnamed_part(i) for i in self.ingredients])

    def _acid(self, name: str) -> Line:
        """An amino acid as fed: its part of the protein, or what a label states. [g/100 g]"""
        part, protein = self.part(name, ""), self.held(PROTEIN, "own factor")
        low, high = part.low * protein.low, part.high * protein.high
        known = (part.low == part.high) | (low == high)
        for at in np.flatnonzero(self.labelled):
            stated = possible_amino_acid(self.ingredients[at], name)
            low[at], high[at] = stated.low, stated.high
            known[at] = stated.exact or name in self.ingredients[at].reported_acids
        return Line(low, high, known)

    def held(self, name: str, factor: str = "") -> Line:
        """How much of something each ingredient holds as fed.

        What was not reported lies from nought to what the reported rest leaves room
        for, as in the analysis.
        """
        if (name, factor) not in self.made:
            if name in AMINO_ACIDS:
                self.made[name, factor] = self._acid(name)
                return self.made[name, factor]
            make = _reported_protein if name == PROTEIN else _content
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
        lines, quotient = (above, below), table.quotient(target, (above, below))
        for side in SIDES:
            bound = target.bound(side)
            if bound is not None:
                safe = quotient.least if side == "least" else quotient.most
                ways = table.ways(target, side, lines, middle) if middle else safe
                rows.append(Row(target, side, bound, ways, quotient))
    return tuple(rows)


def floors_of(rows: Sequence[Row]) -> tuple[FloatArray, ...]:
    """For every dry basis in use, what keeps a mix above a hundredth of it, shape (ingredients,). [share]

    Water alone is any per cent of its dry matter that one likes; it is no feed.
    """
    dry = {row.target.basis: row.per(row.bound) for row in rows if row.target.basis not in ("", "as fed")}
    return tuple(per - DRY_LEAST for per in dry.values())


def _reported_protein(ingredient: Ingredient, name: str, factor: str) -> tuple[float, float, bool]:
    content = ingredient.crude_protein if factor == "N × 6.25" else ingredient.protein
    return content.low, content.high, True


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
            f"target {target.name}", say("“{keys}” is not on offer", keys="”, “".join(target.keys)),
            say("one of the ingredients on offer"), say("Add it, or drop the target"),
        )  # fmt: skip
    if target.to and float(below.high.max()) <= 0.0:
        raise RecipeError(
            f"target {target.name}", say("what stands below the line is 0 in everything on offer"),
            say("something on offer that contains it"), say("Add such an ingredient, or drop the ratio"),
        )  # fmt: skip
