"""Reads a drawn SVG back: its texts and the boxes that they fill, its paths."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import combinations
from xml.etree import ElementTree as ET

from breadline.pictures.frame import Box
from breadline.pictures.letters import text_width

MOVE = re.compile(r"translate\((-?[\d.]+),(-?[\d.]+)\)")
NAMESPACE = "{http://www.w3.org/2000/svg}"


@dataclass(frozen=True)
class Written:
    """One line of text and its box in the picture's own pixels."""

    text: str
    box: Box


def root_of(svg: str) -> ET.Element:
    return ET.fromstring(svg)


def view_box(svg: str) -> Box:
    left, top, width, height = (float(v) for v in root_of(svg).attrib["viewBox"].split())
    return Box(left, top, left + width, top + height)


def written(svg: str) -> list[Written]:
    """Every line of text, with the widths of the shipped letters."""
    return [
        _written(element, x, y) for element, x, y in _walk(root_of(svg), 0.0, 0.0) if _is(element, "text")
    ]


def stroked_moves(svg: str, colour: str, width: str) -> int:
    """Number of separate strokes in paths of this colour and width."""
    return sum(
        e.attrib["d"].count("M")
        for e, _, _ in _walk(root_of(svg), 0.0, 0.0)
        if _is(e, "path") and e.get("stroke") == colour and e.get("stroke-width") == width and e.get("d")
    )


def filled(svg: str, colour: str) -> int:
    """Number of paths filled with this colour."""
    return sum(_is(e, "path") and e.get("fill") == colour for e, _, _ in _walk(root_of(svg), 0.0, 0.0))


def overlaps(lines: list[Written]) -> list[tuple[str, str]]:
    return [(a.text, b.text) for a, b in combinations(lines, 2) if a.box.meets(b.box)]


def _walk(element: ET.Element, x: float, y: float) -> Iterator[tuple[ET.Element, float, float]]:
    moved = MOVE.search(element.get("transform", ""))
    if moved:
        x, y = x + float(moved[1]), y + float(moved[2])
    yield element, x, y
    for child in element:
        yield from _walk(child, x, y)


def _is(element: ET.Element, name: str) -> bool:
    return element.tag == NAMESPACE + name


def _written(element: ET.Element, x: float, y: float) -> Written:
    size = float(element.attrib["font-size"].removesuffix("px"))
    family = element.attrib["font-family"].split(",")[0].strip('"')
    text = element.text or ""
    width = text_width(text, size, int(element.get("font-weight", "400")), family)
    left = x - width if element.get("text-anchor") == "end" else x
    return Written(text, Box(left, y - 0.74 * size, left + width, y + 0.22 * size))
