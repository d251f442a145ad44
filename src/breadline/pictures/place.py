"""A small placer of labels: tries places along a label's own line and keeps clear of the others."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from breadline.pictures.frame import Box
from breadline.pictures.letters import text_width
from breadline.span import FloatArray

Side = Literal["above", "below", "right", "left", "on"]
LINE_HEIGHT = 1.22  # [em]
AIR = 3.0  # between two labels [px]
GAPS = (5.0, 10.0, 16.0, 24.0)  # between a line and its label [px]


@dataclass(frozen=True)
class Try:
    """A wording on one of the ``sides`` of the points ``along`` its own line.

    ``along`` has shape (n, 2), in pixels, the best point first.
    """

    text: str
    along: FloatArray
    sides: tuple[Side, ...]


def tries(texts: Sequence[str], along: FloatArray, sides: tuple[Side, ...]) -> tuple[Try, ...]:
    """The wordings from long to short at the same places."""
    return tuple(Try(text, along, sides) for text in texts)


@dataclass(frozen=True)
class Label:
    """A label that wants a place.

    ``tries`` come in order of liking.
    """

    tries: tuple[Try, ...]
    colour: str
    weight: int = 600
    size: float = 14.0
    only_clear: bool = False  # better left out than set on a line


@dataclass(frozen=True)
class Placed:
    """A label in its place: left edge and top of its box; ``crossed`` where a line runs behind it."""

    text: str
    box: Box
    label: Label
    crossed: bool


def sampled(points: FloatArray, step: float = 2.0) -> FloatArray:
    """A polyline of shape (n, 2) as points no further apart than ``step`` [px] along it."""
    if len(points) < 2:
        return points
    along = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(points, axis=0).T))])
    at = np.linspace(0.0, along[-1], int(np.ceil(along[-1] / step)) + 1)
    return np.column_stack([np.interp(at, along, points[:, 0]), np.interp(at, along, points[:, 1])])


def text_box(text: str, label: Label, at: FloatArray, side: Side, gap: float) -> Box:
    """Box of ``text`` set ``gap`` pixels from one side of the point ``at``."""
    width = text_width(text, label.size, label.weight)
    height = (text.count("\n") + 1) * label.size * LINE_HEIGHT
    x, y = float(at[0]), float(at[1])
    left, top = x - width / 2, y - height / 2
    if side == "above":
        top = y - gap - height
    elif side == "below":
        top = y + gap
    elif side == "right":
        left = x + gap
    elif side == "left":
        left = x - gap - width
    return Box(left, top, left + width, top + height)


class _Cloud:
    """Points of all lines, from left to right, so that a box is held against those beside it only."""

    def __init__(self, lines: Iterable[FloatArray]) -> None:
        parts = [sampled(line) for line in lines if len(line)]
        points = np.vstack(parts) if parts else np.empty((0, 2))
        points = points[np.argsort(points[:, 0], kind="stable")]
        self.x: list[float] = points[:, 0].tolist()
        self.y = points[:, 1]

    def inside(self, box: Box) -> int:
        """How many lie in the box, or too near to it."""
        across, along = 2.0, 4.0  # air kept between a line and a label [px]
        y = self.y[bisect_right(self.x, box.left - along) : bisect_left(self.x, box.right + along)]
        return int(np.count_nonzero((y > box.top - across) & (y < box.bottom + across)))


def placed(labels: Sequence[Label], plot: Box, lines: Iterable[FloatArray]) -> list[Placed]:
    """A place for each label, in order of importance.

    No label leaves the plot or overlaps another one; where no place keeps both promises the
    label is left out. Among the places left, the first clear of all lines wins; if none is, the
    one with the fewest crossings, and a shorter wording is tried before that.
    """
    cloud = _Cloud(lines)
    done: list[Placed] = []
    for label in labels:
        best = _best(label, plot, cloud, [p.box for p in done])
        if best is not None and not (best.crossed and label.only_clear):
            done.append(best)
    return done


def _best(label: Label, plot: Box, cloud: _Cloud, taken: list[Box]) -> Placed | None:
    fallback: tuple[int, Placed] | None = None
    for text, box in _boxes(label):
        if not plot.holds(box) or any(box.meets(other, AIR) for other in taken):
            continue
        hits = cloud.inside(box)
        if hits == 0:
            return Placed(text, box, label, False)
        if fallback is None or hits < fallback[0]:
            fallback = (hits, Placed(text, box, label, True))
    return fallback[1] if fallback else None


def _boxes(label: Label) -> Iterator[tuple[str, Box]]:
    for one in label.tries:
        for gap in GAPS if one.sides != ("on",) else GAPS[:1]:
            for at in one.along:
                for side in one.sides:
                    yield one.text, text_box(one.text, label, at, side, gap)
