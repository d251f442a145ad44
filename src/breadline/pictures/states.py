"""Marks that tell a yard's state by shape, and the mark of Breadline itself, as inline SVG.

The words always stand beside a state mark, so it is hidden from screen readers. Colour follows the text
(``currentColor``) except the warm fill of a loaf; every state is told apart without any colour.
"""

from __future__ import annotations

from typing import Literal

from breadline.pictures.palette import SCREEN

State = Literal["feed_now", "soon", "no_need", "stop", "cannot_tell", "something_else_first"]

# a loaf of 20 × 16 px, standing on its base
LOAF = "M1.5 15V7.6C1.5 3.4 5 1 10 1S18.5 3.4 18.5 7.6V15Z"
HALF = "M1.5 15V8H18.5V15Z"  # the lower half of it


def state_mark(state: State) -> str:
    """The mark of a state, 20 × 16 px: filled, half, outline, struck outline, dashed with ?, triangle."""
    drawn = {
        "feed_now": _loaf(fill=SCREEN.crust),
        "soon": f'<path d="{HALF}" fill="{SCREEN.crust}"/>' + _loaf(),
        "no_need": _loaf(),
        "stop": _loaf() + '<path d="M2 15.5L18 .8" stroke="currentColor" stroke-width="2"/>',
        "cannot_tell": _loaf(dash="2.4 2") + _question(),
        "something_else_first": '<path d="M10 .5L19.5 15.5H.5Z" fill="currentColor"/>',
    }
    return _svg(20, 16, drawn[state], f'class="state-mark" data-state="{state}" aria-hidden="true"')


def logo(height: int = 20, title: str = "") -> str:
    """The mark of Breadline: a loaf with slices; three strokes below 20 px, five from there on.

    With a ``title`` it is an image for screen readers, without one it is decoration.
    """
    at = (6.2, 10, 13.8) if height < 20 else (5.6, 7.8, 10, 12.2, 14.4)
    strokes = "".join(f"M{x:g} 5V15" for x in at)
    inside = (
        f'<path d="{strokes}" stroke="{SCREEN.crust}" stroke-width="{1.5 if height < 20 else 1.2}"/>'
        + _loaf()
    )
    seen = f'role="img" aria-label="{title}"' if title else 'aria-hidden="true"'
    return _svg(20, 16, inside, f'class="logo" {seen}', scale=height / 16)


def _loaf(fill: str = "none", dash: str = "") -> str:
    dashed = f' stroke-dasharray="{dash}"' if dash else ""
    line = f'stroke="currentColor" stroke-width="1.6" stroke-linejoin="round"{dashed}'
    return f'<path d="{LOAF}" fill="{fill}" {line}/>'


def _question() -> str:
    """A question mark as strokes, so that it needs no font."""
    hook = "M7.9 5.9C7.9 3.4 12.3 3.4 12.3 6C12.3 7.7 10.1 7.8 10.1 9.6"
    return (
        f'<path d="{hook}" fill="none" stroke="currentColor" stroke-width="1.6"/>'
        '<circle cx="10.1" cy="12" r="1.05" fill="currentColor"/>'
    )


def _svg(width: int, height: int, inside: str, attributes: str, scale: float = 1.0) -> str:
    size = f'width="{width * scale:g}" height="{height * scale:g}" viewBox="0 0 {width} {height}"'
    return f'<svg xmlns="http://www.w3.org/2000/svg" {size} fill="none" {attributes}>{inside}</svg>'
