"""Every code on a sheet of tags is read back by another library, straight and from a poor photo."""

from __future__ import annotations

from datetime import date

import pytest
import zxingcpp

from breadline.errors import RecordError
from breadline.sheets.hive_tags import LEAST_CODE_MM, MARGIN, tags_data, tags_printed
from breadline.sheets.labels import label_sheets
from tests.sheets.photo import PRINTER, photographed, tags_page
from tests.sheets.read_back import MARKUP, PAPERS, claims_ua, read, words

ON = date(2026, 5, 1)
SHEETS = label_sheets()
KINDS = ["T17", "4711", "Größe 7", "Q1/12", "pallet 3: 2", "Łąka 9", "大豆 3", "a", "Ab", "X" * 40]


def tags_of(count: int) -> list[str]:
    """So many tags, of every kind that people write."""
    return (KINDS + [f"T{n:03d}" for n in range(count)])[:count]


def codes(picture) -> list[zxingcpp.Barcode]:
    return zxingcpp.read_barcodes(picture, formats=zxingcpp.BarcodeFormat.QRCode)


@pytest.mark.parametrize("name", SHEETS)
def test_every_code_of_a_printed_sheet_says_its_tag_at_its_own_label(name):
    sheet, tags = SHEETS[name], tags_of(SHEETS[name].count)
    found = codes(tags_page(tags, sheet))
    assert sorted(one.text for one in found) == sorted(tags)
    for one in found:
        n = tags.index(one.text)
        row, column = divmod(n, sheet.columns)
        left, top = sheet.left + column * sheet.across, sheet.top + row * sheet.down
        corners = [one.position.top_left, one.position.bottom_right]
        x0, x1 = (at.x / PRINTER * 25.4 for at in corners)
        y0, y1 = (at.y / PRINTER * 25.4 for at in corners)
        assert left < x0 < x1 < left + sheet.wide
        assert top < y0 < y1 < top + sheet.high
        assert min(x1 - x0, y1 - y0) > LEAST_CODE_MM - 0.5  # as the reader saw its corners


@pytest.mark.parametrize("turned", [10.0, -10.0])
def test_every_code_of_the_smallest_labels_is_read_from_a_poor_photo(turned):
    sheet = SHEETS["letter_30"]
    tags = tags_of(sheet.count)
    assert sorted(one.text for one in codes(photographed(tags_page(tags, sheet), turned))) == sorted(tags)


def test_a_photo_that_shows_no_code_gives_none():
    page = tags_page(["T1"], SHEETS["a4_8"])
    assert codes(page.crop((page.width // 2, page.height // 2, page.width, page.height))) == []


@pytest.mark.parametrize("name", SHEETS)
def test_a_code_has_15_mm_and_its_light_margin_on_every_sheet(name):
    sheet = SHEETS[name]
    for one in tags_data(tags_of(sheet.count), sheet)["tags"]:
        margin = one["side"] / one["modules"] * MARGIN
        assert one["side"] >= LEAST_CODE_MM
        assert one["side"] + 2 * margin <= sheet.high
        assert one["side"] + 2 * margin <= 0.6 * sheet.wide  # the tag has room beside it


@pytest.mark.parametrize("name", SHEETS)
def test_tags_go_on_to_the_next_sheet_and_begin_where_one_was_begun(name):
    sheet = SHEETS[name]
    pages = read(tags_printed(tags_of(sheet.count), sheet, ON, first=2)).pages
    assert len(pages) == 2
    assert [round(side) for side in pages[0].mediabox[2:]] == list(PAPERS[sheet.paper])


def test_a_tag_is_printed_as_it_is_typed_and_is_no_markup():
    told = MARKUP[:40]
    made = tags_printed([told, "T17"], SHEETS["a4_8"], ON)
    assert "".join(told.split()) in words(made).replace("\u200b", "").replace(" ", "")
    assert claims_ua(made)


@pytest.mark.parametrize(
    ("tags", "first", "what"),
    [([], 1, "0 of them"), (["X" * 41], 1, "41 letters"), ([""], 1, "0 letters"), (["T1"], 31, "31")],
)
def test_what_cannot_be_printed_is_said(tags, first, what):
    with pytest.raises(RecordError, match=what):
        tags_printed(tags, SHEETS["letter_30"], ON, first)
