"""Colours of the pictures: one palette for screens, one in grey for paper.

Cool is what the season gives by itself, warm is bread and feed, ink is what bees need and
people want. Grey is a palette of its own, not a filter.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Palette:
    """Hex colours by what they stand for."""

    ink: str = "#1E2523"
    soft: str = "#4A5451"
    line: str = "#78817D"
    hair: str = "#DADBD4"
    paper: str = "#FCFBF7"
    crust: str = "#963F16"
    stored: str = "#BF7340"
    crumb: str = "#EBC6A8"
    crumb_pale: str = "#F8E9DD"
    sky: str = "#1B5A7D"
    sky_pale: str = "#C9DDE8"
    unfed_fill: float = 0.55  # opacity of the fan without feed


SCREEN = Palette()
GREY = Palette(
    ink="#000000",
    soft="#3C3C3C",
    line="#7E7E7E",
    hair="#D9D9D9",
    paper="#FFFFFF",
    crust="#111111",
    stored="#8C8C8C",
    crumb="#BDBDBD",
    crumb_pale="#F0F0F0",
    sky="#4D4D4D",
    sky_pale="#DCDCDC",
    unfed_fill=0.0,
)
