"""A plot in pixels for the picture of all colonies: dots, diamonds, crosses, bars, rules and words."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

from breadline.pictures.canvas import Canvas, Row
from breadline.pictures.frame import MEASURES, Size
from breadline.pictures.letters import TEXT_STACK
from breadline.pictures.palette import Palette
from breadline.pictures.render import svg_of

WIDTHS: dict[Size, int] = {"wide": 828, "phone": 360, "print": 660}
PADDING = {"left": 2, "right": 2, "top": 0, "bottom": 0}
CROSS = 3.6  # px from the middle of a cross to its ends
Style = tuple[tuple[str, Any], ...]


class ColoniesPlot:
    """Marks placed in pixels from the top left corner, drawn from the ground up.

    Marks of one style are gathered and drawn at once; ``mark`` is how large they are, of their usual size
    [share].
    """

    def __init__(self, size: Size, height: float, mark: float = 1.0) -> None:
        measure, self.mark = MEASURES[size], mark
        self.size, self.label, self.axis = size, measure.label, measure.axis
        self.palette: Palette = measure.palette
        self.width = WIDTHS[size]
        self._canvas = Canvas(self.width, height, self.width)
        self._boxes: dict[Style, list[Row]] = defaultdict(list)
        self._under: dict[Style, list[Row]] = defaultdict(list)
        self._points: dict[Style, list[Row]] = defaultdict(list)
        self._over: dict[Style, list[Row]] = defaultdict(list)
        self._top: dict[Style, list[Row]] = defaultdict(list)

    def text(self, x: float, y: float, words: str, **style: Any) -> None:
        """One line, ``y`` at its middle; in second-text colour and label size unless said."""
        said: dict[str, Any] = {"colour": self.palette.soft, "size": self.label} | style
        self._canvas.text(x, y, words, **said)

    def box(self, x: float, y: float, to: tuple[float, float], **style: Any) -> None:
        """A filled box, behind all else."""
        self._boxes[_key(style)].append({"d": x, "v": y, "e": to[0], "w": to[1]})

    def rule(self, x: float, y: float, to: tuple[float, float], **style: Any) -> None:
        """A straight rule behind the marks."""
        self._under[_key(style)].append({"d": x, "v": y, "e": to[0], "w": to[1]})

    def bar(self, x: float, y: float, to: tuple[float, float], **style: Any) -> None:
        """A straight rule before the marks."""
        self._over[_key(style)].append({"d": x, "v": y, "e": to[0], "w": to[1]})

    def fed(self, x: float, y: float) -> None:
        """A fed colony."""
        crust = self.palette.crust
        self._points[
            _key({"shape": "circle", "size": 38 * self.mark**2, "fill": crust, "strokeWidth": 0})
        ].append(_at(x, y))

    def check(self, x: float, y: float) -> None:
        """A check colony."""
        look = {
            "shape": "diamond",
            "size": 34 * self.mark**2,
            "fill": self.palette.paper,
            "stroke": self.palette.sky,
        }
        self._points[_key({**look, "strokeWidth": 1.6})].append(_at(x, y))

    def cross(self, x: float, y: float, colour: str) -> None:
        """A lost colony."""
        reach = CROSS * self.mark
        for way in (-1, 1):
            self.bar(x - reach, y - way * reach, (x + reach, y + way * reach), stroke=colour, strokeWidth=2)

    def dot(self, x: float, y: float) -> None:
        """The difference in one yard."""
        soft = self.palette.soft
        self._points[_key({"shape": "circle", "size": 48, "fill": soft, "strokeWidth": 0})].append(_at(x, y))

    def ring(self, x: float, y: float) -> None:
        """The difference of all yards, before everything."""
        look = {"shape": "circle", "size": 120, "fill": self.palette.paper, "stroke": self.palette.ink}
        self._top[_key({**look, "strokeWidth": 3})].append(_at(x, y))

    def svg(self, sentence: str) -> str:
        """The picture, labelled with a sentence for screen readers."""
        c = self._canvas
        for style, rows in self._boxes.items():
            c.rect(c.ground, rows, **dict(style))
        for style, rows in self._under.items():
            c.rule(c.ground, rows, **_rule(style))
        for style, rows in self._points.items():
            c.point(c.front, rows, **dict(style))
        for style, rows in self._over.items():
            c.rule(c.front, rows, **_rule(style))
        for style, rows in self._top.items():
            c.point(c.front, rows, **dict(style))
        return svg_of(c.spec(PADDING, TEXT_STACK, self.palette.paper), sentence)


def _key(style: dict[str, Any]) -> Style:
    return tuple(sorted(style.items()))


def _rule(style: Style) -> dict[str, Any]:
    """Dashes are kept as words, since a list is no key."""
    said = dict(style)
    if isinstance(said.get("strokeDash"), str):
        said["strokeDash"] = [int(part) for part in said["strokeDash"].split()]
    return said


def _at(x: float, y: float) -> Row:
    return {"d": x, "v": y}
