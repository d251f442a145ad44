"""The page of the evidence, asked directly and in a real browser."""

from __future__ import annotations

import re
from collections import Counter

import pytest

from breadline.belief.votes import of_shelf
from breadline.jobs.evidence import evidence_told
from breadline.knowledge.evidence import comparisons
from breadline.knowledge.shelf import Edit, load
from breadline.language import say, speaking
from breadline.web.pages.evidence import belief_row, in_order, trial_row, verdict_rows
from web.conftest import HERE
from web.pretend_book import TODAY


def plain(html: str) -> str:
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html))


def test_the_first_sentence_says_what_the_verdicts_say(client):
    answer = client.get("/evidence")
    assert answer.status_code == 200
    dearth = [r.verdict for r in comparisons() if r.votes and r.forage_class == "dearth"]
    said = f"Where no pollen came in, {dearth.count('positive')} of {len(dearth)} comparisons found more"
    assert said in plain(answer.text)
    assert 'aria-current="page">Evidence' in answer.text


def test_the_belief_stands_beside_the_verdicts_as_a_judgement(client):
    text = plain(client.get("/evidence").text)
    assert "The belief is our judgement, not a sum" in text
    assert "+25 % (−10 % to +73 %)" in text
    assert "+16 % (−16 % to +62 %)" in text
    assert "as many (−18 % to +22 %)" in text


def test_every_picture_is_a_table_too(client):
    html = client.get("/evidence").text
    assert html.count("<svg") >= 9
    assert html.count('role="img"') >= 9
    assert html.count("<summary>As a table</summary>") == 3
    rows = verdict_rows(evidence_told(load()))
    assert sum(sum(row[1:4]) for row in rows) == sum(r.votes for r in comparisons())


def test_every_comparison_is_listed_with_its_reason(client):
    html = client.get("/evidence").text
    assert html.count('title="') >= len(comparisons())
    shown = [trial_row(row) for row in in_order(comparisons())]
    assert len(shown) == 80
    assert all(row.reason and row.read for row in shown)
    memory = [row for row in shown if row.read.startswith("from memory")]
    assert memory
    assert all(row.left_out == "verdict from memory" for row in memory)


def test_what_a_trial_fed_and_measured_is_in_the_readers_language(client):
    """Each text of the table has its Spanish, with the numbers of the English; names stay."""
    number = re.compile(r"\d+(?:\.\d+)?")
    shown = ("place", "when", "forage_reason", "feed", "outcome", "why_no_vote")
    with speaking("es"):
        told = [trial_row(row) for row in comparisons()]
        for row in comparisons():
            for text in filter(None, (getattr(row, name) for name in shown)):
                said = say(text)
                assert Counter(number.findall(said)) == Counter(number.findall(text))
    page = plain(client.get("/evidence", headers={"cookie": "language=es"}).text)
    for row, english in zip(told, [trial_row(row) for row in comparisons()], strict=True):
        assert row.reason != english.reason
        assert row.feed in page
        assert row.outcome in page
    assert "torta comercial A (con polen)" in page
    assert "commercial patty" not in page


def test_a_belief_that_the_user_changed_is_marked(book, client):
    edit = Edit(0.0, 0.1, 0.2, "five years of check groups", TODAY)
    told = evidence_told(load({"belief.dearth_gain": edit}))
    assert told.believed[0].edited
    assert told.believed[0].situated.readings[-1].name == "what you believe"
    assert belief_row(told.believed[0])[-1] == "+11 % (as many to +22 %)"
    assert told.believed[0].plain == of_shelf("dearth", load()), "the verdicts stay what they are"


def test_no_word_of_the_statistician_is_shown(client):
    text = plain(client.get("/evidence").text).lower()
    assert not re.search(r"signific|control|treatment|p-value|lnrr|posterior|prior\b", text)


@pytest.mark.browser
@pytest.mark.parametrize("width", [320, 390, 1280])
def test_the_page_fits_its_width_with_every_table_open(client, browser, width):
    shown = browser.new_page(viewport={"width": width, "height": 844})

    def answered(route):
        asked = client.get(route.request.url.removeprefix(HERE))
        route.fulfill(status=asked.status_code, body=asked.content, headers=dict(asked.headers))

    wrong = []
    shown.on("pageerror", lambda error: wrong.append(str(error)))
    shown.route("**/*", answered)
    shown.goto(f"{HERE}/evidence")
    shown.evaluate("document.querySelectorAll('details').forEach(d => d.open = true)")
    assert shown.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 0
    assert shown.locator("svg[role=img]:visible").count() == 3 + 0
    assert wrong == []
    if width == 1280:
        for paper in ("Letter", "A4"):
            printed = shown.pdf(format=paper)
            assert len(re.findall(rb"/Type\s*/Page\b(?!s)", printed)) == 1
    shown.close()
