"""The marks of our own Vega-Lite specifications as SVG, without a chart engine.

Everything in a specification of ``canvas.py`` lies in its place already; a general engine takes
over a tenth of a second to find that out. The tests hold each picture against vl-convert's.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from html import escape
from itertools import groupby
from math import floor, sqrt
from typing import Any

from breadline.errors import OurFault

Row = dict[str, Any]
Spec = dict[str, Any]
Place = Callable[[Any], float]
STYLE = {
    "fill": "fill",
    "fillOpacity": "fill-opacity",
    "stroke": "stroke",
    "strokeWidth": "stroke-width",
    "strokeJoin": "stroke-linejoin",
    "strokeDash": "stroke-dasharray",
}
ANCHOR = {"left": "start", "right": "end"}
UNDRAWN = {"type", "line", "opacity", "shape", "size"}  # say what a mark is, or nothing that is seen


def inked(spec: Spec) -> str:
    """The picture as SVG text, coordinates to 0.1 px.

    Parameters
    ----------
    spec
        As :meth:`breadline.pictures.canvas.Canvas.spec` writes it.

    Errors
    ------
    OurFault
        If the specification holds a mark or a style that is not drawn here.
    """
    side = spec["padding"]
    width = spec["width"] + side["left"] + side["right"]
    height = spec["height"] + side["top"] + side["bottom"]
    marks = "".join(_mark(mark, spec) for strip in spec["layer"] for mark in strip["layer"])
    size = f'width="{width}" height="{height}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} viewBox="0 0 {width} {height}">'
        f'<rect {size} fill="{spec["background"]}"/><g fill="none" stroke-miterlimit="10" '
        f'transform="translate({side["left"]},{side["top"]})">{marks}</g></svg>'
    )


def _mark(mark: Spec, spec: Spec) -> str:
    draw = DRAW.get(mark["mark"]["type"])
    if draw is None:
        raise OurFault("picture", f"no way to draw a {mark['mark']['type']}", ", ".join(DRAW))
    x, y = _scale(mark["encoding"]["x"], spec["width"]), _scale(mark["encoding"]["y"])
    return "".join(draw(mark, spec["datasets"][mark["data"]["name"]], x, y, spec))


def _scale(channel: Spec, width: float | None = None) -> Place:
    """From values to pixels; across the whole width where no range is given."""
    first, last = channel["scale"]["domain"]
    low, high = (0.0, width) if width is not None else channel["scale"]["range"]

    def place(value: float) -> float:
        share = (value - first) / (last - first) if last != first else 0.5
        return float(low * (1.0 - share) + high * share)

    return place


def _area(mark: Spec, rows: list[Row], x: Place, y: Place, _: Spec) -> Iterator[str]:
    style = _style(mark["mark"])
    for piece in _pieces(rows):
        there = [_point(x(r["d"]), y(r["v"])) for r in piece]
        back = [_point(x(r["d"]), y(r["w"])) for r in reversed(piece)]
        yield f'<path d="M{"L".join(there + back)}Z"{style}/>'


def _line(mark: Spec, rows: list[Row], x: Place, y: Place, _: Spec) -> Iterator[str]:
    style = _style(mark["mark"])
    for piece in _pieces(rows):
        strokes = (list(s) for gap, s in groupby(piece, lambda r: r["v"] is None) if not gap)
        path = "".join(_stroke([_point(x(r["d"]), y(r["v"])) for r in stroke]) for stroke in strokes)
        yield f'<path d="{path}"{style}/>'


def _stroke(points: list[str]) -> str:
    return f"M{'L'.join(points)}{'Z' if len(points) == 1 else ''}"


def _symbol(mark: Spec, rows: list[Row], x: Place, y: Place, _: Spec) -> Iterator[str]:
    shape, half = mark["mark"]["shape"], sqrt(mark["mark"]["size"]) / 2
    outline, style = _outline(shape, half), _style({"strokeWidth": 2, **mark["mark"]})
    for r in rows:
        yield f'<path transform="translate({_point(x(r["d"]), y(r["v"]))})" d="{outline}"{style}/>'


def _outline(shape: str, half: float) -> str:
    """A shape of the size of a square with sides of 2 × ``half`` [px]."""
    if shape == "square":
        return _box(-half, -half, 2 * half, 2 * half)
    if shape == "triangle-down":
        tall = sqrt(3) / 2 * half
        return f"M{_point(0, tall)}L{_point(-half, -tall)}L{_point(half, -tall)}Z"
    corners = [corner.split(",") for corner in shape.removeprefix("M").removesuffix("Z").split("L")]
    return f"M{'L'.join(_point(float(a) * half, float(b) * half) for a, b in corners)}Z"


def _rect(mark: Spec, rows: list[Row], x: Place, y: Place, _: Spec) -> Iterator[str]:
    style = _style(mark["mark"])
    for r in rows:
        left, right = sorted((x(r["d"]), x(r["e"])))
        top, bottom = sorted((y(r["v"]), y(r["w"])))
        yield f'<path d="{_box(left, top, right - left, bottom - top)}"{style}/>'


def _text(mark: Spec, rows: list[Row], x: Place, y: Place, spec: Spec) -> Iterator[str]:
    look = mark["mark"]
    down = floor(0.3 * look["fontSize"] + 0.5)  # from the middle of a line to the foot of its letters
    weight = f' font-weight="{look["fontWeight"]}"' if "fontWeight" in look else ""
    font = escape(look.get("font", spec["config"]["font"]))
    rest = f'font-family="{font}" font-size="{look["fontSize"]}px"{weight} fill="{look["fill"]}"'
    for r in rows:
        at = _point(x(r["d"]), y(r["v"]) + down)
        words = escape(r["t"], quote=False)
        yield f'<text text-anchor="{ANCHOR[look["align"]]}" transform="translate({at})" {rest}>{words}</text>'


DRAW: dict[str, Callable[[Spec, list[Row], Place, Place, Spec], Iterator[str]]] = {
    "area": _area,
    "line": _line,
    "point": _symbol,
    "rect": _rect,
    "text": _text,
}


def _pieces(rows: list[Row]) -> list[list[Row]]:
    """The rows of each ``run``, in the order in which the runs appear."""
    found: dict[Any, list[Row]] = {}
    for row in rows:
        found.setdefault(row.get("run"), []).append(row)
    return list(found.values())


def _style(look: Spec) -> str:
    unknown = look.keys() - STYLE.keys() - UNDRAWN
    if unknown:
        raise OurFault("picture", f"no way to draw {', '.join(sorted(unknown))}", ", ".join(STYLE))
    worn = {STYLE[k]: v for k, v in look.items() if k in STYLE and v is not None}
    return "".join(f' {name}="{_told(value)}"' for name, value in worn.items())


def _told(value: Any) -> str:
    if isinstance(value, list):
        return ",".join(map(_told, value))
    return value if isinstance(value, str) else f"{value:g}"


def _box(left: float, top: float, width: float, height: float) -> str:
    return f"M{_point(left, top)}h{_number(width)}v{_number(height)}h{_number(-width)}Z"


def _point(x: float, y: float) -> str:
    return f"{_number(x)},{_number(y)}"


def _number(value: float) -> str:
    """To 0.1 px, from thousandths: as the engine writes and a shorter file keeps."""
    text = f"{floor(value * 1000 + 0.5) / 1000:.1f}"
    return text.removesuffix(".0") if text != "-0.0" else "0"
