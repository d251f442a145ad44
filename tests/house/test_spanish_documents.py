"""A document and its Spanish have the same entries: numbers, sources, commands, links and marks of each."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from breadline.jobs.common_questions import Entry, common
from breadline.language import say, say_as, speaking
from breadline.web.document_words import SCREENS
from house import tree
from house.test_questions_page import KEY

NUMBER = re.compile(r"\d+(?:[.,]\d+)*|[½⅝]")
MARKS = {  # what an English source says of itself, and its Spanish
    "common practice, no source": "práctica común, sin fuente",
    "seller": "vendedor",
    "supplier": "proveedor",
    "arithmetic": "aritmética",
    "from memory": "de memoria",
    "a popular page": "una página de divulgación",
}
LABELS = {
    "Source:": "Fuente:", "Your yard:": "Su apiario:", "**Source:**": "**Fuente:**",
    "**Why not.**": "**Por qué no.**", "**Breadline**": "**Breadline**",
}  # fmt: skip


def pairs() -> list[tuple[Entry, Entry]]:
    told = []
    for which in ("questions", "wrong"):
        with speaking("es"):
            spanish = common(which).entries
        told += list(zip(common(which).entries, spanish, strict=True))
    return told


PAIRS = pairs()
each = pytest.mark.parametrize(("english", "spanish"), PAIRS, ids=[one.anchor for one, _ in PAIRS])


def whole(one: Entry) -> str:
    return "\n".join((one.head, *one.paragraphs))


def named(text: str) -> tuple[Counter[str], Counter[str], Counter[str]]:
    """Keys of sources, commands and linked pages of a text."""
    return (
        Counter(KEY.findall(text)),
        Counter(re.findall(r"`([^`]+)`", text)),
        Counter(re.findall(r"\]\(([^)]+)\)", text)),
    )


@pytest.mark.parametrize("which", ["questions", "wrong"])
def test_the_parts_hold_as_many_entries_each(which):
    with speaking("es"):
        spanish = common(which)
    assert (spanish.language, common(which).language) == ("es", "en")
    assert len(spanish.before) == len(common(which).before)
    assert [len(part.entries) for part in spanish.parts] == [
        len(part.entries) for part in common(which).parts
    ]


@each
def test_an_entry_has_the_same_anchor_numbers_sources_commands_and_links(english, spanish):
    assert spanish.anchor == english.anchor
    assert Counter(NUMBER.findall(whole(spanish))) == Counter(NUMBER.findall(whole(english)))
    assert named(whole(spanish)) == named(whole(english))


@each
def test_its_paragraphs_begin_alike_and_none_is_left_in_english(english, spanish):
    assert len(spanish.paragraphs) == len(english.paragraphs)
    for told, said in zip(english.paragraphs, spanish.paragraphs, strict=True):
        label = next((one for one in LABELS if told.startswith(one)), "")
        assert said.startswith(LABELS.get(label, "")), said
        assert said != told or re.fullmatch(r"\*{0,2}Source.*|.*: \W*\[.*", told)


def source_of(one: Entry, label: str) -> str:
    (told,) = [text for text in one.paragraphs if text.strip("*").startswith(label)]
    return KEY.sub("", told)


@each
def test_a_source_says_of_itself_the_same(english, spanish):
    told, said = source_of(english, "Source:"), source_of(spanish, "Fuente:")
    for mark, of in MARKS.items():
        assert (mark in told) == bool(re.search(of, said)), mark
    assert ("quoted" in told) == ("citad" in said)


@each
def test_the_same_screens_are_named(english, spanish):
    with speaking("es"):
        names = {say_as("screen", name): name for name in SCREENS} | {
            say("Common questions"): "Common questions"
        }
    bold = re.findall(r"page \*\*([^*]+)\*\*", whole(english))
    assert [names[name] for name in re.findall(r"página \*\*([^*]+)\*\*", whole(spanish))] == bold


def test_the_titles_are_those_of_the_pages():
    with speaking("es"):
        assert common("questions").title == say("Common questions")
        assert common("wrong").title == say("Often said, and wrong")
    assert tree.ROOT.joinpath("docs/guide/questions.es.md").is_file()
