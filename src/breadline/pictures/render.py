"""From a Vega-Lite specification to a compact SVG that can share a page with others."""

from __future__ import annotations

import re
import zlib
from functools import cache
from html import escape, unescape
from typing import Any

from breadline.errors import OurFault
from breadline.pictures.letters import font_folder, text_width

_NUMBER = re.compile(r"-?\d+\.\d+(?:e-?\d+)?")
_TAG = re.compile(r"<[^>]*>")
_GEOMETRY = re.compile(r'\b(?:d|transform|x2|y2|x|y|width|height)="[^"]*"')
_HOLLOW = re.compile(r'<path class="(?:background|foreground)"[^>]*/>')
_NOISE = re.compile(r' (?:class|role|aria-roledescription|aria-hidden|pointer-events|xmlns:xlink)="[^"]*"')
_EMPTY = re.compile(r"<g(?: transform=\"translate\(0(?:\.5)?,0(?:\.5)?\)\")?>\s*</g>|<g/>")
_OPAQUE = re.compile(r' (?:opacity|stroke-opacity|fill-opacity)="1"')
_TEXT = re.compile(r"<text([^>]*)>([^<]*)</text>")
_HEAD = re.compile(r"<svg[^>]*>")
_ID = re.compile(r'(\bid="|url\(#)([^")]+)')


@cache
def _converter() -> Any:
    import vl_convert

    vl_convert.register_font_directory(str(font_folder()))
    return vl_convert


def svg_of(spec: dict[str, Any], label: str) -> str:
    """The picture as SVG text: coordinates to 0.1 px, ids with a prefix of their own, a label for readers.

    Parameters
    ----------
    spec
        A Vega-Lite specification with a fixed size.
    label
        One sentence that says what the picture shows.
    """
    raw: str = _converter().vegalite_to_svg(spec)
    return labelled(fitted(compact(raw)), label)


def compact(raw: str) -> str:
    """SVG without what nobody sees: hollow groups, roles of the parts, needless digits."""
    text = _NOISE.sub("", _HOLLOW.sub("", raw))
    text = _OPAQUE.sub("", text)
    while (shorter := _EMPTY.sub("", text)) != text:
        text = shorter
    return _TAG.sub(lambda tag: _GEOMETRY.sub(_rounded_attribute, tag[0]), text)


def fitted(svg: str) -> str:
    """SVG whose texts keep their measured width, so that a face put in for ours covers no neighbour."""
    return _TEXT.sub(_fitted, svg)


def _fitted(match: re.Match[str]) -> str:
    style = dict(re.findall(r'([\w-]+)="([^"]*)"', match[1]))
    size, weight = float(style["font-size"].removesuffix("px")), int(style.get("font-weight", "400"))
    family = style["font-family"].split(",")[0]
    width = text_width(unescape(match[2]), size, weight, family)
    return f'<text{match[1]} textLength="{width:.1f}" lengthAdjust="spacingAndGlyphs">{match[2]}</text>'


def labelled(svg: str, label: str) -> str:
    """SVG with role, label and ids that no other picture on the page has."""
    prefix = f"p{zlib.crc32((label + svg).encode()):08x}"
    body = _ID.sub(lambda m: f"{m[1]}{prefix}-{m[2]}", svg)
    head = _HEAD.search(body)
    if head is None:
        raise OurFault("picture", "the renderer returned no SVG", "one svg element")
    sized = re.findall(r'(?:width|height|viewBox)="[^"]*"', head[0])
    opened = f'<svg xmlns="http://www.w3.org/2000/svg" id="{prefix}" {" ".join(sized)} '
    return f'{opened}role="img" aria-label="{escape(label, quote=True)}">{body[head.end() :]}'


def _rounded_attribute(match: re.Match[str]) -> str:
    return _NUMBER.sub(_rounded, match[0])


def _rounded(match: re.Match[str]) -> str:
    text = f"{float(match[0]):.1f}"
    return "0" if text in ("0.0", "-0.0") else text.removesuffix(".0")
