"""A target as a row of numbers: what each ingredient brings towards it, at its safe end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import AMINO_ACIDS, NUTRIENTS, Content, Ingredient
from breadline.ration.problem import Counted, Problem
from breadline.ration.targets import PROTEIN, SHARE, Side, Target

FloatArray = NDArray[np.float64]
WHOLE = Content(1.0, 1.0)


@dataclass(frozen=True)
class Row:
    """One side of one target over the ingredients on offer.

    A mix with shares ``s`` (together 1) keeps it where ``counted @ s`` is at least
    (or at most) ``bound`` times ``per @ s``.

    Parameters
    ----------
    counted, per
        Above and below the line, one value per ingredient, shape (ingredients,). [unit of the target]
    guessed
        Keys of ingredients whose value was not reported and counts at its bad end.
    """

    target: Target
    side: Side
    bound: float
    counted: FloatArray
    per: FloatArray
    guessed: tuple[str, ...] = ()

    def at(self, bound: float) -> FloatArray:
        """Coefficients that must add up to nought or more, were the bound this, shape (ingredients,)."""
        toward = self.counted - bound * self.per
        return toward if self.side == "least" else -toward

    def reached(self, shares: FloatArray) -> float:
        """What a mix comes to, counted at the safe end; infinite over nought. [unit of the target]"""
        top, bottom = float(self.counted @ shares), float(self.per @ shares)
        if abs(bottom) < 1e-12:
            return float("inf") if abs(top) > 1e-12 else float("nan")
        return top / bottom

    @property
    def step(self) -> float:
        """How far a person would give way at once. [unit of the target]"""
        return self.target.step(self.side)

    def eased(self, by: float) -> float:
        """The bound after giving way. [unit of the target]"""
        return max(0.0, self.bound - by) if self.side == "least" else self.bound + by


def rows_of(problem: Problem) -> tuple[Row, ...]:
    """All sides of all targets, in their order.

    Raises
    ------
    RecipeError
        Where a ratio has nothing below its line in anything on offer, or a share is
        asked of something that is not on offer.
    """
    rows: list[Row] = []
    for target in problem.targets:
        _on_offer(target, problem)
        for side in ("least", "most"):
            bound = target.bound(side)  # type: ignore[arg-type]
            if bound is not None:
                rows.append(_row(problem, target, side, bound))  # type: ignore[arg-type]
    return tuple(rows)


def _row(problem: Problem, target: Target, side: Side, bound: float) -> Row:
    """One side: a least counts low over high, a most counts high over low."""
    top_end, bottom_end = ("low", "high") if side == "least" else ("high", "low")
    tops = [above(i, target) for i in problem.ingredients]
    bottoms = [below(i, target) for i in problem.ingredients]
    guessed = tuple(
        i.key
        for i, (_, a), (_, b) in zip(problem.ingredients, tops, bottoms, strict=True)
        if not (a and b)
    )
    return Row(
        target, side, bound,
        np.array([_end(c, known, top_end, problem.counted) for c, known in tops]),
        np.array([_end(c, known, bottom_end, problem.counted) for c, known in bottoms]),
        guessed,
    )  # fmt: skip


def _end(content: Content, known: bool, end: str, counted: Counted) -> float:
    if known and counted == "middle":
        return content.middle
    return content.low if end == "low" else content.high


def above(ingredient: Ingredient, target: Target) -> tuple[Content, bool]:
    """What an ingredient brings above the line, and whether it was reported. [unit of the target × per]"""
    if target.of == SHARE:
        member = ingredient.key in target.keys or (target.trait and target.trait in ingredient.traits)
        return (Content(100.0, 100.0) if member else Content(0.0, 0.0)), True
    content, known = held(ingredient, target.of, target.protein_on)
    times = 100.0 if target.to == PROTEIN else 1.0
    return Content(content.low * times, content.high * times), known


def below(ingredient: Ingredient, target: Target) -> tuple[Content, bool]:
    """What stands below the line: the other nutrient, the dry matter, or the whole. [as ``above``]"""
    if target.to:
        return held(ingredient, target.to, target.protein_on)
    if target.basis == "dry matter":
        water, known = held(ingredient, "water")
        return Content(1.0 - water.high / 100.0, 1.0 - water.low / 100.0), known
    return WHOLE, True


def held(ingredient: Ingredient, name: str, protein_on: str = "") -> tuple[Content, bool]:
    """How much an ingredient holds as fed, and whether that was reported.

    What was not reported lies from nought to what the reported rest leaves room
    for. [g/100 g, minerals mg/100 g]
    """
    if name == PROTEIN:
        return (ingredient.crude_protein if protein_on == "N x 6.25" else ingredient.protein), True
    if name in AMINO_ACIDS:
        grams = ingredient.amino_acids.get(name)
        return (Content(0.0, ingredient.protein.high), False) if grams is None else (Content(grams, grams), True)
    there = ingredient.content(name)
    return (Content(0.0, room_for(ingredient, name)), False) if there is None else (there, True)


def room_for(ingredient: Ingredient, name: str) -> float:
    """The most that something unreported could be, given the rest. [g/100 g, minerals mg/100 g]"""
    if NUTRIENTS[name] == "mg":
        return 1000.0 * _high(ingredient, "ash")
    if name in ("linoleic", "linolenic"):
        return _high(ingredient, "fat")
    if name == "lactose" and ingredient.content("sugars") is not None:
        return _high(ingredient, "sugars")
    taken = ingredient.protein.low
    for other in ("water", "fat", "ash"):
        there = ingredient.content(other)
        if other != name and there is not None:
            taken += there.low
    return max(0.0, 100.0 - taken)


def _high(ingredient: Ingredient, name: str) -> float:
    there = ingredient.content(name)
    return room_for(ingredient, name) if there is None else there.high


def _on_offer(target: Target, problem: Problem) -> None:
    """Refuse a share of what is not there, and a ratio to what nothing contains."""
    ingredients: Sequence[Ingredient] = problem.ingredients
    for key in target.keys:
        if key not in problem.keys:
            raise RecipeError(
                f"target {target.name}", f"“{key}” is not on offer", "one of the ingredients on offer",
                "Add it, or drop the target",
            )  # fmt: skip
    if target.to and all(below(i, target)[0].high <= 0.0 for i in ingredients):
        raise RecipeError(
            f"target {target.name}", "nothing on offer has any of what stands below the line, which would be 0",
            "something on offer that contains it", "Add such an ingredient, or drop the ratio",
        )  # fmt: skip
