"""The faces of the pictures, and how wide a line of text will be."""

from __future__ import annotations

import json
from functools import cache, lru_cache
from importlib.resources import files
from pathlib import Path

TEXT = "Breadline Text"
DISPLAY = "Breadline Display"
TEXT_STACK = f"{TEXT}, system-ui, sans-serif"
DISPLAY_STACK = f"{DISPLAY}, Rockwell, Georgia, serif"
MISSING = 0.55  # width of a letter that the Latin subset lacks [em]


def font_folder() -> Path:
    """Folder of the TTF files for drawings made on the server."""
    return Path(str(files("breadline.pictures") / "fonts"))


@cache
def _widths() -> dict[str, dict[str, float]]:
    table: dict[str, dict[str, float]] = json.loads((font_folder() / "widths.json").read_text("utf-8"))
    return table


@lru_cache(maxsize=4096)  # a label tries many places with one wording
def text_width(text: str, size: float, weight: int = 400, family: str = TEXT) -> float:
    """Width of the widest line of ``text`` at ``size`` [px], in [px]."""
    letters = _widths()[f"{family} {weight}"]
    return max(sum(letters.get(c, MISSING) for c in line) for line in text.split("\n")) * size


def wrapped(text: str, width: float, size: float, weight: int = 400, family: str = TEXT) -> list[str]:
    """``text`` broken between words into lines no wider than ``width`` [px]."""
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size, weight, family) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def shortened(text: str, width: float, size: float, weight: int = 400) -> str:
    """``text``, cut between words with an ellipsis where it is wider than ``width`` [px]."""
    if text_width(text, size, weight) <= width:
        return text
    words = text.split()
    while len(words) > 1 and text_width(" ".join(words) + " …", size, weight) > width:
        words.pop()
    return " ".join(words) + " …"
