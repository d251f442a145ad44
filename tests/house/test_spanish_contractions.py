"""In Spanish "a" and "de" join the article "el": al, del. By the Real Academia Española."""

from __future__ import annotations

import re

import pytest

from breadline.knowledge.cautions import cautions
from breadline.language import say, say_counted, speaking
from house import tree

CATALOGUE = tree.ROOT / "src" / "breadline" / "locale" / "es" / "LC_MESSAGES" / "breadline.po"
APART = re.compile(r"\b([Aa]|[Dd]e) el [a-záéíóúñü]")
PAGES = sorted((tree.ROOT / "docs" / "guide").glob("*.es.md"))


def test_no_message_of_the_catalogue_has_them_apart():
    whole = CATALOGUE.read_text("utf-8").replace('"\\n"', "")
    assert [found[0] for found in APART.finditer(whole)] == []


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_no_spanish_page_has_them_apart(page):
    assert APART.search(page.read_text("utf-8")) is None


@pytest.mark.parametrize("message", ["Ask {whom}", "Ask: {whom}"])
@pytest.mark.parametrize("one", cautions(), ids=lambda one: one.key)
def test_whom_to_ask_is_said_as_people_say_it(one, message):
    with speaking("es"):
        whom = say(one.ask)
        said = say(message, whom=whom)
    assert APART.search(said) is None
    if whom.startswith("el ") and ":" not in message:
        assert said == f"Pregunte al {whom.removeprefix('el ')}"


def test_what_a_field_begins_with_is_joined_and_names_and_pronouns_are_left_alone():
    with speaking("es"):
        assert say("Ask {whom}", whom="el laboratorio") == "Pregunte al laboratorio"
        assert say("Ask {whom}", whom="El Paso") == "Pregunte a El Paso"
        assert say("Ask {whom}", whom="él") == "Pregunte a él"
        one, many = "{n} of {yards} has a plan in force", "{n} of {yards} have a plan in force"
        assert "del apiario" in say_counted(one, many, 1, yards="el apiario")
    assert say("Ask {whom}", whom="el laboratorio") == "Ask el laboratorio"
