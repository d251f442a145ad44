"""Headings as they are linked to, and words that lead somewhere: keys of sources, commands."""

from __future__ import annotations

import re
from dataclasses import dataclass


@dataclass(frozen=True)
class Heading:
    """A heading: 1 is the page's own, its plain text, and the name that links end with."""

    rank: int
    text: str
    slug: str


def slug(text: str, taken: set[str]) -> str:
    """The name of a heading as links of the repository write it; a second one of a name gets "-1"."""
    plain = re.sub(r"[^\w\- ]", "", text.lower().strip()).replace(" ", "-")
    name, n = plain, 0
    while name in taken:
        n += 1
        name = f"{plain}-{n}"
    taken.add(name)
    return name


BRACKETED = re.compile(r"\[([a-z]\w*)\]")
UNLIKE_A_WORD = re.compile(r"(?<![\w./\[-])([a-z][a-z]*(?:_[a-z0-9]+|\d{4})\w*)(?![\w/(-]|\.\w)")


def keys_in(text: str, known: set[str]) -> list[tuple[int, int, str]]:
    """Where keys of sources stand in a text: in brackets, or plain where no word looks like that."""
    found = [(m.start(1), m.end(1), m[1]) for m in BRACKETED.finditer(text) if m[1] in known]
    plain = [(m.start(1), m.end(1), m[1]) for m in UNLIKE_A_WORD.finditer(text) if m[1] in known]
    return sorted({*found, *plain})
