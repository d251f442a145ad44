"""Every common question has an answer, a source or the mark of none, and something that works it out."""

from __future__ import annotations

import re
import tomllib

import pytest

from house import tree
from house.test_documentation import commands

PAGE = (tree.ROOT / "docs" / "guide" / "questions.md").read_text("utf-8")
SOURCES = tomllib.loads((tree.SOURCE / "knowledge" / "sources.toml").read_text("utf-8"))
NAVIGATION = (tree.SOURCE / "web" / "templates" / "base.html").read_text("utf-8")
NO_SOURCE = "common practice, no source"
KEY = re.compile(r"\[([a-z]\w+)\](?!\()")


def questions() -> dict[str, str]:
    """What stands under each numbered question."""
    parts = re.split(r"^### (\d+\. [^\n]+\?)\n", PAGE, flags=re.M)[1:]
    return dict(zip(parts[::2], parts[1::2], strict=True))


def after(word: str, text: str) -> str:
    """The paragraph's part that begins with a word at the start of a line."""
    found = re.search(rf"^{word} (.*?)(?=^[A-Z][a-z ]+: |^\s*$|\Z)", text, re.M | re.S)
    assert found, word
    return " ".join(found[1].split())


QUESTIONS = questions()


@pytest.fixture(scope="module")
def program() -> set[str]:
    from typer.main import get_command

    from breadline.cli.app import app

    return {name for name, _ in commands(get_command(app))}


def test_the_questions_are_numbered_through():
    assert [int(head.split(".")[0]) for head in QUESTIONS] == list(range(1, 41))


@pytest.mark.parametrize("head", QUESTIONS)
def test_an_answer_is_short_and_names_where_it_comes_from(head):
    answer = QUESTIONS[head].split("\nSource:")[0]
    assert 15 < len(answer.split()) < 90
    said = after("Source:", QUESTIONS[head])
    keys = KEY.findall(said)
    assert keys or NO_SOURCE in said
    assert not set(keys) - set(SOURCES)


@pytest.mark.parametrize("head", QUESTIONS)
def test_what_works_it_out_for_a_yard_is_there(head, program):
    said = after("Your yard:", QUESTIONS[head])
    named = set(re.findall(r"`(breadline [a-z -]+?)`", said))
    pages = set(re.findall(r"page \*\*([^*]+)\*\*", said))
    assert not named - program
    assert not [page for page in pages if f'"{page}"' not in NAVIGATION]
    assert named or pages or "none is reckoned" in said
