"""The pages over a made-up book: asked directly, or served to a browser."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from breadline.web.app import create_app
from web.pretend_book import WINTER_DAY, PretendBook
from web.served import served

HERE = "http://127.0.0.1:8000"


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
