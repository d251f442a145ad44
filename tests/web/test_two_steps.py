"""From the list of yards every page is two steps away, and no link leads to nowhere. All invented."""

from __future__ import annotations

import html
import re
import time
from collections import deque
from datetime import date

import pytest
from fastapi.routing import APIRoute
from starlette.testclient import TestClient

from breadline.jobs import book as books
from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.recipe_book import RecipeBook
from breadline.jobs.recipe_file import read_recipe
from breadline.jobs.season import Asked
from breadline.jobs.yard_file import read_yard
from breadline.web import app as web
from breadline.web.app import create_app
from house import tree
from web.conftest import HERE

TODAY = date(2026, 1, 20)
MOST = 2
DRAWN = {"name": "Spring", "check": "8", "break_even": "0.9", "margin": "0.5", "rescue_below": "3",
         "grading": "2026-04-20", "outcome": "frames", "check_arm": "same-care", "way": "hive"}  # fmt: skip
# No page of its own: an answer to what was typed or sent, a sheet of one, or for a phone's own program.
ANSWERS = {
    "/feed/search/{key}", "/rounds/together", "/rounds/alike", "/rounds/{yard_id}/change", "/verdict/{key}",
    "/rounds/{yard_id}/plans", "/evidence/together/{key}", "/feed/version/{number}/{name:path}",
}  # fmt: skip
SHEETS = re.compile(
    r"\.pdf$|/paper/|/file$|/file/|batch-sheet|/worker\.js$|webmanifest$|yards\.json$|^/field$"
)
# A hive's own page is reached by its tag in the yard, and by its name in the list of hives.
FROM_THE_HIVES = {"/hives/{colony_id}"}
FROM_A_PHONE = {"/pair"}


@pytest.fixture(scope="module")
def client(tmp_path_factory):
    path = tmp_path_factory.mktemp("steps") / "book.sqlite"
    book = Book(path, TODAY)
    book.open_operation("Sorrel Bend Bees (invented)")
    book.add_yard(read_yard(FIRST_YARD / "yard.toml"), FIRST_YARD / "weather.csv")
    RecipeBook(path).keep(read_recipe(tree.ROOT / "examples" / "first-recipe" / "recipe.toml"))
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(books, "Asked", lambda **more: Asked(draws=5, **more))
        app = create_app(path, lambda p: Book(p, TODAY), lambda: TODAY)
        reader = TestClient(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)
        drawn = reader.post("/check-group/draw", data=DRAWN | {"yard": "Mill Shoals"})
        assert drawn.status_code == 200
        yield reader


@pytest.fixture(scope="module")
def steps(client):
    """Every address that is reached in so many steps, the pages asked for, and the links that failed."""
    found, asked, broken, waiting = {"/": 0}, {}, [], deque(["/"])
    seen: set[str] = set()
    while waiting:
        address = waiting.popleft()
        if SHEETS.search(address.partition("?")[0]) or (found[address] == MOST and alike(address) in seen):
            continue  # of two hundred figures one is enough
        seen.add(alike(address))
        answer = client.get(address)
        for _ in range(100):
            if 'http-equiv="refresh"' not in answer.text:
                break
            time.sleep(0.2)
            answer = client.get(address)
        refused = 500 if alike(address) in ANSWERS else 400  # a form that is sent empty is refused
        if answer.status_code >= refused:
            broken.append((address, answer.status_code))
        asked[address] = answer.text
        if found[address] == MOST:
            continue
        for link in ways(answer.text):
            if link not in found:
                found[link] = found[address] + 1
                waiting.append(link)
    return found, asked, broken


def alike(address: str) -> str:
    """The path of its route, such as "/figures/{key}"."""
    path = address.partition("?")[0]
    routes = [one for screen in web.SCREENS for one in screen.router.routes if isinstance(one, APIRoute)]
    return next((one.path for one in routes if "GET" in one.methods and one.path_regex.match(path)), path)


def ways(text: str) -> list[str]:
    """Links of a page, and what its buttons that only ask lead to."""
    links = re.findall(r'<a [^>]*href="([^"#]+)', text)
    forms = re.findall(r'<form [^>]*method="get"[^>]*action="([^"#]+)', text)
    return [html.unescape(one) for one in (*links, *forms)]


def test_every_page_is_two_steps_from_the_yards(steps):
    found, *_ = steps
    far = []
    for screen in web.SCREENS:
        for route in screen.router.routes:
            assert isinstance(route, APIRoute)
            apart = route.path in ANSWERS | FROM_THE_HIVES | FROM_A_PHONE or SHEETS.search(route.path)
            if "GET" not in route.methods or apart:
                continue
            if not any(route.path_regex.match(address.partition("?")[0]) for address in found):
                far.append(route.path)
    assert far == []


def test_no_link_leads_to_nowhere_or_to_another_host(steps):
    found, _, broken = steps
    assert broken == []
    assert all(address.startswith("/") for address in found)


def test_the_screens_stand_in_the_order_of_the_loop(steps):
    _, asked, _ = steps
    menu = asked["/"].partition('aria-label="Screens"')[2].partition("</nav>")[0]
    names = re.findall(r">([^<]+)</a>", menu)
    loop = ["Yards", "Feed", "Rounds", "Check group", "Verdict", "Evidence"]
    assert names == [*loop, "Figures", "In the yard", "Straight answer"]


@pytest.mark.parametrize(
    "start", ["/yards/", "/rounds/", "/feed/recipe/", "/evidence", "/county", "/check-group/size"]
)
def test_what_is_computed_is_one_step_from_what_it_rests_on(steps, start):
    """A link to figures, the evidence or the yard that a line is of; or sources on the page itself."""
    _, asked, _ = steps
    pages = [text for address, text in asked.items() if address.startswith(start)]
    assert pages
    assert any(
        re.search(r'href="/(figures|evidence|yards|feed/ingredients)|Sources|rests on', text)
        for text in pages
    )


def test_a_page_is_light(steps):
    _, asked, _ = steps
    heavy = {address: len(text.encode()) for address, text in asked.items() if len(text.encode()) > 300_000}
    assert heavy == {}
