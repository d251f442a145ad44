"""Every source that a docstring or a page on method names stands on the shelf."""

from __future__ import annotations

import ast
import re
import tomllib

import pytest

from house import tree

SHELF = tree.SOURCE / "knowledge" / "sources.toml"
SOURCES = tomllib.loads(SHELF.read_text(encoding="utf-8"))
DATED = re.compile(r"(?<![\w./-])[a-z]{3,}(?:_[a-z]+)*(?:19|20)\d\d[a-z]?(?![\w-])")
KEY = re.compile(r"\[([a-z][a-z0-9]*(?:_[a-z0-9]+)*)\]")


def docstrings(path):
    documented = (ast.Module, ast.ClassDef, ast.FunctionDef, ast.AsyncFunctionDef)
    nodes = [n for n in ast.walk(tree.parsed(path)) if isinstance(n, documented)]
    return [text for n in nodes if (text := ast.get_docstring(n))]


def under_sources(docstring: str) -> str:
    """The part of a docstring that lists sources: a section, or the sentence after the word."""
    section = re.search(r"^Sources\n-+\n(.*?)(?:\n\n|\Z)", docstring, re.M | re.S)
    sentence = re.search(r"\bSources?: (.*?)(?:\n\n|\Z)", docstring, re.S)
    return " ".join(found[1] for found in (section, sentence) if found)


def cited(docstring: str) -> set[str]:
    return set(KEY.findall(under_sources(docstring))) | set(DATED.findall(docstring))


def test_the_rule_finds_what_it_is_meant_to_find():
    invented = "Larvae.\n\nSources\n-------\n[nobody_key] for one, [someone1999] for two.\n\n[x] elsewhere"
    assert cited(invented) == {"nobody_key", "someone1999"}
    assert cited("A curve. Sources: other_key is none, [third_key].") == {"third_key"}


@pytest.mark.parametrize("path", tree.python_files("src"), ids=tree.short)
def test_every_source_cited_in_code_is_on_the_shelf(path):
    keys = {key for docstring in docstrings(path) for key in cited(docstring)}
    assert not keys - set(SOURCES), f"add them to {tree.short(SHELF)}"


PAGES = [tree.ROOT / "README.md", *(p for p in tree.kept_files() if p.is_relative_to(tree.ROOT / "docs"))]


@pytest.mark.parametrize("path", [p for p in PAGES if p.suffix == ".md"], ids=tree.short)
def test_every_source_cited_on_a_page_is_on_the_shelf(path):
    assert not set(DATED.findall(path.read_text(encoding="utf-8"))) - set(SOURCES)


@pytest.mark.parametrize("key", SOURCES)
def test_a_source_can_be_found_by_a_reader(key):
    assert len(SOURCES[key]["cite"]) > 20
