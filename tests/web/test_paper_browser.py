"""Paper and phone in a real browser: a photographed tag lands on its hive, a sheet is keyed in with Enter."""

from __future__ import annotations

import io
import json
import re

import pytest

from breadline.jobs.field_book import FieldBook
from breadline.jobs.yard_file import read_yard
from breadline.sheets.labels import label_sheets
from breadline.sheets.works import NAMES, ON_PHONES, asks
from breadline.web.app import create_app
from tests.sheets.photo import photographed, tags_page
from web.phone_here import FIRST_YARD, TODAY, held_in
from web.served import serving

pytestmark = pytest.mark.browser
TAGS = ["A1", "A2", "Q1/12"]


@pytest.fixture
def place(browser, tmp_path):
    """A page of a browser, the address it is asked at, and the book."""
    book = tmp_path / "book.sqlite"
    made = FieldBook(book, TODAY)
    key = made.add_yard(read_yard(FIRST_YARD))
    made.place_hives(key, [(tag, "") for tag in TAGS])
    with serving(create_app(book, today=lambda: TODAY)) as where:
        context = browser.new_context(viewport={"width": 1280, "height": 800})
        page = context.new_page()
        page.messages = []
        page.on("pageerror", lambda error: page.messages.append(str(error)))
        yield page, where, key, book
        assert page.messages == []
        context.close()


def photo_of(tag: str) -> bytes:
    """A label held near, as a phone takes it: 30 × 28 mm of the sheet, turned, blurred, in poor light."""
    sheet = label_sheets()["letter_30"]
    at = 300 / 25.4
    label = tags_page([tag], sheet).crop(
        (round(sheet.left * at), round(sheet.top * at), round((sheet.left + 60) * at), round(38.1 * at))
    )
    out = io.BytesIO()
    photographed(label.resize((label.width * 2, label.height * 2))).save(out, "JPEG", quality=80)
    return out.getvalue()


def test_a_photo_of_a_tag_opens_its_hive_and_every_work_asks_what_the_paper_asks(place):
    page, where, _, book = place
    page.goto(f"{where}/field/")
    page.wait_for_selector("#can[data-ready=yes]")
    works = json.loads(page.evaluate(
        "async () => JSON.stringify((await import('/static/field/works.js')).WORKS)"
    ))  # fmt: skip
    pieces = FieldBook(book).yards_for_phones()["pieces"]
    assert {key: one["name"] for key, one in works.items()} == NAMES
    for key, one in works.items():
        told = {
            each["key"]: (each["label"], [tuple(pair) for pair in each.get("options", [])])
            for each in one["asks"] + one["more"]
        }
        paper = {each.key: (each.label, list(each.options)) for each in asks(key, pieces)}
        paper |= {"put": (paper["put"][0], [])} if "put" in paper else {}
        paper |= {each.key: (each.label, list(each.options)) for each in ON_PHONES}  # on paper they are notes
        assert told == paper
    page.get_by_role("button", name=re.compile("hives")).first.click()
    page.get_by_role("button", name="Grading").click()
    for tag in ("A2", "Q1/12"):
        page.get_by_role("button", name="Another hive").click()
        page.set_input_files(
            "#photo", {"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": photo_of(tag)}
        )
        page.locator(".tag h1", has_text=tag).wait_for()


def test_a_sheet_is_keyed_in_with_enter_and_outlives_a_page_that_is_lost(place):
    page, where, key, book = place
    page.goto(f"{where}/field/keying/{key}?work=grading")
    page.wait_for_selector("form[data-ready=yes]")
    first_row = ("7h", "3", "s", "", "2.5", "88 lb", "")
    for text in ("", "Ada", *first_row, "6", "2h"):  # date, who, then row by row; date as it is
        if text:
            page.keyboard.type(text)
        page.keyboard.press("Enter")
    page.goto(f"{where}/field/hives/{key}")  # left without a word
    page.goto(f"{where}/field/keying/{key}?work=grading")
    page.get_by_role("button", name="Bring it back").click()
    assert page.locator("#brood-1").input_value() == "2h"
    page.get_by_role("button", name="Check the sheet").click()
    page.get_by_text("2 hives of this sheet read so").wait_for()
    page.get_by_role("button", name="Write them down").click()
    page.get_by_text("2 hives written down").wait_for()
    page.wait_for_selector("form[data-ready=yes]")
    assert page.get_by_role("button", name="Bring it back").count() == 0
    assert held_in(book, key) == {"A1": [7.5], "A2": [6.0]}
    assert held_in(book, key, "mites_per_100") == {"A1": [2.5]}
    assert held_in(book, key, "weight") == {"A1": [39.92]}  # 88 lb of 0.45359237 kg


def test_a_sheet_that_comes_back_finds_its_hives_where_they_stand_now(place):
    page, where, key, path = place
    page.goto(f"{where}/field/keying/{key}?work=grading")
    page.wait_for_selector("form[data-ready=yes]")
    for row, bees in ((0, "7h"), (1, "6")):
        page.locator(f"#frames-{row}").fill(bees)
    page.goto(f"{where}/field/hives/{key}")
    book = FieldBook(path)
    hives = {one.tag: str(one.id) for one in book.hives(key)[1]}
    book.hive_ended(hives["A1"], "sold", "")
    book.place_hives(key, [("Z1", ""), ("A2", "")])
    page.goto(f"{where}/field/keying/{key}?work=grading")
    page.get_by_role("button", name="Bring it back").click()
    rows = {}
    for row in page.locator(".sheet-rows tbody tr").all():
        tag = row.locator("input[name^=tag-]").input_value()
        rows[tag] = row.locator("input[name^=frames-]").input_value()
    assert {tag: bees for tag, bees in rows.items() if bees} == {"A1": "7h", "A2": "6"}
    assert rows["Z1"] == ""


def test_a_sheet_is_offered_back_in_the_language_of_its_page(place):
    page, where, key, _ = place
    context = page.context.browser.new_context(locale="es-MX")
    spanish = context.new_page()
    spanish.goto(f"{where}/field/keying/{key}?work=grading")
    spanish.wait_for_selector("form[data-ready=yes]")
    spanish.locator("#frames-0").fill("7")
    find = "Object.entries(localStorage).find(([key]) => key.startsWith('breadline-keying'))"
    kept = spanish.evaluate(find)
    spanish.goto(f"{where}/field/keying/{key}?work=grading")
    line = spanish.locator(".told")
    assert "Una hoja que se capturó aquí hasta " in line.inner_text()
    assert "Olvidarla" in line.inner_text()
    assert not re.search(r"keyed|written|Bring|Forget|…", line.inner_text())
    rows = json.loads(kept[1])
    rows["all"] += [
        [f"{name}-{n}", value] for n in range(9, 14) for name, value in (("tag", f"C{n}"), ("frames", "5"))
    ]
    spanish.evaluate("([key, text]) => localStorage.setItem(key, text)", [kept[0], json.dumps(rows)])
    spanish.reload()
    spanish.get_by_role("button", name="Traerla de vuelta").click()
    assert "No hay fila libre para C" in line.inner_text()
    context.close()
