"""What several tests of rounds share: a reader, appetites, yards that are made up."""

from __future__ import annotations

import numpy as np

from breadline.knowledge.shelf import Reader, load
from breadline.measures import Units
from breadline.plan.appetite import Appetite, shipped_appetite
from breadline.plan.beetles import Beetles, Lying, limit
from breadline.plan.cuts import usual_patty
from breadline.plan.portions import Round

SEED = 20270120


def reader() -> Reader:
    return load().reader()


def rng() -> np.random.Generator:
    return np.random.default_rng(SEED)


def appetite() -> Appetite:
    return shipped_appetite(reader())


def a_round(
    beetles: Beetles = "seen",
    outside_c: float = 12.0,
    visit: int = 7,
    units: Units = "lb",
    means: str = "full",
    rim: bool = True,
) -> Round:
    """A round in Georgia-like weather unless something else is said; made up."""
    shelf = reader()
    lies = limit(Lying(beetles, outside_c, rim=rim), shelf)
    a_frame = shelf.typical(f"frame_of_bees.{means}")
    return Round(lies, visit, beetles, usual_patty(units, shelf), appetite(), a_frame)
