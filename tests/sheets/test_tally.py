"""Tally sheets hold each hive once, in walking order, whole, on the paper that was asked for. Invented."""

from __future__ import annotations

import re
from datetime import date
from itertools import pairwise

import pytest

from breadline.errors import RecordError
from breadline.knowledge.cautions import in_the_yard
from breadline.language import LANGUAGES, say, speaking
from breadline.sheets.tally import CUTS, Tally, paper_of, sheet_code, tally_data, tally_sheets
from breadline.sheets.works import NAMES, asks, work_of
from tests.sheets.read_back import MARKUP, SCRIPTS, claims_ua, kinds, places, read, words

ON = date(2026, 5, 1)
MM = 72 / 25.4
POUNDS = (("454", "1 lb"), ("227", "½ lb"), ("0", "Nothing"))
SIZES = {"a5": (595, 420), "letter": (612, 792), "a4": (595, 842)}  # ISO 216 and Letter across, up [pt]
MEANS = ("one layer of bees on both sides of a deep frame", "a deep frame as full as bees can cover it")


def tally(count: int = 25, work: str = "round", yard: str = "Mill Shoals") -> Tally:
    hives = tuple((f"H{n:03d}", f"pallet {n // 4 + 1}, left") for n in range(count))
    return Tally(yard, work_of(work), hives, POUNDS, MEANS, "Sorrel Bend Bees", ON)


@pytest.mark.parametrize("paper", CUTS)
@pytest.mark.parametrize("work", NAMES)
def test_each_hive_has_one_whole_row_in_walking_order(work, paper):
    pdf = tally_sheets(tally(25, work), paper)
    pages = read(pdf).pages
    assert [round(side) for side in pages[0].mediabox[2:]] == list(SIZES[paper])
    cut, seen = CUTS[paper], []
    for n in range(len(pages)):
        rows = [(said, x, y) for said, x, y, _ in places(pdf, n) if re.fullmatch(r"\s*H\d{3}\s*", said)]
        seen += [said.strip() for said, _, _ in rows]
        for (_, _, above), (_, _, below) in pairwise(rows):
            assert above - below > 9 * MM
        for _, x, y in rows:  # a row is 10 mm high, and none crosses the edge of its sheet
            from_edge = y / MM % cut.high
            assert 10 < from_edge < cut.high - 15
            assert x > 5 * MM
    assert seen == [f"H{n:03d}" for n in range(25)]
    assert claims_ua(pdf)
    assert {"/Table", "/TH", "/H1"} <= kinds(pdf)


@pytest.mark.parametrize(
    ("paper", "count", "sheets", "pages"),
    [("a5", 0, 1, 1), ("a5", 10, 1, 1), ("a5", 11, 2, 2), ("letter", 22, 1, 1), ("letter", 23, 2, 2),
     ("a4", 10, 1, 1), ("a4", 20, 2, 1), ("a4", 21, 3, 2)],
)  # fmt: skip
def test_sheets_are_numbered_to_the_last_and_filled_with_blank_rows(paper, count, sheets, pages):
    pdf = tally_sheets(tally(count), paper)
    assert len(read(pdf).pages) == pages
    text = " ".join(words(pdf, n) for n in range(pages))
    assert re.findall(r"page (\d+) of (\d+)", text) == [(str(n + 1), str(sheets)) for n in range(sheets)]
    assert text.count("Some") == sheets * CUTS[paper].rows  # a row of boxes for each, listed or not
    assert text.count("Date") == text.count("Who") == sheets


@pytest.mark.parametrize("work", NAMES)
def test_every_box_of_the_phone_is_on_every_row(work):
    text = words(tally_sheets(tally(10, work), "a5"))
    for ask in asks(work_of(work), POUNDS):
        assert all(part in text for part in ask.label.split())
        for _, option in ask.options:
            assert len(re.findall(rf"(?<!\S){option}(?!\S)", text)) >= 10
    assert text.count("Dead") == 11


def test_a_grading_sheet_shows_no_feed_and_no_group():
    text = words(tally_sheets(tally(10, "grading"), "letter"))
    for word in ("Put on", "Left over", "lb", "maggots", "fed", "check"):
        assert word not in text


@pytest.mark.parametrize("paper", CUTS)
@pytest.mark.parametrize("spoken", LANGUAGES)
def test_what_to_mind_in_the_yard_stands_whole_at_the_foot_of_every_sheet(spoken, paper):
    with speaking(spoken):
        pdf = tally_sheets(tally(25), paper)
        lines = [say(one.short) for one in in_the_yard()]
        begins = say("Take care: {cautions}.", cautions="").partition(":")[0]
    assert len(lines) == 4
    pages = len(read(pdf).pages)
    text = " ".join(" ".join(words(pdf, n) for n in range(pages)).split())
    many = len(tally_data(tally(25), paper)["sheets"])
    assert [text.count(line) for line in lines] == [many] * 4
    cut = CUTS[paper]
    for n in range(pages):
        feet = [y / MM % cut.high for said, _, y, _ in places(pdf, n) if said.strip().startswith(begins)]
        rows = [y / MM % cut.high for said, _, y, _ in places(pdf, n) if re.fullmatch(r"\s*H\d{3}\s*", said)]
        assert feet
        assert all(4 < foot < min(rows) - 5 for foot in feet)  # clear of the edge, and of the rows above


@pytest.mark.parametrize("spoken", LANGUAGES)
@pytest.mark.parametrize("work", NAMES)
def test_the_head_of_a_column_stands_on_two_lines_at_most(work, spoken):
    """A third one goes through the rule below it."""
    with speaking(spoken):
        heads = [one["label"] for one in tally_data(tally(3, work), "letter")["columns"]]
        found = places(tally_sheets(tally(3, work), "letter"), 0)
    first = next(y for said, _, y, _ in found if said.strip() == "H000")
    for head in heads:
        lines = {round(y) for said, _, y, _ in found if said.strip() and said.strip() in head and y > first}
        near = {y for y in lines if y - first < 14 * MM}
        assert len(near) in (1, 2), (head, near)


def test_another_order_or_another_hive_is_another_sheet():
    tags = [f"H{n}" for n in range(20)]
    assert sheet_code(tags) == sheet_code(list(tags))
    others = {sheet_code(tags), sheet_code(tags[::-1]), sheet_code(tags[1:]), sheet_code([*tags, "H20"])}
    assert len(others) == 4
    numbers = [one["number"] for one in tally_data(tally(25), "a5")["sheets"]]
    assert len(set(numbers)) == 3


def test_a_thick_rule_closes_a_pallet():
    rows = tally_data(tally(10), "a5")["sheets"][0]["rows"]
    assert [n for n, row in enumerate(rows) if row["thick"]] == [3, 7]


@pytest.mark.parametrize("told", [MARKUP, SCRIPTS[0], SCRIPTS[2], "x" * 200, "W" * 30], ids=range(5))
def test_whatever_a_yard_or_a_hive_is_called_the_sheet_keeps_its_shape(told):
    of = tally(10, yard=told)
    named = Tally(told, of.work, ((told, told), *of.hives[:9]), POUNDS, MEANS, told, ON)
    pdf = tally_sheets(named, "a5")
    assert len(read(pdf).pages) == 1
    rows = [x for said, x, _, _ in places(pdf) if said.strip() == "Dead"]
    assert max(rows) - min(rows) < 2 * MM  # no column was pushed away


def test_a_word_that_is_not_known_is_said():
    with pytest.raises(RecordError, match="a5, letter, a4"):
        paper_of("a3")
    with pytest.raises(RecordError, match="round, look, grading"):
        work_of("harvest")
