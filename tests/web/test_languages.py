"""Pages in the language of whoever reads: chosen, kept apart, and with no sentence past the catalogue."""

from __future__ import annotations

import re
from concurrent.futures import ThreadPoolExecutor
from datetime import date
from html import unescape
from itertools import product

import pytest

from breadline.jobs.short_path import QUESTIONS, ShortAnswers, straight_answer
from breadline.language import LANGUAGES, PRETENDED, chosen, say, say_counted, speaking
from breadline.need.words import day, day_range, frames_of, short_day
from breadline.web.pages.language import _here

ASKED = {
    "where": "US", "brood": "well", "mites": "low", "honey": "enough", "bees": "6", "bread": "none",
    "flying": "none", "first_pollen": "3",
}  # fmt: skip
KEPT = re.compile(
    r"<(?:script|style|code|details)\b.*?</(?:script|style|code|details)>|<[^<>]*>|⟦[^⟦⟧]*⟧", re.S
)
ALOUD = re.compile(r'\b(?:aria-label|placeholder|title|alt|data-head)="([^"]*)"')
# the mark, the operation and the yards of the pretended book, units, languages, keys of sources
NAMES = (
    "Breadline", "Harrow & Daughter Bees", "Tarweed Flat", "Old Scale", "Lower Ditch", "Water Tank",
    "Melon Road", "Cutbank", "Sunflower Half", "North Fence", "Español", "English",
)  # fmt: skip


def bare(html: str) -> list[str]:
    """Words of a page in the pretended language that came round the catalogue."""
    body = html[html.index("<body") :]
    text = " ".join([KEPT.sub(" ", body), *(KEPT.sub(" ", told) for told in ALOUD.findall(body))])
    text = unescape(text)
    for name in NAMES:
        text = text.replace(name, " ")
    return [word for word in re.findall(r"[^\W\d_]{2,}", text) if word not in ("lb", "kg", "°C", "°F")]


@pytest.fixture
def pretended(monkeypatch):
    monkeypatch.setitem(LANGUAGES, PRETENDED, "Pretended")
    return {"cookie": f"language={PRETENDED}"}


def test_a_browser_is_answered_in_its_language_and_a_choice_holds(client):
    asked = {"accept-language": "es-MX,es;q=0.9,en;q=0.5"}
    assert '<html lang="es">' in client.get("/straight-answer", headers=asked).text
    assert '<html lang="en">' in client.get("/straight-answer").text
    back = "/straight-answer?where=US"
    answer = client.post("/language", data={"language": "es", "back": back}, follow_redirects=False)
    assert answer.status_code == 303
    assert answer.headers["location"] == back
    page = client.get(back).text  # 422: seven are open; what was answered is still marked
    assert "¿Dónde están las colmenas?" in page
    assert 'value="US" checked' in page
    assert '<html lang="en">' in client.get("/straight-answer?language=en").text  # this one answer only
    assert '<html lang="es">' in client.get("/straight-answer").text


def test_the_choice_leads_back_to_these_pages_only():
    assert _here("/rounds?a=1") == "/rounds?a=1"
    assert [_here(told) for told in ("//evil", "/\\evil", "https://evil", "", "/a\nb", "/language")] == [
        "/"
    ] * 6


@pytest.mark.parametrize(
    ("wanted", "code"),
    [("es", "es"), ("fr,es;q=0.4", "es"), ("en-US,es;q=0.9", "en"), ("fr", "en"), ("", "en"),
     ("es;q=0", "en"), ("es;q=x,;,,", "es")],
)  # fmt: skip
def test_the_first_language_we_have_of_those_a_browser_takes(wanted, code):
    assert chosen(wanted) == code


def test_one_reader_does_not_change_anothers_language(client):
    def title(code):
        html = client.get("/straight-answer", headers={"accept-language": code}).text
        return "¿Necesitan sus abejas" in html, "Do your bees need" in html

    with ThreadPoolExecutor(4) as hands:
        told = list(hands.map(title, ["es", "en"] * 8))
    assert told == [(True, False), (False, True)] * 8


def test_what_a_figure_means_is_said_and_found_in_the_readers_language(client):
    spanish = {"cookie": "language=es"}
    listed = client.get("/figures?find=nodriza", headers=spanish).text
    assert "Polen que come una nodriza en un día" in listed
    assert "mg/día" in listed
    assert "Polen que come una nodriza en un día" in client.get("/figures?find=nurse", headers=spanish).text
    assert "Pollen that one nurse eats in a day" in client.get("/figures?find=nurse").text
    assert "dry_feed.days_out" in client.get("/figures?find=un+poco+cada+día", headers=spanish).text
    one = client.get("/figures/ladder.hives_to_look_in", headers=spanish).text
    assert "<h1>Colmenas que hay que revisar antes de juzgar un apiario</h1>" in one
    assert re.search(r"Bajo, colmenas<input", one)
    assert "<dd>Todas donde hay menos.</dd>" in one


def test_dates_numbers_and_counts_in_spanish():
    on = date(2027, 2, 10)
    with speaking("es"):
        assert day(on) == "10 de febrero"
        assert short_day(on) == "10 feb"
        assert day_range(on, date(2027, 2, 24)) == "10 al 24 de febrero"
        assert frames_of(1.5, "bees") == "1½ cuadros con abejas"
        assert frames_of(0.25, "bread", parts=4) == "¼ cuadro de pan de abeja"
        assert say_counted("{n} hive", "{n} hives", 1) == "1 colmena"
        assert say("a message that no catalogue has") == "a message that no catalogue has"
    assert day(on) == "10 February"


@pytest.mark.parametrize(
    "address",
    ["/straight-answer", "/language", "/nowhere", "/feed", "/feed/new", "/feed/bought", "/figures/nowhere",
     "/working/nowhere", "/verdict/nowhere"],
)  # fmt: skip
def test_no_sentence_of_a_page_comes_round_the_catalogue(client, pretended, address):
    words = bare(client.get(address, headers=pretended).text)
    assert [word for word in words if word not in ("nowhere", "Pretended")] == []


def answers_in_turn():
    """Each choice of each question beside usual answers, and all of two questions that decide together."""
    for question in QUESTIONS:
        for choice in question.choices:
            yield ASKED | {question.key: choice.key}
    chosen_of = {q.key: [choice.key for choice in q.choices] for q in QUESTIONS}
    for bread, flying in product(chosen_of["bread"], chosen_of["flying"]):
        yield ASKED | {"bread": bread, "flying": flying, "where": "GB"}


def test_no_straight_answer_comes_round_the_catalogue():
    for given in answers_in_turn():
        with speaking(PRETENDED):
            advice = straight_answer(ShortAnswers(**given, today=date(2027, 2, 20)))
            said = [advice.sentence, advice.look_again_for, advice.comes_first, *advice.what_would_change]
            said += [text for reason in advice.reasons for text in (say(reason.head), reason.detail)]
            said += [text for caution in advice.cautions for text in (caution.text, caution.ask)]
        left = re.findall(r"[^\W\d_]{2,}", re.sub(r"⟦[^⟦⟧]*⟧", " ", " ".join(said)))
        assert left == [], given
