"""What every panel of the bread chart needs to draw itself, and lines as rows and as pixels."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from breadline.measures import Units
from breadline.need.outlook import Band, Outlook
from breadline.need.yard import Given, Goal
from breadline.pictures.canvas import Canvas, Row
from breadline.pictures.frame import Measure, Panel
from breadline.pictures.place import Label, Side, tries
from breadline.pictures.series import Series
from breadline.span import FloatArray


@dataclass(frozen=True)
class Scene:
    """Everything a panel needs to draw itself."""

    outlook: Outlook
    series: Series
    measure: Measure
    canvas: Canvas
    today: date
    units: Units
    goal: Goal | None = None
    given: tuple[Given, ...] = ()

    def day(self, on: date) -> int:
        """Days from the first day of the picture."""
        return (on - self.series.dates[0]).days

    def label(self, texts: tuple[str, ...], along: FloatArray, sides: tuple[Side, ...], colour: str) -> Label:
        """A label in the size of this picture."""
        return Label(tries(texts, along, sides), colour, size=self.measure.label)


@dataclass(frozen=True)
class Drawn:
    """Labels that want a place, and the lines (in pixels) that they should keep clear of."""

    labels: list[Label]
    lines: list[FloatArray]


def band_rows(band: Band, top: float = np.inf) -> list[Row]:
    """Area rows from low to high, cut at ``top``."""
    low, high = np.minimum(band.low, top).round(4), np.minimum(band.high, top).round(4)
    return [
        {"d": d, "v": v, "w": w, "run": 0}
        for d, (v, w) in enumerate(zip(low.tolist(), high.tolist(), strict=True))
    ]


def line_rows(values: FloatArray, top: float = np.inf) -> list[Row]:
    """Line rows, cut at ``top``."""
    return [{"d": d, "v": v} for d, v in enumerate(np.minimum(values, top).round(4).tolist())]


def pixel_line(panel: Panel, values: FloatArray) -> FloatArray:
    """The same line in pixels, shape (days, 2)."""
    days = np.arange(len(values), dtype=float)
    y = [panel.y(min(float(v), panel.top_value)) for v in values]
    return np.column_stack([[panel.x(d) for d in days], y])


def spread(line: FloatArray, first: float = 0.5, places: int = 40) -> FloatArray:
    """Points along a line, those nearest to share ``first`` of its length leading."""
    share = np.linspace(0.02, 0.98, places)
    order = np.argsort(np.abs(share - first), kind="stable")
    chosen: FloatArray = line[np.minimum((share[order] * (len(line) - 1)).round().astype(int), len(line) - 1)]
    return chosen
