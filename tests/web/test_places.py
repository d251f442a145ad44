"""Where something is to be mended, named in the reader's language."""

from __future__ import annotations

from breadline.language import speaking
from breadline.web.places import place_words


def test_what_is_missing_of_an_answer_is_named_with_its_field_in_both_languages():
    assert place_words("your answers, money") == "your answers, money"
    with speaking("es"):
        assert place_words("your answers, money") == "sus respuestas, dinero"


def test_a_bloom_is_named_in_both_languages():
    assert place_words("bloom Heather") == "bloom Heather"
    with speaking("es"):
        assert place_words("bloom Heather") == "floración Heather"
