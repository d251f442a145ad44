"""Labels lie on their sheet as the sheet is cut, and boxes add up to the load."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.errors import RecordError
from breadline.plan.combining import Pair
from breadline.plan.paper import Load
from breadline.plan.portions import Step
from breadline.sheets.labels import (
    Label,
    LabelSheet,
    box_labels,
    hive_labels,
    label_sheets,
    labels_data,
    labels_printed,
)
from tests.plan.loads import load, visit
from tests.sheets.read_back import MARKUP, PAPERS, SCRIPTS, claims_ua, kinds, places, read, words

ON = date(2026, 8, 20)
SHEETS = label_sheets()
HIVES = [(f"T{n:02d}", (3.5, 4.0, 8.0)[n % 3]) for n in range(1, 31)]
POINT_MM = 25.4 / 72


def numbered(count: int) -> list[Label]:
    return [Label(f"Hive{n}", "Tarweed Flat", 2, ON, "½ patty", date(2026, 9, 1)) for n in range(count)]


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("sheets", [0, 1, 2])
def test_there_are_as_many_pages_as_sheets(name, sheets):
    sheet = SHEETS[name]
    count = sheets * sheet.count + 1
    pages = read(labels_printed(numbered(count), sheet, ON)).pages
    assert len(pages) == sheets + 1
    assert [round(side) for side in pages[0].mediabox[2:]] == list(PAPERS[sheet.paper])


@pytest.mark.parametrize("name", SHEETS)
@pytest.mark.parametrize("text", ["", " of the old orchard on the upper road"])
def test_every_word_lies_on_its_own_label(name, text):
    sheet = SHEETS[name]
    labels = [replace(label, beside=label.beside + text) for label in numbered(sheet.count)]
    seen = places(labels_printed(labels, sheet, ON))
    high = {"a4": 297.0, "us-letter": 279.4}[sheet.paper]
    starts = [
        (int(found[1]), x * POINT_MM, high - y * POINT_MM)
        for said, x, y, _ in seen
        if (found := re.search(r"Hive(\d+)", said))
    ]
    assert [n for n, _, _ in starts] == list(range(sheet.count))
    for n, x, y in starts:
        row, column = divmod(n, sheet.columns)
        assert 0 < x - (sheet.left + column * sheet.across) < sheet.wide
        assert 0 < y - (sheet.top + row * sheet.down) < sheet.high
    edges = [
        (sheet.top + row * sheet.down, sheet.top + row * sheet.down + sheet.high) for row in range(sheet.rows)
    ]
    assert all(any(top < high - y * POINT_MM < bottom for top, bottom in edges) for _, _, y, _ in seen)


def test_a_sheet_that_was_begun_goes_on_at_the_first_free_label():
    sheet = SHEETS["letter_30"]
    begun = labels_data(numbered(29), sheet, first=3)["labels"]
    assert (begun[0]["x"], begun[0]["page"]) == (sheet.left + 2 * sheet.across, 0)
    assert [one["page"] for one in begun].count(1) == 1
    for wrong in (0, 31):
        with pytest.raises(RecordError, match="1 to 30"):
            labels_data(numbered(1), sheet, first=wrong)


def test_hives_that_get_none_get_no_label_and_the_others_say_what_when_and_until_when():
    labels = hive_labels(visit(), HIVES)
    assert [label.head for label in labels] == [tag for tag, frames in HIVES if frames >= 4]
    text = words(labels_printed(labels, SHEETS["letter_30"], ON))
    assert "T02 Tarweed Flat 1 patty (1 lb) Round 2, 25 August 2026, gone by 1 Sep" in text
    assert text.count("½ patty (½ lb)") == 10


def test_of_two_joined_the_one_that_stays_gets_the_label_and_impossible_frames_are_refused():
    pair = visit(combine=(Pair(4.5, ("T07", "T08")),))
    (label,) = hive_labels(pair, [("T07", 2.0), ("T08", 2.5)])
    assert (label.head, label.gets) == ("T08", "½ patty (½ lb), with T07")
    later = replace(pair, joined_on=date(2026, 8, 4))
    assert [one.gets for one in hive_labels(later, [("T07", 2.0), ("T08", 2.5)])] == ["½ patty (½ lb)"]
    assert hive_labels(visit(unfed=("T07",)), [("T07", 9.0)]) == ()
    all_fed = visit(steps=(Step(0.0, 1.0),), counts=(40,))
    assert [one.head for one in hive_labels(all_fed, [("T07", 0.0), ("T08", 0.5)])] == ["T08"], "no bees"
    with pytest.raises(RecordError, match="hive T01"):
        hive_labels(visit(), [("T01", -1.0)])


@given(st.integers(1, 8), st.integers(1, 60))
def test_boxes_hold_what_each_yard_gets_and_the_spare(yards, a_box):
    on_truck = load(yards)
    labels = box_labels(on_truck, a_box)
    packed: dict[str, float] = {}
    for label in labels:
        number = float(label.gets.split()[0].replace("½", ".5").replace("¼", ".25").replace("¾", ".75"))
        assert 0 < number <= a_box
        packed[label.head] = packed.get(label.head, 0) + number
    assert packed.pop("Spare") == on_truck.spare_patties
    assert packed == {one.yard: one.patties for one in on_truck.visits}


def test_boxes_are_counted():
    assert [label.beside for label in box_labels(Load((visit(),), 0.0, 1), 8)] == [
        "box 1 of 3", "box 2 of 3", "box 3 of 3",
    ]  # fmt: skip
    with pytest.raises(RecordError, match="patties in a box"):
        box_labels(load(), 0)


@pytest.mark.parametrize(
    "wrong", [{"wide": 90.0}, {"left": -1.0}, {"rows": 11}, {"high": 5.0, "down": 5.0}, {"paper": "a5"}]
)
def test_a_sheet_that_cannot_be_is_refused(wrong):
    with pytest.raises(RecordError, match="label sheet"):
        replace(SHEETS["letter_30"], **wrong)


def test_a_sheet_of_ones_own_measures_is_taken():
    own = LabelSheet("a4", 2, 3, 90.0, 80.0, 10.0, 10.0, 95.0, 85.0)
    assert len(read(labels_printed(numbered(6), own, ON)).pages) == 1


def test_the_measures_are_those_of_the_labels_they_are_sold_as():
    """Sizes as sold: 2 5/8 by 1 inch, 4 by 2, 4 by 3 1/3; 63.5 by 38.1 mm, 99.1 by 67.7."""
    sold = {"letter_30": (2.625 * 25.4, 25.4), "letter_10": (4 * 25.4, 2 * 25.4),
            "letter_6": (4 * 25.4, 10 / 3 * 25.4), "a4_21": (63.5, 38.1), "a4_8": (99.1, 67.7)}  # fmt: skip
    assert {name: int(name.partition("_")[2]) for name in SHEETS} == {n: s.count for n, s in SHEETS.items()}
    for name, (wide, high) in sold.items():
        assert SHEETS[name].wide == pytest.approx(wide, abs=0.05)
        assert SHEETS[name].high == pytest.approx(high, abs=0.05)


def test_none_or_too_many_labels_are_refused():
    for count in (0, 601):
        with pytest.raises(RecordError, match="one yard at a time"):
            labels_data(numbered(count), SHEETS["a4_8"])


def test_what_the_user_wrote_is_never_markup():
    label = Label(MARKUP[:40], MARKUP[:40], 1, ON, MARKUP[:40])
    assert words(labels_printed([label], SHEETS["a4_8"], ON)).count("*bold* _it_") == 3


@pytest.mark.parametrize("name", SCRIPTS)
def test_names_in_any_script_still_make_a_page(name):
    labels = [Label(name, name, 1, ON, "1 patty")]
    assert len(read(labels_printed(labels, SHEETS["a4_21"], ON, cut_lines=True)).pages) == 1


def test_it_is_tagged_for_a_screen_reader():
    pdf = labels_printed(numbered(3), SHEETS["a4_21"], ON)
    assert kinds(pdf)
    assert claims_ua(pdf)
