"""What is reached from the list of yards in two steps, over a small book. All invented."""

from __future__ import annotations

import html
import re
import time
from collections import deque
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from fastapi import FastAPI
from fastapi.routing import APIRoute
from starlette.testclient import TestClient

from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.recipe_book import RecipeBook
from breadline.jobs.recipe_file import read_recipe
from breadline.jobs.yard_file import read_yard
from breadline.web import app as web
from breadline.web.app import create_app
from house import tree
from jobs.few_seasons import run_few_seasons

HERE = "http://127.0.0.1:8000"
TODAY = date(2026, 1, 20)
MOST = 2
LONGEST_S = 900  # of one page on a machine that is busy otherwise [s]
YARD = "Mill Shoals"
HIVES = "MS-01, pallet 1\nMS-02, pallet 1"
DRAWN = {"name": "Spring", "check": "8", "break_even": "0.9", "margin": "0.5", "rescue_below": "3",
         "grading": "2026-04-20", "outcome": "frames", "check_arm": "same-care", "way": "hive"}  # fmt: skip
# No page of its own: an answer to what was typed or sent, a sheet of one, or for a phone's own program.
ANSWERS = {
    "/feed/search/{key}", "/rounds/together", "/rounds/alike", "/rounds/{yard_id}/change", "/verdict/{key}",
    "/rounds/{yard_id}/plans", "/evidence/together/{key}", "/feed/version/{number}/{name:path}",
    "/evidence/own/learning/{key}", "/working/{key}", "/bring-in/look/{word}",
}  # fmt: skip
SHEETS = re.compile(
    r"\.pdf$|/paper/|/file$|/file/|batch-sheet|/worker\.js$|webmanifest$|(yards|parts)\.json$|^/field$"
)


@dataclass(frozen=True)
class Crawled:
    """Every address with its number of steps, the pages asked for, and the links that failed."""

    found: dict[str, int]
    asked: dict[str, str]
    broken: list[tuple[str, int]]


@contextmanager
def small_book(path: Path) -> Iterator[tuple[FastAPI, TestClient]]:
    """The pages over a book with a drawn check group, and who asks them; few draws are run."""
    book = Book(path, TODAY)
    book.open_operation("Sorrel Bend Bees (invented)")
    book.add_yard(read_yard(FIRST_YARD / "yard.toml"), FIRST_YARD / "weather.csv")
    RecipeBook(path).keep(read_recipe(tree.ROOT / "examples" / "first-recipe" / "recipe.toml"))
    with pytest.MonkeyPatch.context() as patch:
        run_few_seasons(patch)
        app = create_app(path, lambda p: Book(p, TODAY), lambda: TODAY)
        reader = TestClient(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)
        drawn = reader.post("/check-group/draw", data=DRAWN | {"yard": YARD})
        assert drawn.status_code == 200
        yield app, reader


def place_hives(client: TestClient) -> None:
    """Two hives in the yard, for the phone's page."""
    (yard,) = client.get("/field/yards.json").json()["yards"]
    placed = client.post(f"/field/hives/{yard['id']}", data={"rows": HIVES})
    assert placed.status_code == 200


def crawled(client: TestClient) -> Crawled:
    """Follow every link and every form that only asks, two steps from the yards."""
    found, asked, broken, waiting = {"/": 0}, {}, [], deque(["/"])
    seen: set[str] = set()
    while waiting:
        address = waiting.popleft()
        if SHEETS.search(address.partition("?")[0]) or (found[address] == MOST and alike(address) in seen):
            continue  # of two hundred figures one is enough
        seen.add(alike(address))
        answer = once_there(client, address)
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
    return Crawled(found, asked, broken)


def once_there(client: TestClient, address: str) -> Any:
    """The answer of a page; what it has to work out first is waited for, however busy the machine is."""
    until = time.monotonic() + LONGEST_S
    while True:
        answer = client.get(address)
        if 'http-equiv="refresh"' not in answer.text:
            return answer
        assert time.monotonic() < until, f"{address} is still being worked out after {LONGEST_S} s"
        time.sleep(0.2)


def alike(address: str) -> str:
    """The path of its route, such as "/figures/{key}"."""
    path = address.partition("?")[0]
    return next((one.path for one in routes() if "GET" in one.methods and one.path_regex.match(path)), path)


def routes() -> list[APIRoute]:
    """Every route of every screen."""
    return [one for screen in web.SCREENS for one in screen.router.routes if isinstance(one, APIRoute)]


def ways(text: str) -> list[str]:
    """Links of a page, and what its buttons that only ask lead to."""
    links = re.findall(r'<a [^>]*href="([^"#]+)', text)
    forms = re.findall(r'<form [^>]*method="get"[^>]*action="([^"#]+)', text)
    return [html.unescape(one) for one in (*links, *forms)]
