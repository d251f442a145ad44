"""What stands under a figure is in the reader's language, with the numbers and sources of the English."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from breadline.knowledge.shelf import load
from breadline.language import say, speaking

NUMBER = re.compile(r"\d+(?:[.,]\d+)*")
SOURCE = re.compile(r"\[\w+\]|\b[a-z]\w+\d{3,4}\b|\b[a-z]+\.[a-z_]+\b")
SAID_OTHERWISE = {"dry_feed.fly_c": "50"}  # "the upper forties"
SHELF = load()
NOTED = [figure for figure in SHELF.figures() if figure.note]


@pytest.mark.parametrize("figure", NOTED, ids=[figure.key for figure in NOTED])
def test_a_note_has_its_spanish_with_the_same_numbers_and_sources(figure):
    with speaking("es"):
        said = say(figure.note)
    assert said != figure.note
    numbers = Counter(NUMBER.findall(said)) - Counter(NUMBER.findall(figure.note))
    assert set(numbers) <= {SAID_OTHERWISE.get(figure.key)}
    assert not Counter(NUMBER.findall(figure.note)) - Counter(NUMBER.findall(said))
    told, wanted = (set(SOURCE.findall(text)) - {"[quoted]", "[citado]"} for text in (said, figure.note))
    assert told == wanted
