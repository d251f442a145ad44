"""Where the data lies is said, the copy that is sent is whole, and what is taken out is what is there."""

from __future__ import annotations

import json
import sqlite3
import zipfile
from contextlib import closing
from datetime import date
from io import BytesIO
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.safe_copy import restored
from breadline.jobs.yard_file import read_yard
from breadline.web.app import create_app
from web.conftest import HERE

TODAY = date(2026, 3, 10)


@pytest.fixture(scope="module")
def there(tmp_path_factory):
    """The pages of a book with one invented yard, and the book's path."""
    path = tmp_path_factory.mktemp("settings") / "own book.sqlite"
    book = Book(path, TODAY)
    book.open_operation("Sorrel Bend Bees (invented)")
    book.add_yard(read_yard(FIRST_YARD / "yard.toml"))
    app = create_app(path, lambda p: Book(p, TODAY), lambda: TODAY)
    return TestClient(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False), path


def test_every_foot_leads_to_where_the_data_lies(there) -> None:
    client, path = there
    for page in ("/", "/figures", "/settings"):
        assert '<a href="/settings"' in client.get(page).text
    text = client.get("/settings").text
    assert str(path.resolve()) in text
    assert "this machine only" in text
    assert "1 yard" in text


def test_the_button_sends_a_whole_copy_and_the_page_knows_of_it(there, tmp_path: Path) -> None:
    client, path = there
    assert "No copy of it was made yet" in client.get("/settings").text
    with closing(sqlite3.connect(path)) as raw:
        before = raw.execute("SELECT * FROM reading ORDER BY id").fetchall()
    answer = client.post("/settings/copy")
    assert answer.headers["content-disposition"] == 'attachment; filename="own-book-2026-03-10.db"'
    copy, new = tmp_path / "copy.db", tmp_path / "new.db"
    copy.write_bytes(answer.content)
    restored(copy, new)
    with closing(sqlite3.connect(new)) as raw:
        assert raw.execute("SELECT * FROM reading ORDER BY id").fetchall() == before
    assert "sent to a browser as a download" in client.get("/settings").text


def test_everything_is_taken_out_by_a_button(there) -> None:
    client, _ = there
    told = client.post("/settings/take-out/json").json()
    assert told["tables"]["operation"][0]["name"] == "Sorrel Bend Bees (invented)"
    geo = json.loads(client.post("/settings/take-out/geojson").content)
    assert [one["properties"]["name"] for one in geo["features"]]
    with zipfile.ZipFile(BytesIO(client.post("/settings/take-out/csv").content)) as packed:
        assert "reading.csv" in packed.namelist()
    with zipfile.ZipFile(BytesIO(client.post("/settings/take-out/xlsx").content)) as packed:
        assert "xl/workbook.xml" in packed.namelist()
    assert client.post("/settings/take-out/doc").status_code == 422


def test_no_other_page_can_ask_for_a_copy(there) -> None:
    client, _ = there
    for road in ("/settings/copy", "/settings/take-out/json"):
        assert client.post(road, headers={"origin": "http://elsewhere.example"}).status_code == 403
        assert client.get(road).status_code in (404, 405)


def test_a_refused_copy_is_told_on_the_page(there, monkeypatch: pytest.MonkeyPatch) -> None:
    client, _ = there

    def full(*_: object) -> int:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("breadline.records.copies.os.open", full)
    answer = client.post("/settings/copy")
    assert answer.status_code == 422
    assert "No space left on device" in answer.text
