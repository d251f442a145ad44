"""What a general chart engine makes of a specification, to hold our own drawing against."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Any
from xml.etree import ElementTree as ET

import vl_convert

from breadline.pictures.letters import font_folder
from pictures.reading import NAMESPACE, walk

_NUMBER = re.compile(r"-?\d+\.\d+(?:e-?\d+)?")
_PLACED = {"d", "transform", "x", "y", "width", "height"}
_UNSEEN = {"class", "role", "aria-roledescription", "aria-hidden", "pointer-events"}


@dataclass(frozen=True)
class Seen:
    """One path, box or line of text: how it is drawn, and how far its surroundings move it."""

    kind: str
    worn: dict[str, str]
    text: str | None
    moved: tuple[float, float]


@cache
def _fonts() -> None:
    vl_convert.register_font_directory(str(font_folder()))


def by_engine(spec: dict[str, Any]) -> list[Seen]:
    """Everything that is seen of a Vega-Lite specification, back to front, places to 0.1 px."""
    _fonts()
    return seen(vl_convert.vegalite_to_svg(spec))


def seen(svg: str) -> list[Seen]:
    """Everything that is seen of an SVG, back to front, places to 0.1 px."""
    found = []
    for element, x, y in walk(ET.fromstring(svg), 0.0, 0.0):
        kind = element.tag.removeprefix(NAMESPACE)
        if kind in ("path", "rect", "text") and element.get("class") not in ("background", "foreground"):
            own = {k: _short(k, v) for k, v in element.attrib.items() if k not in _UNSEEN}
            worn = {k: v for k, v in own.items() if not (k.endswith("opacity") and v == "1")}
            found.append(Seen(kind, worn, element.text, (round(x, 1), round(y, 1))))
    return found


def _short(name: str, value: str) -> str:
    return _NUMBER.sub(_tenths, value) if name in _PLACED else value


def _tenths(number: re.Match[str]) -> str:
    text = f"{float(number[0]):.1f}".removesuffix(".0")
    return "0" if text == "-0" else text
