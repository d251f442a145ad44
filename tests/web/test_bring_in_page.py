"""A sheet on the page: a look, what is asked, what to mend, and all of it written down. All invented."""

from __future__ import annotations

import re
from datetime import date
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from breadline.jobs.bring_in import brought_in
from breadline.jobs.sheet_read import SheetAsked
from breadline.web.app import create_app
from web.conftest import HERE, Reading

TODAY = date(2026, 11, 25)
SHEET = (
    b"yard;tag;date;frames;brood;shade\n"
    b"North;1;03/04/2026;7,5;3;none\nNorth;2;03/04/2026;lots;2;<b>some</b>\n"
)
HIDDEN = r'<input type="hidden" name="([^"]+)" value="([^"]*)">'
ANSWERS = {
    "decimal": "comma", "order": "month-day", "unit:frames_of_bees": "full", "new-colonies": "yes",
}  # fmt: skip


@pytest.fixture(scope="module")
def client(tmp_path_factory) -> TestClient:
    path = tmp_path_factory.mktemp("bring") / "book.db"
    brought_in(path, "yards.csv", b"name,lat,lon,hives\nNorth,45.1,-93.2,12\n", SheetAsked(), TODAY)
    app = create_app(path, today=lambda: TODAY)
    return Reading(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)


def looked(client: TestClient, content: bytes, name: str = "march.csv") -> tuple[str, dict[str, str]]:
    """The page after a file was sent, and its hidden fields."""
    text = client.post("/bring-in", files={"file": (name, content)}, data={"holds": ""}).text
    return text, dict(re.findall(HIDDEN, of_the_look(text)))


def of_the_look(text: str) -> str:
    """The form of a look; the page has another one, for another file."""
    return text.partition('action="/bring-in/look"')[2].partition("</form>")[0]


def as_it_stands(text: str) -> dict[str, str]:
    """What the form of a look sends where nothing of it is changed."""
    text, chosen = of_the_look(text), {}
    for name, choices in re.findall(r'<select[^>]* name="([^"]+)"[^>]*>(.*?)</select>', text, re.S):
        values = re.findall(r'<option value="([^"]*)"( selected)?', choices)
        chosen[name] = next((value for value, marked in values if marked), values[0][0])
    return dict(re.findall(HIDDEN, text)) | chosen


def test_what_is_asked_is_shown_and_nothing_is_guessed(client: TestClient) -> None:
    text, _ = looked(client, SHEET)
    assert "3 questions have to be answered first" in text
    assert all(f'name="{key}"' in text for key in ("decimal", "order", "unit:frames_of_bees"))
    assert "Write it down" not in text
    assert "<b>some</b>" not in text
    assert (
        "1,900 bees a deep frame, both sides: one layer of bees" in text
    )  # Burgett & Burikam 1985, as the shelf has it


def test_what_was_said_can_be_changed_and_back_sends_no_form_again(client: TestClient) -> None:
    _, hidden = looked(client, SHEET.replace(b"lots", b"8"))
    page = client.post("/bring-in/look", data=hidden | ANSWERS)
    assert (page.request.method, "What you said" in page.text) == ("GET", True)
    assert '<option value="comma" selected>' in page.text
    changed = client.post("/bring-in/write", data=hidden | ANSWERS | {"decimal": "point"})
    assert "“7,5” does not fit decimal points" in changed.text, "what was changed is shown first"
    assert "Only you can say" not in changed.text


def test_a_bad_row_is_shown_and_its_sheet_sent(client: TestClient) -> None:
    _, hidden = looked(client, SHEET)
    text = client.post("/bring-in/look", data=hidden | ANSWERS).text
    assert "Row 3, column frames: “lots” is no number" in text
    assert "Write it down" not in text
    assert "<b>some</b>" not in text
    sheet = client.post("/bring-in/mend", data=hidden | ANSWERS)
    assert sheet.headers["content-disposition"] == 'attachment; filename="mend-march.csv"'
    assert "what to mend" in sheet.text
    assert "frames: “lots” is no number" in sheet.text
    forced = client.post("/bring-in/write", data=hidden | ANSWERS)
    assert "have to be mended" in forced.text or "has to be mended" in forced.text


def test_a_good_sheet_is_written_down_once(client: TestClient) -> None:
    good = SHEET.replace(b"lots", b"8")
    _, hidden = looked(client, good)
    text = client.post("/bring-in/look", data=hidden | ANSWERS).text
    assert "2 rows of readings to write down" in text
    assert "2026-03-04" in text
    done = client.post("/bring-in/write", data=as_it_stands(text))
    assert "Brought in: 2 rows of march.csv (2 colonies, 1 visit, 4 readings)" in done.text
    spanish = client.get(f"{done.url.path}?{done.url.query.decode()}", headers={"cookie": "language=es"})
    assert "Traído: 2 filas de march.csv (2 colonias, 1 visita, 4 lecturas)" in spanish.text
    assert client.get("/bring-in?told=another").status_code == 200
    again, hidden = looked(client, good)
    again = client.post("/bring-in/look", data=hidden | ANSWERS).text
    assert "all 2 rows came in before" in again
    assert "This very file came in on" in again
    assert "Write it down" not in again


def test_a_column_can_be_said_otherwise(client: TestClient) -> None:
    _, hidden = looked(client, b"yard,tag,date,counted\nNorth,1,2026-05-04,4\n")
    asked = client.post("/bring-in/look", data=hidden).text
    assert "no column holds anything" in asked or "counted" in asked
    _, hidden = looked(client, b"yard,tag,date,brood,counted\nNorth,1,2026-05-04,4,5\n")
    heads = {key: value for key, value in hidden.items() if key.startswith("head-") and key != "head-row"}
    choice = {key.replace("head", "column"): "" for key in heads}
    choice |= {"column-0": "yard", "column-1": "colony", "column-2": "day", "column-4": "frames_of_brood"}
    choice["column-3"] = "(leave out)"
    text = client.post("/bring-in/look", data=hidden | choice).text
    assert "1 row of readings to write down" in text
    assert "<td>5</td>" in text


def test_what_is_no_sheet_is_refused_on_the_page(client: TestClient, tmp_path: Path) -> None:
    for content, words in (
        (b"", "empty"),
        (b"\x89PNG\r\n\0\0\0", "no text"),
        (b"PK\x03\x04half", "cannot be read"),
    ):
        answer = client.post("/bring-in", files={"file": ("x.xlsx", content)}, data={"holds": ""})
        assert answer.status_code == 422
        assert words in answer.text
    gone = client.post("/bring-in/look", data={"sheet-word": "gone"})
    assert gone.status_code == 422
    assert "Choose the file again" in gone.text
    foreign = client.post("/bring-in/look", data={}, headers={"origin": "http://elsewhere.example"})
    assert foreign.status_code == 403
