"""The page of a yard with inspections: what they say stands on it once, and it is as it was last seen."""

from __future__ import annotations

from pathlib import Path

from starlette.testclient import TestClient

from breadline.jobs.book import Book
from breadline.jobs.yard_file import read_yard
from breadline.web.app import create_app
from web.conftest import HERE

EXAMPLES = Path(__file__).parents[2] / "examples"


def test_the_page_of_a_yard_tells_what_its_inspections_say(tmp_path: Path) -> None:
    yard = read_yard(EXAMPLES / "fitted-yard" / "yard.toml")
    path = tmp_path / "own.sqlite"
    key = Book(path, yard.today).add_yard(yard, EXAMPLES / "first-yard" / "weather.csv")
    app = create_app(path, lambda book: Book(book, yard.today))
    client = TestClient(app, base_url=HERE, headers={"origin": HERE})
    shown = client.get(f"/yards/{key}").text
    assert shown.count("What your inspections say") == 1
    assert shown.count("was foretold from the count and 2 inspections before it") == 1
    assert shown.count("draws of figures, bloom and count") == 1
    assert "Looked in 6 hives on 18 April" in shown
