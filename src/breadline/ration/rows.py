"""A target as a row of numbers: what each ingredient brings towards it, at its safe end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import AMINO_ACIDS, Content, Ingredient
from breadline.ration.blanks import possible_amino_acid, possible_content
from breadline.ration.problem import Counted, Problem
from breadline.ration.targets import PROTEIN, SHARE, Side, Target

FloatArray = NDArray[np.float64]
NOUGHT = 1e-9  # less than this of a mix is none of it
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
        top, bottom = float(self.counted @ shares), float(self.per @ shares)
        if abs(bottom) < NOUGHT:
            return float("inf") if abs(top) > NOUGHT else float("nan")
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
            bound = target.bound(side)
            if bound is not None:
                rows.append(_row(problem, target, side, bound))
    return tuple(rows)


def _row(problem: Problem, target: Target, side: Side, bound: float) -> Row:
    """One side: a least counts low over high, a most counts high over low."""
    top_end, bottom_end = ("low", "high") if side == "least" else ("high", "low")
    tops = [above(i, target) for i in problem.ingredients]
    bottoms = [below(i, target) for i in problem.ingredients]
    guessed = tuple(
        i.key for i, (_, a), (_, b) in zip(problem.ingredients, tops, bottoms, strict=True) if not (a and b)
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
    content, known = held(ingredient, target.of, target.factor)
    times = 100.0 if target.to == PROTEIN else 1.0
    return Content(content.low * times, content.high * times), known


def below(ingredient: Ingredient, target: Target) -> tuple[Content, bool]:
    """What stands below the line: the other nutrient, the dry matter, or the whole. [as ``above``]"""
    if target.to:
        return held(ingredient, target.to, target.factor)
    if target.basis in ("", "as fed"):
        return WHOLE, True
    taken = [held(ingredient, "water")]
    if target.basis == "sugar-free dry matter":
        taken.append(held(ingredient, "sugars"))
    low, high = (1.0 - sum(getattr(c, end) for c, _ in taken) / 100.0 for end in ("high", "low"))
    return Content(max(0.0, low), max(0.0, high)), all(known for _, known in taken)


def held(ingredient: Ingredient, name: str, factor: str = "") -> tuple[Content, bool]:
    """How much an ingredient holds as fed, and whether that was reported.

    What was not reported lies from nought to what the reported rest leaves room
    for, as in the analysis. [g/100 g, minerals mg/100 g]
    """
    if name == PROTEIN:
        return (ingredient.crude_protein if factor == "N × 6.25" else ingredient.protein), True
    if name in AMINO_ACIDS:
        return possible_amino_acid(ingredient, name), name in ingredient.amino_acids
    content = possible_content(ingredient, name)
    return content, ingredient.content(name) is not None or content.exact


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
            f"target {target.name}", "what stands below the line is 0 in everything on offer",
            "something on offer that contains it", "Add such an ingredient, or drop the ratio",
        )  # fmt: skip
