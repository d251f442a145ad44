"""The ranges searched, and the way between them and numbers from 0 to 1."""

from __future__ import annotations

import tomllib
from functools import cache
from pathlib import Path

import numpy as np

from breadline.need.parameters import NAMES, Parameters
from breadline.span import FloatArray

PRIORS = Path(__file__).parent / "priors.toml"
FIXED = {"site": 1.0}  # how rich the place is stays with the yard


@cache
def ranges() -> dict[str, tuple[float, float, str]]:
    """Low, high and scale of each parameter that is searched."""
    read = tomllib.loads(PRIORS.read_text("utf-8"))
    return {name: (float(low), float(high), str(scale)) for name, (low, high, scale) in read.items()}


SEARCHED = tuple(name for name in NAMES if name not in FIXED)


def parameters(unit: FloatArray) -> Parameters:
    """Parameters from points of the unit cube, shape (draws, searched)."""
    columns = {}
    for k, name in enumerate(SEARCHED):
        low, high, scale = ranges()[name]
        u = unit[:, k]
        columns[name] = (
            np.exp(np.log(low) + u * np.log(high / low)) if scale == "log" else low + u * (high - low)
        )
    for name, value in FIXED.items():
        columns[name] = np.full(unit.shape[0], value)
    return Parameters(**columns)


def inside(unit: FloatArray) -> FloatArray:
    """Points thrown back at the walls of the cube, so that none is lost and none sticks there."""
    folded = np.abs(unit) % 2.0
    return np.where(folded > 1.0, 2.0 - folded, folded)
