"""The page of common questions shows what the documents hold, each with its sources, and finds words."""

from __future__ import annotations

import re
from html import unescape

import pytest
from markupsafe import escape

from breadline.jobs.common_questions import common, read_common
from breadline.knowledge.data import sources
from breadline.language import speaking
from breadline.web.document_words import document_words
from house import tree
from house.test_common_but_wrong import CLAIMS
from house.test_questions_page import KEY, QUESTIONS

PAGES = {"/questions": QUESTIONS, "/questions/wrong": CLAIMS}
DOCUMENTS = {"/questions": "guide/questions.md", "/questions/wrong": "method/common-but-wrong.md"}


def plain(text: str) -> str:
    """The letters and digits alone, of a page or of a document."""
    text = unescape(re.sub(r"<[^<>]+>", "", text))
    text = re.sub(r"\]\([^)]*\)", "", text)
    return re.sub(r"[\W_]+", "", text)


@pytest.mark.parametrize("address", PAGES)
def test_every_entry_of_the_document_stands_on_the_page_in_full(client, address):
    page = plain(client.get(address).text)
    text = (tree.ROOT / "docs" / DOCUMENTS[address]).read_text("utf-8")
    assert len(re.findall(r"^### ", text, re.M)) == len(PAGES[address])
    for head, answer in PAGES[address].items():
        body = re.split(r"^## ", answer, flags=re.M)[0]
        assert plain(head) in page
        assert plain(body) in page, head


@pytest.mark.parametrize("address", PAGES)
def test_every_source_that_is_named_is_cited_below_and_led_to(client, address):
    html = client.get(address).text
    named = {key for body in PAGES[address].values() for key in KEY.findall(body)}
    assert set(re.findall(r'<li id="source-(\w+)">', html)) == named
    assert set(re.findall(r'href="#source-(\w+)"', html)) == named
    for key in named:
        assert plain(sources()[key]) in plain(html)


def test_words_are_looked_for_in_question_and_answer(client):
    html = client.get("/questions?find=winter bees").text
    heads = [unescape(one) for one in re.findall(r"<h3>(.*?)</h3>", html)]
    assert "4. Does autumn feeding make fat winter bees?" in heads
    assert len(heads) < 10
    assert f"{len(heads)} of 40 have" in html
    none = client.get("/questions?find=zeppelin").text
    assert "0 of 40 have" in none
    assert "<h3>" not in none


def test_every_page_leads_there_and_it_leads_to_the_straight_answer(client):
    assert '<a href="/questions">' in client.get("/figures").text
    html = client.get("/questions").text
    assert 'page <a href="/straight-answer">Straight answer</a>' in html
    assert '<a href="/questions/wrong">' in html


SPANISH = {"cookie": "language=es"}


@pytest.mark.parametrize(("address", "which"), [("/questions", "questions"), ("/questions/wrong", "wrong")])
def test_a_reader_in_spanish_reads_them_in_spanish(client, address, which):
    html = client.get(address, headers=SPANISH).text.replace("\xa0", " ")
    page = plain(html)
    with speaking("es"):
        told = common(which)
    assert f"{told.title}</h1>" in html
    for one in told.entries:
        assert f'<article id="{one.anchor}"><h3>{escape(one.head)}</h3>' in html
        assert plain("".join(one.paragraphs)) in page, one.head
    assert '<div lang="es">' in html
    assert '<div lang="en">' not in html


def test_in_spanish_words_are_found_with_accents_or_without_and_screens_are_led_to(client):
    for words in ("proteína invierno", "proteina INVIERNO"):
        html = client.get("/questions", params={"find": words}, headers=SPANISH).text
        assert "29. ¿Torta proteica o torta de invierno?" in html
    html = client.get("/questions", headers=SPANISH).text
    assert 'página <a href="/straight-answer">Respuesta directa</a>' in html
    assert 'página <a href="/questions">Preguntas frecuentes</a>' in html
    sources = re.findall(r"<p[^>]*>Fuente:", html)
    assert sources == ['<p class="small soft">Fuente:'] * 40


def test_an_entry_has_the_same_address_in_both_languages(client):
    told = [
        re.findall(
            r'<article id="([^"]+)">', client.get("/questions", headers={"cookie": f"language={code}"}).text
        )
        for code in ("en", "es")
    ]
    assert told[0] == told[1]
    assert len(set(told[0])) == 40


def test_what_a_document_holds_is_never_markup():
    text = "**<b>x</b>** and `<i>` and [<u>](page.md) and [oliver2014] & *so*"
    shown = str(document_words(text, {"oliver2014": 'a "title" <here>'}))
    assert set(re.findall(r"<(\w+)", shown)) == {"b", "code", "a", "i"}
    assert "&lt;u&gt;" in shown
    assert "a &#34;title&#34; &lt;here&gt;" in shown


def test_a_document_is_read_into_parts_and_entries():
    told = read_common(
        "# All\n\nFirst\nwords.\n\n## One\n\n### A?\n\nYes.\n\nSource: [b1].\n\n## Two\n### C?\nNo.\n"
    )
    assert (told.title, told.before) == ("All", ("First words.",))
    assert [(part.name, [one.head for one in part.entries]) for part in told.parts] == [
        ("One", ["A?"]), ("Two", ["C?"]),
    ]  # fmt: skip
    assert told.entries[0].paragraphs == ("Yes.", "Source: [b1].")
    assert told.keys == ("b1",)
    assert [one.head for one in told.find("NO").entries] == ["C?"]


def test_an_installed_program_carries_the_documents():
    import tomllib

    project = tomllib.loads((tree.ROOT / "pyproject.toml").read_text("utf-8"))
    carried = project["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    for name in [*DOCUMENTS.values(), *(one.replace(".md", ".es.md") for one in DOCUMENTS.values())]:
        assert carried[f"docs/{name}"] == f"breadline/jobs/documents/{name.rpartition('/')[2]}"
    assert len(common("questions").entries) == len(QUESTIONS)
