"""What the pictures of the evidence share: a plot in pixels, squares by colonies, an axis of ratios."""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass
from typing import Any

from breadline.language import say
from breadline.pictures.canvas import Canvas, Row
from breadline.pictures.frame import MEASURES, Size
from breadline.pictures.letters import TEXT_STACK, text_width
from breadline.pictures.palette import Palette
from breadline.pictures.render import svg_of

WIDTHS: dict[Size, int] = {"wide": 828, "phone": 360, "print": 660}
Style = tuple[tuple[str, Any], ...]
PADDING = {"left": 2, "right": 2, "top": 0, "bottom": 0}
UNSAID = 6  # colonies a group, drawn where a trial does not say: as the vote takes it, but open
SIDE: dict[Size, float] = {
    "wide": 4.0,
    "phone": 2.6,
    "print": 2.8,
}  # px of a square's side a root of a colony
LEAST = 3.0  # px of the smallest square
LINES: dict[Size, float] = {"wide": 1.75, "phone": 2.6, "print": 1.5}  # heights of a label from line to line
AXIS_FOOT = 12.0  # px under the numbers of an axis


@dataclass(frozen=True)
class Square:
    """A comparison as a square: area by colonies a group, open where they were not said."""

    x: float
    y: float
    side: float
    said: bool


class Plot:
    """A sheet of a fixed width whose marks are placed in pixels from its top left corner.

    Marks of one style are gathered and drawn at once: a layer for each of a hundred rules takes the
    renderer longer than all the rest.
    """

    def __init__(self, size: Size, height: float) -> None:
        measure = MEASURES[size]
        self.size, self.label, self.axis = size, measure.label, measure.axis
        self.palette: Palette = measure.palette
        self.canvas = Canvas(WIDTHS[size], height, WIDTHS[size])
        self._under: dict[Style, list[Row]] = defaultdict(list)
        self._rules: dict[Style, list[Row]] = defaultdict(list)
        self._boxes: dict[Style, list[Row]] = defaultdict(list)
        self._diamonds: list[Row] = []
        self._rings: list[Row] = []
        self._before: list[Row] = []
        self._own: list[Row] = []

    def text(self, x: float, y: float, words: str, **style: Any) -> None:
        """One line, ``y`` at its middle; in second-text colour and label size unless said."""
        said: dict[str, Any] = {"colour": self.palette.soft, "size": self.label} | style
        self.canvas.text(x, y, words, **said)

    def rule(self, x: float, y: float, to: tuple[float, float], *, over: bool = False, **style: Any) -> None:
        """A straight rule from a point to another; under all marks, or over the other rules."""
        gathered = self._rules if over else self._under
        gathered[tuple(sorted(style.items()))].append({"d": x, "v": y, "e": to[0], "w": to[1]})

    def squares(self, squares: list[Square], colour: str) -> None:
        """Filled where colonies were said, open where not."""
        stroke = 1.4
        for square in squares:
            look: dict[str, Any] = {"fill": colour}
            if not square.said:
                look = {"fill": self.palette.paper, "stroke": colour, "strokeWidth": stroke}
            corners = _corners(square, 0.0 if square.said else stroke / 2)
            self._boxes[tuple(sorted(look.items()))].append(corners)

    def diamond(self, x: float, y: float) -> None:
        """The mark of a belief."""
        self._diamonds.append({"d": x, "v": y})

    def before(self, x: float, y: float) -> None:
        """The mark of a belief as it was before."""
        self._before.append({"d": x, "v": y})

    def own(self, x: float, y: float) -> None:
        """The mark of a trial of one's own."""
        self._own.append({"d": x, "v": y})

    def ring(self, x: float, y: float) -> None:
        """The mark of what all say together."""
        self._rings.append({"d": x, "v": y})

    def svg(self, sentence: str) -> str:
        """The picture, labelled with a sentence for screen readers."""
        c = self.canvas
        for style, rows in self._under.items():
            c.rule(c.ground, rows, **dict(style))
        for style, rows in self._rules.items():
            c.rule(c.front, rows, **dict(style))
        for style, rows in self._boxes.items():
            c.rect(c.front, rows, **dict(style))
        ink, paper = self.palette.ink, self.palette.paper
        if self._rings:
            c.point(c.front, self._rings, shape="circle", size=90, fill=paper, stroke=ink, strokeWidth=2.5)
        if self._before:
            c.point(c.front, self._before, shape="diamond", size=110, fill=paper, stroke=ink, strokeWidth=2)
        if self._own:
            crust = self.palette.crust
            c.point(c.front, self._own, shape="circle", size=70, fill=crust, stroke=crust, strokeWidth=1)
        c.point(c.front, self._diamonds, shape="diamond", size=110, fill=ink, stroke=ink, strokeWidth=2)
        return svg_of(c.spec(PADDING, TEXT_STACK, self.palette.paper), sentence)


