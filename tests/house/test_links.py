"""A link in a page of the repository leads to something that is there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from house import tree

PAGES = [path for path in tree.kept_files() if path.suffix == ".md"]
LINK = re.compile(r"\]\(([^)#\s]+)(?:#[^)]*)?\)")
TO_A_HEADING = re.compile(r"\]\(([^)#\s]*)#([^)\s]+)\)")


@pytest.mark.parametrize("path", PAGES, ids=tree.short)
def test_every_link_inside_the_repository_leads_somewhere(path):
    links = LINK.findall(path.read_text(encoding="utf-8"))
    inside = [link for link in links if not re.match(r"[a-z]+:", link)]
    assert not [link for link in inside if not (path.parent / link).resolve().exists()]


def headings(page: Path) -> set[str]:
    """What the headings of a page are called in a link: small letters and hyphens, no other signs."""
    text = re.sub(r"^```.*?^```", "", page.read_text(encoding="utf-8"), flags=re.M | re.S)
    bare = (re.sub(r"\[([^\]]*)\]\([^)]*\)", r"\1", head) for head in re.findall(r"^#+ (.+)$", text, re.M))
    return {re.sub(r"[^\w\- ]", "", head.lower()).replace(" ", "-") for head in bare}


def test_a_heading_is_called_as_links_call_it(tmp_path):
    page = tmp_path / "page.md"
    page.write_text(
        "# Short from (`need/x.py`)\n\n```\n# no heading\n```\n\n## What [a target](b.md) pays: now\n"
    )
    assert headings(page) == {"short-from-needxpy", "what-a-target-pays-now"}


@pytest.mark.parametrize("path", PAGES, ids=tree.short)
def test_every_link_to_a_heading_finds_it(path):
    links = TO_A_HEADING.findall(path.read_text(encoding="utf-8"))
    inside = [(to, head) for to, head in links if not re.match(r"[a-z]+:", to)]
    pages = [((path.parent / to).resolve() if to else path, head) for to, head in inside]
    assert not [head for page, head in pages if page.suffix == ".md" and head not in headings(page)]
