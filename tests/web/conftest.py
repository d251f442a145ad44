"""The pages over a made-up book: asked directly, or served to a browser."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from starlette.testclient import TestClient

from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.recipe_file import read_recipe
from breadline.web import views
from breadline.web.app import create_app
from breadline.web.pages import working, yards
from web.form_names import not_in_the_table
from web.phone_here import TODAY, House, phone_at
from web.pretend_book import WINTER_DAY, PretendBook
from web.served import served, serving

HERE = "http://127.0.0.1:8000"
FIRST_RECIPE = Path(__file__).parents[2] / "examples" / "first-recipe" / "recipe.toml"


@pytest.fixture(autouse=True)
def the_list_of_yards_is_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    """Pages that are asked directly wait for every yard; what a page says meanwhile has tests of its own."""
    monkeypatch.setattr(yards, "WAIT_S", 120.0)
    monkeypatch.setattr(working, "WAIT_S", 120.0)


@pytest.fixture(autouse=True, scope="session")
def every_field_is_known() -> Iterator[None]:
    """Whatever page a test is shown, each field of its forms is one that is known where it is sent."""
    as_it_is = views.marked

    def looked_through(text: str) -> str:
        made = as_it_is(text)
        assert list(not_in_the_table(made)) == []
        return made

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(views, "marked", looked_through)
        yield


class Reading(TestClient):
    """Reads pages as a person does: the space that holds a number to its unit is a space."""

    def request(self, *asked: Any, **more: Any) -> Any:
        answer = super().request(*asked, **more)
        answer._content = answer.content.replace(b"\xc2\xa0", b" ")
        return answer


@pytest.fixture(scope="session")
def first_feed_book(tmp_path_factory) -> Path:
    """A book with the example's recipe and its bought feed, made once."""
    path = tmp_path_factory.mktemp("feed") / "book.sqlite"
    FeedDesk(path).keep(read_recipe(FIRST_RECIPE))
    return path


@pytest.fixture
def feed_book(first_feed_book: Path, tmp_path: Path) -> Path:
    """A copy of it to write in."""
    path = tmp_path / "book.sqlite"
    with closing(sqlite3.connect(first_feed_book)) as made, closing(sqlite3.connect(path)) as copy:
        made.backup(copy)
    return path


@pytest.fixture
def book() -> PretendBook:
    return PretendBook()


@pytest.fixture
def client(book: PretendBook) -> TestClient:
    app = create_app(Path("pretend.sqlite"), book.opened, lambda: WINTER_DAY)
    return TestClient(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)


@pytest.fixture
def address(book: PretendBook) -> Iterator[str]:
    with served(book, WINTER_DAY) as where:
        yield where


@pytest.fixture(scope="module")
def house(tmp_path_factory) -> Iterator[House]:
    """A book with its server, for the phones of a module; each has a yard of its own."""
    path = tmp_path_factory.mktemp("house") / "book.sqlite"
    with serving(create_app(path, today=lambda: TODAY)) as where:
        yield House(path, where)


@pytest.fixture
def phone(browser: Any, house: House) -> Iterator[Any]:
    """A phone with the page open."""
    with phone_at(browser, house) as page:
        yield page
