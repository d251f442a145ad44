"""From a Vega-Lite specification to a compact SVG that can share a page with others."""

from __future__ import annotations

import re
import zlib
from html import escape, unescape
from typing import Any

from breadline.errors import OurFault
from breadline.pictures.inked import inked
from breadline.pictures.letters import text_width

_TEXT = re.compile(r"<text([^>]*)>([^<]*)</text>")
_HEAD = re.compile(r"<svg[^>]*>")
_ID = re.compile(r'(\bid="|url\(#)([^")]+)')


def svg_of(spec: dict[str, Any], label: str) -> str:
    """The picture as SVG text: coordinates to 0.1 px, ids with a prefix of their own, a label for readers.

    Parameters
    ----------
    spec
        A Vega-Lite specification with a fixed size.
    label
        One sentence that says what the picture shows.
    """
    return labelled(fitted(inked(spec)), label)


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
