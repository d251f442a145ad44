"""From what a keeper counts to bees, cells and grams.

No definition is assumed: a "frame of bees" is 1,400 to 2,430 bees by who says
it, so the figure always comes in as an argument and goes out with the answer.
"""

from __future__ import annotations

from math import sqrt
from typing import Literal

from breadline.errors import YardError
from breadline.language import say
from breadline.need.yard import BreadUnit

HEXAGON = 2.0 / sqrt(3.0)  # cells of width 1 on a unit of area
Sides = Literal[1, 2]


def bees_on_frames(frames: float, bees_per_frame: float) -> float:
    """Bees on ``frames`` frames under one stated definition [bees]."""
    _not_negative("frames of bees", frames)
    return frames * bees_per_frame


def bees_in_mass(kilograms: float, mg_per_bee: float) -> float:
    """Bees in a package or swarm of this mass [bees]."""
    _not_negative("mass of bees", kilograms)
    if mg_per_bee <= 0:
        raise YardError(
            "mass of one bee", say("{mg_per_bee} mg", mg_per_bee=mg_per_bee), say("a mass above 0 mg")
        )
    return kilograms * 1e6 / mg_per_bee


def on_comb(area_dm2: float, per_dm2: float, covered: float = 1.0) -> float:
    """Bees, cells or grams on a comb area of which a share is covered; the unit of ``per_dm2`` × dm²."""
    if not 0.0 <= covered <= 1.0:
        raise YardError(
            "share covered", f"{covered}", say("0 to 1, not a percentage"), say("Give 0.75 for 75 %")
        )
    _not_negative("comb area", area_dm2)
    return area_dm2 * per_dm2 * covered


def cells_per_dm2(width_mm: float, sides: Sides = 1) -> float:
    """Cells on a dm² of comb from the width of one cell across its flats [cells/dm²]."""
    if width_mm <= 0:
        raise YardError("cell width", say("{width_mm} mm", width_mm=width_mm), say("a width above 0 mm"))
    return sides * 1e4 * HEXAGON / width_mm**2


def cells_from_row(cells_per_dm: float, sides: Sides = 2) -> float:
    """Cells on a dm² of comb from the number counted along a dm of one row [cells/dm²]."""
    return cells_per_dm2(100.0 / cells_per_dm, sides)


def brood_cells(frames: float, cells_per_frame: float, filled: float) -> float:
    """Cells with brood on frames of brood: both sides of the comb × the share really filled [cells]."""
    _not_negative("frames of brood", frames)
    return on_comb(frames, cells_per_frame, filled)


def bread_g(bread: float, unit: BreadUnit, g_per_cell: float, cells_per_frame: float) -> float:
    """Stored pollen in grams from frames, cells or grams [g].

    A frame counts as full of bread, both sides; part of a frame is a fraction.
    """
    _not_negative("bread", bread)
    if unit == "g":
        return bread
    cells = bread * cells_per_frame if unit == "frames" else bread
    return cells * g_per_cell


def scaled(deep: float, comb_height_mm: float, deep_comb_height_mm: float) -> float:
    """A figure per deep frame for a frame of another comb height, in the figure's unit.

    Frames of one maker share their width, so comb area goes with comb height.
    """
    if comb_height_mm <= 0 or deep_comb_height_mm <= 0:
        raise YardError(
            "comb height",
            say(
                "{comb_height_mm} and {deep_comb_height_mm} mm",
                comb_height_mm=comb_height_mm,
                deep_comb_height_mm=deep_comb_height_mm,
            ),
            say("heights above 0 mm"),
        )
    return deep * comb_height_mm / deep_comb_height_mm


def _not_negative(what: str, value: float) -> None:
    if not value >= 0.0:
        raise YardError(what, f"{value}", say("0 or more"), say("Count again or leave it unknown"))
