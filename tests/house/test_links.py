"""A link in a page of the repository leads to something that is there."""

from __future__ import annotations

import re

import pytest

from house import tree

PAGES = [path for path in tree.kept_files() if path.suffix == ".md"]
LINK = re.compile(r"\]\(([^)#\s]+)(?:#[^)]*)?\)")


@pytest.mark.parametrize("path", PAGES, ids=tree.short)
def test_every_link_inside_the_repository_leads_somewhere(path):
    links = LINK.findall(path.read_text(encoding="utf-8"))
    inside = [link for link in links if not re.match(r"[a-z]+:", link)]
    assert not [link for link in inside if not (path.parent / link).resolve().exists()]
