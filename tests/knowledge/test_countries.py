"""Law and custom: only where a source was read, never another country's by default."""

from __future__ import annotations

import pytest

from breadline.errors import FigureError
from breadline.knowledge.cautions import caution, cautions, common_but_wrong
from breadline.knowledge.countries import INSPECTOR, countries, law_of


@pytest.mark.parametrize("code", [code for code, _ in countries()])
def test_a_known_country_names_whom_to_ask_its_source_and_year(code: str):
    law = law_of(code)
    assert law.known
    assert law.ask
    assert law.year is not None
    assert 2010 <= law.year <= 2100
    assert law.default in ("no", "by need")
    assert law.why


@pytest.mark.parametrize("code", [None, "", "BR", "KE", "br"])
def test_elsewhere_the_answer_is_to_ask(code: str | None):
    law = law_of(code)
    assert (law.default, law.ask, law.sources, law.year) == ("ask", INSPECTOR, (), None)
    assert (law.drugs, law.imports, law.movement) == ("", "", "")


def test_a_member_of_the_union_has_its_drug_rule_and_no_borrowed_custom():
    law = law_of("ie")
    assert (law.name, law.default) == ("Ireland", "ask")
    assert "antibiotic" in law.drugs


def test_germany_says_no_and_why():
    law = law_of("de")
    assert law.default == "no"
    assert "2022" in law.why


@pytest.mark.parametrize("code", ["USA", "1", "Ü1"])
def test_a_code_that_is_none_is_refused(code: str):
    with pytest.raises(FigureError, match="two letters"):
        law_of(code)


def test_cautions_are_one_line_and_name_whom_to_ask():
    for c in cautions():
        assert c.ask
        assert "\n" not in c.line
        assert len(c.line) <= 140, c.key
    assert caution("antibiotics") in cautions("drugs")
    assert cautions("feed", "mixing")
    assert cautions("no such topic") == ()


def test_wrong_claims_come_with_what_is_right():
    assert all(w.claim and w.instead and w.source for w in common_but_wrong())


def test_words_of_the_trade():
    text = " ".join(
        [*(c.line for c in cautions()), *(w.claim + w.instead for w in common_but_wrong())]
    ).lower()
    for word in ("significant", "pollen sub", "control group"):
        assert word not in text
