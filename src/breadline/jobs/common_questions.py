"""What is asked every winter, and what goes round and is wrong: read out of the pages of the documentation.

They are kept there and nowhere else, so that page and document never differ. Each reader gets the document
of their language where there is one; its entries keep the anchors of the English one.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path
from typing import Literal

from breadline.jobs.spanish_words import unaccented
from breadline.language import ENGLISH, language

PACKED = Path(__file__).parent / "documents"  # where an installed wheel carries them
DOCS = Path(__file__).parents[3] / "docs"
Which = Literal["questions", "wrong"]
FILES: dict[Which, tuple[str, str]] = {
    "questions": ("guide", "questions.md"),
    "wrong": ("method", "common-but-wrong.md"),
}
KEY = re.compile(r"\[([a-z]\w+)\](?!\()")  # of the bibliography


@dataclass(frozen=True)
class Entry:
    """One question or claim, with its paragraphs as they are written."""

    anchor: str
    head: str
    paragraphs: tuple[str, ...]


@dataclass(frozen=True)
class Part:
    """What stands under one heading."""

    name: str
    entries: tuple[Entry, ...]


@dataclass(frozen=True)
class Common:
    """A whole document: its first paragraphs, its parts, and the keys of the sources that it names."""

    title: str
    before: tuple[str, ...]
    parts: tuple[Part, ...]
    language: str = ENGLISH

    @property
    def entries(self) -> tuple[Entry, ...]:
        """All of them, in order."""
        return tuple(one for part in self.parts for one in part.entries)

    @property
    def keys(self) -> tuple[str, ...]:
        """Keys of the sources that the entries name, in order."""
        named = (key for one in self.entries for text in one.paragraphs for key in KEY.findall(text))
        return tuple(sorted(dict.fromkeys(named)))

    def find(self, words: str) -> Common:
        """The document with those entries alone that have every one of these words, in head or text."""
        wanted = unaccented(words.casefold()).split()
        parts = []
        for part in self.parts:
            kept = tuple(one for one in part.entries if _has(one, wanted))
            if kept:
                parts.append(Part(part.name, kept))
        return replace(self, parts=tuple(parts))


def common(which: Which) -> Common:
    """The questions, or the claims, in the language of whoever reads."""
    return _common(which, language())


@cache
def _common(which: Which, code: str) -> Common:
    english = read_common(_text(which, ENGLISH))
    told = _text(which, code)
    return replace(_anchored(read_common(told), english), language=code) if told else english


def _text(which: Which, code: str) -> str:
    """The document of a language, empty where there is none."""
    folder, name = FILES[which]
    name = name if code == ENGLISH else name.replace(".md", f".{code}.md")
    there = next((path for path in (PACKED / name, DOCS / folder / name) if path.exists()), None)
    return there.read_text("utf-8") if there else ""


def _anchored(told: Common, english: Common) -> Common:
    """The document with the anchors of the English one, entry by entry."""
    anchors = iter([one.anchor for one in english.entries])
    parts = (
        Part(part.name, tuple(replace(one, anchor=next(anchors)) for one in part.entries))
        for part in told.parts
    )
    return replace(told, parts=tuple(parts))


def read_common(text: str) -> Common:
    """A document of parts (##) and entries (###), as ``docs/guide/questions.md`` is one."""
    head, *parts = re.split(r"^## ", text, flags=re.M)
    title, before = head.partition("\n")[::2]
    return Common(title.removeprefix("# ").strip(), _paragraphs(before), tuple(map(_part, parts)))


def _part(text: str) -> Part:
    name, *entries = re.split(r"^### ", text, flags=re.M)
    return Part(name.strip(), tuple(map(_entry, entries)))


def _entry(text: str) -> Entry:
    head, rest = text.partition("\n")[::2]
    plain = re.sub(r"[^a-z0-9]+", "-", head.casefold()).strip("-")
    return Entry(plain, head.strip(), _paragraphs(rest))


def _paragraphs(text: str) -> tuple[str, ...]:
    return tuple(" ".join(one.split()) for one in re.split(r"\n\s*\n", text) if one.strip())


def _has(one: Entry, wanted: list[str]) -> bool:
    text = unaccented(" ".join((one.head, *one.paragraphs)).casefold())
    return all(word in text for word in wanted)
