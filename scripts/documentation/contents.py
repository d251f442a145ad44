"""Which pages there are, in which order, and where each stands on the site."""

from __future__ import annotations

import re
import tomllib
from dataclasses import dataclass, field
from pathlib import Path

from scripts.documentation.words import Heading

ROOT = Path(__file__).resolve().parents[2]
CONTENTS = "docs/site/contents.toml"
MOST_LISTED = 60  # headings beside a page
MADE = {"sources": "sources.html", "headings": "headings.html"}  # pages that no file holds


@dataclass(eq=False)
class Page:
    """One page: the file it is made from ("" where none is), its address on the site, and what is in it."""

    source: str
    address: str
    title: str = ""
    html: str = ""
    headings: list[Heading] = field(default_factory=list)

    @property
    def outline(self) -> list[Heading]:
        """Its headings of the second rank, and of the third where they are not too many."""
        below = [heading for heading in self.headings if heading.rank in (2, 3)]
        return below if len(below) <= MOST_LISTED else [heading for heading in below if heading.rank == 2]

    @property
    def language(self) -> str:
        """ "es" for ``questions.es.md``; English where the name says nothing."""
        told = re.search(r"\.([a-z]{2})\.md$", self.source)
        return told[1] if told else "en"

    @property
    def up(self) -> str:
        """The way from the page to the top of the site."""
        return "../" * self.address.count("/")


@dataclass(frozen=True)
class Part:
    """Pages under one name."""

    name: str
    pages: tuple[Page, ...]


def address_of(source: str) -> str:
    """Where a page of the repository stands on the site."""
    inside = source.removeprefix("docs/")
    folder, _, name = inside.rpartition("/")
    stem = name.removesuffix(".md")
    stem = "index" if stem == "README" else stem.lower()
    return f"{folder}/{stem}.html" if folder else f"{stem}.html"


def parts(root: Path = ROOT) -> tuple[Part, ...]:
    """The pages by part; each stands where it is first named."""
    told = tomllib.loads((root / CONTENTS).read_text("utf-8"))
    seen: set[str] = set()
    found = []
    for part in told["part"]:
        names = [name for one in part["pages"] for name in _named(one, root) if name not in seen]
        seen.update(names)
        pages = (Page("", MADE[n]) if n in MADE else Page(n, address_of(n)) for n in names)
        found.append(Part(part["name"], tuple(pages)))
    return tuple(part for part in found if part.pages)


def _named(pattern: str, root: Path) -> list[str]:
    if "*" not in pattern:
        return [pattern]
    pages = sorted(path.relative_to(root).as_posix() for path in root.glob(pattern))
    return sorted(pages, key=lambda page: not page.endswith("README.md"))
