"""Invented trials for the tests of mixed models: drawn, unbalanced, nested or crossed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
SHAPES = ("yards", "yards and arms", "yards and graders", "all three")


@dataclass(frozen=True)
class Trial:
    outcome: Floats
    fixed: Floats
    groups: dict[str, NDArray[np.int64]]


def trial(
    seed: int, shape: str = "yards", rows: int = 60, spread: tuple[float, ...] = (0.0, 0.3, 1.0, 4.0)
) -> Trial:
    """A trial with missing colonies: intercept, baseline and arm; each grouping's spread drawn from a few."""
    rng = np.random.default_rng(seed)
    yard, grader = rng.integers(0, rng.integers(5, 9), rows), rng.integers(0, 5, rows)
    drawn_by_yard = rng.random() < 0.5
    arm = yard % 2 if drawn_by_yard else rng.integers(0, 2, rows)
    half = 10 * yard + rng.integers(0, 2, rows) if drawn_by_yard else 10 * yard + arm
    known = {"yard": yard, "half": half, "grader": grader}
    wanted = {"yards": "yard", "yards and arms": "yard half", "yards and graders": "yard grader"}
    names = wanted.get(shape, "yard half grader").split()
    fixed = np.column_stack([np.ones(rows), rng.normal(5.0, 1.0, rows), arm])
    y = fixed @ np.array([3.0, 0.6, 0.5]) + rng.normal(size=rows)
    for name in names:
        y += rng.choice(spread) * rng.normal(size=100)[known[name]]
    return Trial(y, fixed, {name: known[name] for name in names})
