"""The program over a book in a PostgreSQL database: commands and pages, no password anywhere. Invented."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from book_places import databases
from breadline.cli.app import main
from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD, TODAY
from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.recipe_file import read_recipe
from breadline.jobs.yard_file import read_yard
from breadline.need.yard import Yard
from breadline.records.address import OnServer, book_at
from breadline.web.app import create_app

HERE = "http://127.0.0.1:8000"
SECRET = "ho:ney"
PAGES = (
    "/", "/feed", "/feed/ingredients", "/figures", "/evidence", "/evidence/own", "/check-group", "/verdict",
    "/foretelling", "/field/", "/field/yards.json", "/field/questions", "/settings",
)  # fmt: skip
RECIPE = Path(__file__).parents[2] / "examples" / "first-recipe" / "recipe.toml"


@pytest.fixture(scope="module")
def typed() -> Iterator[str]:
    """The address of a new database, as it is typed with a password that the server does not ask for."""
    server = databases()
    at = server.new()
    yield OnServer(at.url.set(password=SECRET)).url.render_as_string(hide_password=False)
    server.drop(at)
    server.close()


def run(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, *words: str) -> tuple[int, str]:
    """A command as it is typed; its exit code and all that it printed."""
    monkeypatch.setattr(sys, "argv", ["breadline", *words])
    with pytest.raises(SystemExit) as ended:
        main()
    said = capsys.readouterr()
    return int(ended.value.code or 0), said.out + said.err


def test_commands_and_pages_take_its_address_and_show_no_password(
    typed: str, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    code, said = run(capsys, monkeypatch, "serve", typed, "--json")
    assert code == 2
    assert "no such book" in said
    told = [said]
    yard = ("--add", str(FIRST_YARD / "yard.toml"), "--weather", str(FIRST_YARD / "weather.csv"))
    code, said = run(capsys, monkeypatch, "yards", typed, *yard, "--as-of", TODAY.isoformat(), "--json")
    assert code == 0, said
    assert json.loads(said)["yards"]
    told.append(said)
    for words in (
        ("rounds", "freezer", typed),
        ("ration", "batches", "--book", typed),
        ("evidence", "--book", typed),
        ("season", "--record", typed),
        ("verify", typed),
        ("export", typed, str(tmp_path / "all.zip")),
    ):
        code, said = run(capsys, monkeypatch, *words)
        assert code == 0, f"{words[0]}: {said}"
        told.append(said)
    code, said = run(capsys, monkeypatch, "backup", typed)
    assert code == 2
    assert "pg_dump" in said
    told.append(said)
    assert not [one for one in told if SECRET in one or "ho%3Aney" in one]


def test_pages_show_it_and_take_entries_and_show_no_password(typed: str) -> None:
    at = book_at(typed)
    Book(at, TODAY).add_yard(read_first(), FIRST_YARD / "weather.csv")
    FeedDesk(at).keep(read_recipe(RECIPE))
    app = create_app(at, lambda there: Book(there, TODAY), today=lambda: TODAY)
    client = TestClient(app, base_url=HERE, headers={"origin": HERE})
    for path in PAGES:
        page = client.get(path)
        assert page.status_code == 200, path
        assert SECRET not in page.text, path
        assert "ho%3Aney" not in page.text, path
    assert read_first().name in client.get("/").text
    one = Book(at, TODAY).figures()[0]
    edited = {part: f"{getattr(one.shipped, part):g}" for part in ("low", "typical", "high")}
    edited["why"] = "counted on a scale"
    assert client.post(f"/figures/{one.key}", data=edited).status_code == 200
    assert "counted on a scale" in client.get(f"/figures/{one.key}").text


def read_first() -> Yard:
    return read_yard(FIRST_YARD / "yard.toml")