def side_of(colonies: int | None, size: Size) -> float:
    """Side of the square for so many colonies a group [px]."""
    return max(LEAST, SIDE[size] * math.sqrt(colonies or UNSAID))


def packed(colonies: list[int | None], width: float, size: Size) -> tuple[list[Square], float]:
    """Squares in rows from the left, the largest first, standing on a common line; and their height [px]."""
    gap = 3.0 if size == "wide" else 2.0
    order = sorted(colonies, key=lambda n: (n is not None, n or 0), reverse=True)
    squares: list[Square] = []
    x = y = 0.0
    line: list[tuple[float, float, bool]] = []
    for side, said in ((side_of(n, size), n is not None) for n in order):
        if line and x + side > width:
            y = _stood(squares, line, y) + gap
            x, line = 0.0, []
        line.append((x, side, said))
        x += side + gap
    return squares, _stood(squares, line, y) if line else 0.0


def _stood(squares: list[Square], line: list[tuple[float, float, bool]], top: float) -> float:
    foot = top + max(side for _, side, _ in line)
    squares += [Square(x, foot - side, side, said) for x, side, said in line]
    return foot


def _corners(s: Square, inset: float) -> Row:
    return {"d": s.x + inset, "v": s.y + inset, "e": s.x + s.side - inset, "w": s.y + s.side - inset}


def moved(squares: list[Square], x: float, y: float) -> list[Square]:
    """The same squares, ``x`` and ``y`` further [px]."""
    return [Square(s.x + x, s.y + y, s.side, s.said) for s in squares]


@dataclass(frozen=True)
class RatioAxis:
    """Fed over check on a log scale, from ``least`` to ``most``, right of ``room`` for names [px]."""

    least: float  # [ratio]
    most: float  # [ratio]
    ticks: dict[float, str]  # [ratio]
    room: dict[Size, float]  # no room: names stand above their marks, and the rules only beside these

    def x(self, plot: Plot, ratio: float) -> float:
        """Pixel of a ratio; what runs off is held at the end."""
        left = self.room[plot.size] + 12
        share = math.log(min(max(ratio, self.least), self.most) / self.least) / math.log(
            self.most / self.least
        )
        return left + share * (WIDTHS[plot.size] - left - 6)

    def line_height(self, plot: Plot) -> float:
        """From one mark to the next [px]."""
        return plot.label * LINES[plot.size]

    def middle(self, plot: Plot, y: float) -> float:
        """Where the mark of a line lies whose name is at ``y`` [px]."""
        return y if self.room[plot.size] else y + plot.label * 1.25

    def rules(self, plot: Plot, top: float, foot: float) -> None:
        """The rule of each tick between two heights [px]; drawn before the marks."""
        for tick in self.ticks:
            same, x = tick == 1.0, self.x(plot, tick)
            colour = plot.palette.line if same else plot.palette.hair
            plot.rule(x, top, (x, foot), stroke=colour, strokeWidth=1.2 if same else 1.0)

    def numbers(self, plot: Plot, y: float) -> None:
        """The words of each tick, those that would meet left out."""
        free = -math.inf
        for tick, told in sorted(self.ticks.items(), key=lambda pair: pair[0] != 1.0):
            words = say(told)
            x, half = self.x(plot, tick), text_width(words, plot.axis) / 2
            if tick != 1.0 and x - half < free:
                continue
            free = x + half + 6 if tick != 1.0 else free
            left = min(x - half, WIDTHS[plot.size] - 2 * half)
            plot.text(left, y, words, size=plot.axis)


def per_cent(ratio: float) -> str:
    """A ratio of fed to check as a mark on an axis: "+25 %", "as many", "−30 %"."""
    by = round(100 * (ratio - 1))
    if by == 0:
        return say("as many")
    return f"{'+' if by > 0 else '−'}{abs(by)} %"
