"""Sizes of the bread chart, and the boxes of its panels in pixels."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from breadline.pictures.palette import GREY, SCREEN, Palette

Size = Literal["wide", "phone", "print"]
PanelName = Literal["ground", "pollen", "rounds", "bread", "frames", "front"]
LABEL_ROOM = 36  # left of the plot, for the numbers of the axis [px]
RIGHT_ROOM = 8  # [px]


@dataclass(frozen=True)
class Measure:
    """What differs between a screen, a phone and paper; all lengths in [px]."""

    plot: int
    label: float  # text size of labels and heads
    axis: float  # text size of the axis
    heights: dict[PanelName, int]
    stripe_gap: float  # shortest room between two stripes
    palette: Palette
    lent: int = 0  # of the height of pollen and of frames each, to a row of rounds: paper is one page


MEASURES: dict[Size, Measure] = {
    "wide": Measure(788, 14, 13, {"pollen": 206, "rounds": 22, "bread": 62, "frames": 206}, 7.0, SCREEN),
    "phone": Measure(320, 14, 13, {"pollen": 176, "rounds": 22, "bread": 58, "frames": 172}, 6.0, SCREEN),
    "print": Measure(620, 12, 11, {"pollen": 104, "rounds": 16, "bread": 36, "frames": 100}, 5.5, GREY, 22),
}


@dataclass(frozen=True)
class Box:
    """A rectangle in pixels; y grows downward."""

    left: float
    top: float
    right: float
    bottom: float

    def holds(self, other: Box) -> bool:
        """True where ``other`` lies wholly inside."""
        return (
            other.left >= self.left
            and other.right <= self.right
            and other.top >= self.top
            and other.bottom <= self.bottom
        )

    def meets(self, other: Box, air: float = 0.0) -> bool:
        """True where the two overlap or come nearer than ``air``."""
        return not (
            other.left >= self.right + air
            or other.right <= self.left - air
            or other.top >= self.bottom + air
            or other.bottom <= self.top - air
        )


@dataclass(frozen=True)
class Panel:
    """One panel: its box, and the scales of days and values."""

    name: PanelName
    box: Box
    span: float  # days across the plot
    top_value: float  # value at the box's top; 0 is at its bottom

    def x(self, day: float) -> float:
        """Pixel of a day counted from the first."""
        return day / self.span * self.box.right

    def y(self, value: float) -> float:
        """Pixel of a value."""
        share = value / self.top_value
        return self.box.bottom - share * (self.box.bottom - self.box.top)


def stacked(measure: Measure, names: tuple[PanelName, ...], first: float) -> dict[PanelName, Box]:
    """Boxes of the panels one under the other, with room for each head."""
    boxes: dict[PanelName, Box] = {}
    y = first
    for name in names:
        y += measure.label * (2.0 if name == "rounds" else 3.2)
        lent = measure.lent if "rounds" in names and name in ("pollen", "frames") else 0
        boxes[name] = Box(0, y, measure.plot, y + measure.heights[name] - lent)
        y = boxes[name].bottom + measure.label * (1.0 if name == "rounds" else 1.4)
    return boxes
