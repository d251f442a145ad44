"""Whether a recipe survives both ends of what sources say of its protein, and what being safe costs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from breadline.knowledge.ingredient import Content, Ingredient
from breadline.ration.problem import Problem
from breadline.ration.rows import OF_PROTEIN, rows_of
from breadline.ration.solver import Solved, cheapest
from breadline.ration.targets import Miss

End = Literal["low", "high"]
ROUNDING = 1e-6  # of a bound


@dataclass(frozen=True)
class EndMiss(Miss):
    """A target that a recipe misses with all protein at one end of its range."""

    end: End


@dataclass(frozen=True)
class Ends:
    """How a recipe does at both ends.

    Parameters
    ----------
    spread
        Keys of used ingredients whose protein is a range.
    misses
        What it misses there; empty where it survives both.
    middle
        The cheapest recipe were every known range half-way, and what that one misses;
        ``None`` where no range makes a difference or there is no such recipe.
    """

    spread: tuple[str, ...]
    misses: tuple[EndMiss, ...]
    middle: Solved | None
    middle_misses: tuple[EndMiss, ...]

    @property
    def survives(self) -> bool:
        """Whether every target holds at both ends."""
        return not self.misses


def ends(solved: Solved) -> Ends:
    """A recipe at both ends of its protein; a safe one is set beside the one that counts half-way."""
    problem = solved.problem
    spread = tuple(i.key for i in problem.ingredients if i.key in solved.shares and not i.protein.exact)
    misses = tuple(_misses(problem, solved.shares))
    if problem.counted != "safe" or all(i.protein.exact for i in problem.ingredients):
        return Ends(spread, misses, None, ())
    middle = cheapest(replace(problem, counted="middle"), start=solved.shares_of_mixer)
    if not isinstance(middle, Solved):
        return Ends(spread, misses, None, ())
    return Ends(spread, misses, middle, tuple(_misses(problem, middle.shares)))


def _misses(problem: Problem, shares: Mapping[str, float]) -> Iterator[EndMiss]:
    """All protein and its amino acids at one end, then at the other; all else as the problem counts it."""
    mix = np.array([shares.get(k, 0.0) for k in problem.keys])
    for end in ("low", "high"):
        there = tuple(_at(i, end) for i in problem.ingredients)
        for row in rows_of(replace(problem, ingredients=there)):
            if not {row.target.of, row.target.to} & OF_PROTEIN:
                continue
            reached = row.reached(mix)
            short = row.bound - reached if row.side == "least" else reached - row.bound
            if short > ROUNDING * max(1.0, row.bound):
                yield EndMiss(row.target, row.side, row.bound, reached, end)


def _at(ingredient: Ingredient, end: End) -> Ingredient:
    """Its protein at one end; amino acids that are shares of it go along."""
    protein = getattr(ingredient.protein, end)
    return replace(ingredient, protein=Content(protein, protein))
