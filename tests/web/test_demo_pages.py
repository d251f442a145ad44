"""The pages over a real book: the demo's invented yards, their weather, the whole season model."""

from __future__ import annotations

import random
import re
from dataclasses import replace
from datetime import timedelta

import pytest
from starlette.testclient import TestClient

from breadline.jobs.book import Book, key_of
from breadline.jobs.demo import OPERATION, TODAY, make_demo
from breadline.records.engine import open_book, writing
from breadline.records.plans import keep_plan
from breadline.web.app import create_app
from records.conftest import CHOSEN
from web.conftest import HERE


@pytest.fixture(scope="module")
def demo(tmp_path_factory):
    """The pages of the demo, and the key of its first yard."""
    path = tmp_path_factory.mktemp("demo") / "demo.sqlite"
    first = make_demo(path).first_yard()
    app = create_app(path, lambda book: Book(book, TODAY))
    return TestClient(app, base_url=HERE, headers={"origin": HERE}), first


def test_every_yard_of_the_demo_is_listed_with_an_answer(demo):
    client, _ = demo
    text = client.get("/").text
    assert OPERATION in text
    assert text.count('<th scope="row">') == 6
    assert "colspan" not in text, "a yard without an answer would say why"


def test_last_autumns_check_group_is_finished_judged_and_taught_something(demo):
    client, _ = demo
    listed = client.get("/check-group").text
    assert "Autumn patties 2025 (invented)" in listed
    assert "20 of 40 colonies were left unfed" in listed
    key = re.search(r'href="(/check-group/[0-9a-f-]{36})"', listed).group(1)
    told = client.post(f"{key}/verdict", data={"cost": "9", "price": "12", "money": "US$"})
    assert told.status_code == 200
    assert "Fed less check" in told.text
    assert "autumn 2025" in client.get("/evidence").text


def test_the_first_yard_says_what_the_book_says(demo):
    client, first = demo
    answer = client.get(f"/yards/{first}")
    assert answer.status_code == 200
    assert "Why, in this order" in answer.text
    assert answer.text.count('role="img"') == 3
    assert len(answer.content) < 600_000


def test_a_figure_edited_in_the_book_is_marked_on_the_season_and_undone(demo):
    client, first = demo
    season = client.get(f"/yards/{first}").text
    assert "edited by you" not in season
    key = re.search(r'href="/figures/(bread\.[a-z_]+)"', season).group(1)
    shown = client.get(f"/figures/{key}").text
    low, typical, _ = re.findall(r'name="(?:low|typical|high)" value="([^"]+)"', shown)
    form = {"low": low, "typical": typical, "high": typical, "why": "weighed here"}
    assert client.post(f"/figures/{key}", data=form).status_code == 200
    assert "edited by you" in client.get(f"/yards/{first}").text
    assert client.post(f"/figures/{key}/undo").status_code == 200
    assert "edited by you" not in client.get(f"/yards/{first}").text


def printed(client, browser, address, paper, language="en"):
    """A page of the demo as it is printed; how many sheets of paper it takes."""
    page = browser.new_page()

    def answered(route):
        asked = client.get(route.request.url.removeprefix(HERE), headers={"cookie": f"language={language}"})
        route.fulfill(status=asked.status_code, body=asked.content, headers=dict(asked.headers))

    page.route("**/*", answered)
    page.goto(f"{HERE}{address}")
    page.evaluate("document.fonts.ready.then(() => true)")
    made = page.pdf(format=paper)
    page.close()
    return len(re.findall(rb"/Type\s*/Page\b(?!s)", made))


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_the_first_yard_prints_on_one_page(demo, browser, paper):
    client, first = demo
    assert printed(client, browser, f"/yards/{first}", paper) == 1


@pytest.mark.browser
@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("feeds", [True, False])
def test_with_a_plan_of_rounds_or_to_do_nothing_it_still_does(demo, browser, language, feeds):
    client, first = demo
    rounds = tuple((TODAY + timedelta(days=7 * n), 113.4) for n in range(1, 6)) if feeds else ()
    engine = open_book(client.app.state.book_path)
    with writing(engine) as session:
        keep_plan(session, key_of(first), replace(CHOSEN, chosen_on=TODAY, rounds=rounds))
    engine.dispose()
    assert printed(client, browser, f"/yards/{first}", "Letter", language) == 1
    assert printed(client, browser, f"/yards/{first}", "A4", language) == 1


def sixty_colonies():
    """Two yards of thirty, every second one fed, three lost: paid by a line. Invented."""
    drawn = random.Random(12)
    rows = ["colony,yard,arm,baseline,end,status"]
    for n in range(60):
        before = round(drawn.gauss(6, 1) * 2) / 2
        after = max(0.0, round((before + 1 + 1.2 * (n % 2) + drawn.gauss(0, 1.4)) * 2) / 2)
        end = ",dead" if n in (3, 10, 22) else f"{after},"
        rows.append(f"G{n},{'North' if n < 30 else 'South'},{('check', 'fed')[n % 2]},{before},{end}")
    return "\n".join(rows).encode()


@pytest.mark.browser
@pytest.mark.parametrize("language", ["en", "es"])
def test_the_verdict_of_a_grade_line_prints_on_one_page(demo, browser, language):
    client, _ = demo
    said = {"cost": "16", "price": "188", "grade": "8", "drawn": "lot", "one_row": "no", "year": "2027"}
    sent = client.post("/verdict", data=said, files={"file": ("g.csv", sixty_colonies())})
    assert sent.url.path.startswith("/verdict/")
    assert printed(client, browser, sent.url.path, "Letter", language) == 1
