"""Marks on panels, written down as one Vega-Lite view with one axis of time.

Every panel keeps its own scale of values, ranged over its own strip of the view, so the whole
picture is compiled once and its size is fixed. The specification is plain data: building the same
forty layers as Altair objects took 15 times as long as rendering them. The tests hold it against
Altair's schema, and ``altair.Chart.from_dict`` opens it.
"""

from __future__ import annotations

from collections import defaultdict
from typing import Any

from breadline.pictures.frame import Box, Panel

Row = dict[str, Any]
Spec = dict[str, Any]
SCHEMA = "https://vega.github.io/schema/vega-lite/v6.json"
CORNERS = {"x2": {"field": "e"}, "y2": {"field": "w"}}


class Canvas:
    """Collects marks panel by panel, back to front.

    ``ground`` lies behind the panels and ``front`` before them; both cover the whole plot and
    take pixels from the top for values.

    Parameters
    ----------
    width, height
        Size of the plot [px].
    span
        Days across the plot [d].
    """

    def __init__(self, width: float, height: float, span: float) -> None:
        self.width, self.height, self.span = width, height, span
        self._rows: dict[str, list[Row]] = {}
        self._strips: dict[Panel, list[Spec]] = {}
        upside_down = Box(0, height, width, 0)  # value 0 lies at the top, so values are pixels
        self.ground = Panel("ground", upside_down, span, height)
        self.front = Panel("front", upside_down, span, height)
        self._text: dict[tuple[Any, ...], list[Row]] = defaultdict(list)

    def area(self, panel: Panel, rows: list[Row], **style: Any) -> None:
        """Area between ``v`` and ``w`` over day ``d``; one piece for each ``run``."""
        more = {"y2": {"field": "w"}, "detail": {"field": "run", "type": "nominal"}}
        self._add(panel, "area", rows, more, line=False, **style)

    def line(self, panel: Panel, rows: list[Row], **style: Any) -> None:
        """Line of ``v`` over day ``d``; one for each ``run``."""
        detail = {"detail": {"field": "run", "type": "nominal"}}
        self._add(panel, "line", rows, detail, strokeJoin="round", **style)

    def rule(self, panel: Panel, rows: list[Row], **style: Any) -> None:
        """Straight rules from (``d``, ``v``) to (``e``, ``w``), all in one path: quicker than a mark each."""
        path = [point for row in rows for point in _stroke(row)]
        ordered = [{**point, "i": i} for i, point in enumerate(path)]
        self._add(panel, "line", ordered, {"order": {"field": "i", "type": "quantitative"}}, **style)

    def point(self, panel: Panel, rows: list[Row], **style: Any) -> None:
        """Marks at (``d``, ``v``)."""
        self._add(panel, "point", rows, {}, opacity=1, **style)

    def rect(self, panel: Panel, rows: list[Row], **style: Any) -> None:
        """Filled boxes from (``d``, ``v``) to (``e``, ``w``)."""
        self._add(panel, "rect", rows, CORNERS, **style)

    def text(self, x: float, y: float, text: str, *, colour: str, size: float, **style: Any) -> None:
        """One line of text, ``y`` at its middle [px]; all text lies in front of all marks."""
        key = (colour, size, *sorted(style.items()))
        self._text[key].append({"d": round(x / self.width * self.span, 4), "v": round(y, 1), "t": text})

    def spec(self, padding: dict[str, int], font: str, ground: str) -> Spec:
        """The whole picture as a Vega-Lite specification."""
        for (colour, size, *style), rows in self._text.items():
            extra = {"align": "left", "baseline": "middle", **dict(style)}
            text = {"text": {"field": "t", "type": "nominal"}}
            self._add(self.front, "text", rows, text, fill=colour, fontSize=size, **extra)
        self._text.clear()
        return {
            "$schema": SCHEMA,
            "width": self.width,
            "height": self.height,
            "padding": padding,
            "autosize": {"type": "none"},
            "background": ground,
            "layer": [{"layer": marks} for marks in self._strips.values()],
            "resolve": {"scale": {"y": "independent"}},
            "datasets": self._rows,
            "config": {"aria": False, "font": font, "axis": {"disable": True}, "view": {"stroke": None}},
        }

    def _add(self, panel: Panel, kind: str, rows: list[Row], more: Spec, **style: Any) -> None:
        if not rows:
            return
        name = f"r{len(self._rows)}"
        self._rows[name] = rows
        encoding = {"x": self._x(), "y": self._y(panel), **more}
        mark = {"data": {"name": name}, "mark": {"type": kind, **style}, "encoding": encoding}
        self._strips.setdefault(panel, []).append(mark)

    def _x(self) -> Spec:
        scale = {"domain": [0, self.span], "nice": False, "zero": False}
        return {"field": "d", "type": "quantitative", "title": None, "scale": scale}

    def _y(self, panel: Panel) -> Spec:
        strip = [round(panel.box.bottom, 1), round(panel.box.top, 1)]
        scale = {"domain": [0, panel.top_value], "range": strip, "nice": False, "zero": False}
        return {"field": "v", "type": "quantitative", "title": None, "scale": scale}


def _stroke(row: Row) -> tuple[Row, Row, Row]:
    """Both ends of a rule, and the break after it."""
    ends = {"d": row["d"], "v": row["v"]}, {"d": row["e"], "v": row["w"]}
    return (*ends, {"d": row["e"], "v": None})
