"""A spreadsheet as people have it: what is read, and what is said where it cannot be."""

from __future__ import annotations

import io
import zipfile
from dataclasses import replace
from datetime import date

import pytest

from breadline.errors import TrialError
from breadline.jobs.verdict import Prices, Told, VerdictAsked, verdict_of_table
from breadline.jobs.verdict_cells import table_of
from breadline.jobs.verdict_file import NoComparison, verdict_of_content
from breadline.jobs.verdict_rows import SheetAsked, colonies_of
from breadline.trial.classes import AnswerClass
from breadline.trial.colonies import Became
from breadline.trial.design import Unit
from breadline.verdict.fairness import Breach
from tests.ugly_files.sheets_made import Tab, workbook

ASKED = VerdictAsked(Prices(cost=16, price=18, year=2026), Told(drawn="lot"), draws=999)
TODAY = date(2027, 2, 10)
HEAD = "colony,yard,arm,baseline,end,status"
PLAIN = [
    f"{k},{'north' if k < 12 else 'south'},{'fed' if k % 2 else 'check'},6,{6 + k % 5 + k % 2},"
    for k in range(24)
]


def table(rows, head=HEAD, name="last-year.csv"):
    return table_of(name, "\n".join([head, *rows]).encode())


def verdict(rows, head=HEAD, asked=ASKED):
    return verdict_of_table(table(rows, head), asked)


def changed(row: int, text: str) -> list[str]:
    return [*PLAIN[:row], text, *PLAIN[row + 1 :]]


def said(rows, head=HEAD, asked=ASKED) -> str:
    with pytest.raises(TrialError) as refused:
        verdict(rows, head, asked)
    return str(refused.value)


def test_heads_as_people_have_them_and_any_separator():
    rows = [
        "N1;North;No;6½;7 1/2;",
        "N2;North;Yes;6;8.5;Alive",
        "N3;North;yes;5;;Dead",
        "N4;North;no;6;dead;",
    ]
    read = colonies_of(table(rows, "Hive No;Apiary;Fed;Frames before;Frames after;Fate"), SheetAsked())
    assert [(one.tag, one.yard, one.arm, one.baseline) for one in read.started] == [
        ("N1", "North", 0, 6.5), ("N2", "North", 1, 6), ("N3", "North", 1, 5), ("N4", "North", 0, 6),
    ]  # fmt: skip
    assert [(e.became, e.outcome) for e in read.ended] == [
        (Became.GRADED, 7.5), (Became.GRADED, 8.5), (Became.DEAD, None), (Became.DEAD, None),
    ]  # fmt: skip


def test_a_colony_in_both_groups_is_said_with_its_rows():
    text = said([*PLAIN, "3,north,check,6,7,"])
    assert "rows 5, 26" in text
    assert "colony 3 stands in both groups" in text
    assert "If it is one colony, which group was it in when the lots were drawn? Keep that row." in text
    assert "If two hives wear the same tag, rename one" in text


@pytest.mark.parametrize(
    ("row", "column"),
    [("3,north,fed,6,-7,", "end"), ("3,north,fed,-6,7,", "baseline")],
)
def test_a_reading_below_0_is_said_with_its_row_and_column(row, column):
    assert f"row 5, column {column}" in said(changed(3, row))
    assert "cannot be. Expected 0 or more" in said(changed(3, row))


def test_the_same_tag_in_two_yards_is_two_colonies():
    rows = [
        row.replace("south", "north") if k < 12 else f"{k - 12}," + row.split(",", 1)[1]
        for k, row in enumerate(PLAIN)
    ]
    read = colonies_of(table(rows), SheetAsked())
    assert len({one.tag for one in read.started}) == 24


def test_duplicate_tags_are_said():
    assert "colony 4 has 2 rows" in said([*PLAIN, "4,north,check,6,7,"])


def test_two_rows_for_one_visit_are_not_lost_in_silence():
    rows = [f"{row},2027-02-10" for row in PLAIN]
    text = said([*rows, "4,north,check,6,9,,2027-02-10"], HEAD + ",date")
    assert "colony 4 has two rows for one visit" in text
    assert "rows 6, 26" in text


def test_arms_swapped_halfway_are_no_fair_comparison():
    first = [f"{row.rsplit(',', 1)[0]},,1" for row in PLAIN]
    second = [f"{k},{'north' if k < 12 else 'south'},{'check' if k % 2 else 'fed'},6,7,,2" for k in range(24)]
    found = verdict([*first, *second], HEAD + ",visit")
    assert found.answer.given is AnswerClass.NOT_FAIR
    assert [b.breach for b in found.answer.broken] == [Breach.SWAPPED]
    assert found.answer.permutation is None


def test_frames_are_no_colonies():
    rows = [row.rsplit(",", 1)[0] + f",,{frame}" for row in PLAIN for frame in range(1, 9)]
    found = verdict(rows, HEAD + ",frame no")
    assert [b.breach for b in found.answer.broken] == [Breach.FRAMES_COUNTED]
    assert len(found.finished.design.started) == 24
    assert "Add up the frames" in found.spoken.next_season


def test_blank_ends_are_listed_and_never_counted_as_dead():
    text = said(changed(3, "3,north,fed,6,,"))
    assert "colony has no end: 3 (row 5)" in text
    assert "neither dead nor alive" in text


def test_an_end_that_contradicts_its_status():
    assert "colony 3 is dead, and 7 stands at its end" in said(changed(3, "3,north,fed,6,7,dead"))


def test_eighty_five_frames_are_a_missing_point():
    text = said(changed(3, "3,north,fed,6,85,"))
    assert "colony 3" in text
    assert "85 frames are more than a colony comes to" in text


def test_merged_asks_into_which_hive():
    assert "into which hive is not said" in said(changed(3, "3,north,fed,6,,merged"))
    found = verdict(changed(3, "3,north,fed,6,,merged into 5"))
    assert found.finished.ended[3].merged_into == "5"
    across = verdict(changed(3, "3,north,fed,6,,merged into 4"))
    assert [b.breach for b in across.answer.broken] == [Breach.MERGED_ACROSS]


def test_where_semicolons_part_the_columns_a_comma_can_only_be_decimal_and_it_is_told():
    rows = [row.replace(",", ";") for row in changed(3, "3,north,fed,6,X,")]
    rows[3] = rows[3].replace("X", "7,5")
    found = verdict(rows, HEAD.replace(",", ";"))
    assert found.finished.ended[3].outcome == 7.5
    assert any("commas are read as decimal commas" in text for text in found.remarks)
    rows[3] = rows[3].replace("7,5", "7,500")  # seven and a half, or seven thousand five hundred
    assert "“7,500” has a comma" in said(rows, HEAD.replace(",", ";"))


def test_a_yard_spelled_in_two_ways_is_one_yard():
    found = verdict(changed(3, "3, NORTH,fed,6,7,"))
    assert found.answer.came.yards == ("north", "south")


def test_lost_could_be_two_things_and_is_asked():
    assert "Expected dead, or not found" in said(changed(3, "3,north,fed,6,,lost"))


def test_a_decimal_comma_is_asked_and_not_guessed():
    text = said(changed(3, '3,north,fed,6,"7,5",'))
    assert "row 5, column end: “7,5” has a comma" in text
    assert "--decimal comma" in text
    rows = [row.replace(",", ";") for row in changed(3, "3,north,fed,6,7.5,")]
    rows[4] = "4;north;check;6;9,5;"  # points and commas in one file
    assert "row 6, column end: “9,5” has a comma" in said(rows, HEAD.replace(",", ";"))
    rows = [row.replace(".", ",") for row in rows]
    found = verdict(
        rows, HEAD.replace(",", ";"), VerdictAsked(ASKED.prices, ASKED.told, SheetAsked("comma"), draws=999)
    )
    assert found.finished.ended[3].outcome == 7.5


@pytest.mark.parametrize("word", ["about 7", "7-8", "n/a", "seven"])
def test_words_among_numbers_are_said_with_row_and_column(word):
    text = said(changed(3, f"3,north,fed,6,{word},"))
    assert "row 5, column end" in text
    assert word in text


def test_frames_of_two_box_depths_are_refused():
    rows = [f"{row}{'deep' if k % 3 else 'medium'}" for k, row in enumerate(PLAIN)]
    text = said(rows, "colony,yard,arm,baseline,end,box depth")
    assert "frames of different boxes are mixed: deep, medium" in text


def test_one_yard_only_is_answered_for_that_yard():
    found = verdict([row.replace("south", "north") for row in PLAIN])
    assert found.finished.design.unit is Unit.COLONY
    assert found.answer.elsewhere is None
    assert "24 colonies in one yard" in found.spoken.done[0]


def test_each_group_in_a_yard_of_its_own_compares_yards():
    rows = [
        row.replace("fed", "check") if k < 12 else row.replace("check", "fed") for k, row in enumerate(PLAIN)
    ]
    found = verdict(rows)
    assert [b.breach for b in found.answer.broken] == [Breach.YARDS_ARE_ARMS]
    assert "all unfed colonies stand in north, all fed ones in south" in found.spoken.broke[0]
    assert "compares yards, not feeds" in found.spoken.next_season


def test_one_colony_a_group_cannot_tell():
    found = verdict(PLAIN[:2])
    assert found.answer.given is AnswerClass.TOO_FEW
    assert "group of one colony" in found.spoken.range_said
    assert found.spoken.sentence.startswith("Can’t tell")


def test_all_dead_cannot_tell():
    found = verdict([row.rsplit(",", 2)[0] + ",,dead" for row in PLAIN])
    assert found.answer.given is AnswerClass.TOO_FEW
    assert "Every colony was lost" in found.spoken.range_said


def test_all_equal_cannot_tell():
    found = verdict([row.rsplit(",", 2)[0] + ",7," for row in PLAIN])
    assert found.answer.given is AnswerClass.TOO_FEW
    assert "all came to the same" in found.spoken.range_said


def test_sixty_per_cent_missing_is_no_fair_comparison():
    rows = [row.rsplit(",", 2)[0] + ",,not found" if k % 5 < 3 else row for k, row in enumerate(PLAIN)]
    found = verdict(rows)
    assert [b.breach for b in found.answer.broken] == [Breach.MISSING]
    assert found.answer.here is None


def test_all_unfed_or_all_fed_is_no_comparison():
    told = verdict_of_content(
        "f.csv", "\n".join([HEAD, *[r.replace("check", "fed") for r in PLAIN]]).encode(), ASKED, TODAY
    )
    assert isinstance(told, NoComparison)
    assert "no comparison: all 24 colonies were fed" in told.sentence
    assert "all colonies are “check”" in said([row.replace("fed", "check") for row in PLAIN])


def test_a_group_that_is_not_known_is_asked():
    assert "--check" in said([row.replace("check", "b").replace("fed", "a") for row in PLAIN])
    found = verdict(
        [row.replace("check", "b").replace("fed", "a") for row in PLAIN],
        asked=VerdictAsked(ASKED.prices, ASKED.told, SheetAsked(check="B"), draws=999),
    )
    assert found.finished.design.arms == ("check", "a")


def test_prices_are_asked_and_none_is_shipped():
    text = said(PLAIN, asked=VerdictAsked())
    assert "cost and price: not said" in text
    assert "price: not said" in said(PLAIN, asked=VerdictAsked(Prices(cost=16)))


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "there are no colonies in it"),
        (b"colony,yard,arm,end\n", "there are no colonies in it"),
        (b"colony,yard,arm\n1,a,fed\n", "no column says the end"),
        (b"colony,yard,end\n1,a,7\n", "no column says the arm"),
        (b"colony,arm,end,after\n1,fed,7,8\n", "both say the same"),
        (b"\xd0\xcf\x11\xe0old", "of the old kind"),
        (b"PK\x03\x04broken", "cannot be read"),
        (b"\0\1\2\3\0\0\xff\xf0", "this is no text"),
    ],
)
def test_files_that_are_none(content, words):
    with pytest.raises(TrialError, match=words):
        verdict_of_table(table_of("f.csv", content), ASKED)


SPACE = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
RELATED = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
STRINGS = f"<sst {SPACE}><si><t>fed</t></si><si><r><t>che</t></r><r><t>ck</t></r></si></sst>"


def packed(parts: dict[str, str]) -> bytes:
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        for name, text in parts.items():
            archive.writestr(name, text)
    return made.getvalue()


def plain_sheet() -> str:
    rows = [HEAD.split(","), *(row.split(",") for row in PLAIN)]
    lines = "".join(
        f'<row r="{n}">' + "".join(_cell(n, k, text) for k, text in enumerate(row) if text) + "</row>"
        for n, row in enumerate(rows, 1)
    )
    return f"<worksheet {SPACE}><sheetData>{lines}</sheetData></worksheet>"


def test_an_xlsx_file_gives_what_the_csv_gives():
    file = packed({"xl/sharedStrings.xml": STRINGS, "xl/worksheets/sheet1.xml": plain_sheet()})
    assert verdict_of_table(table_of("last.xlsx", file), ASKED).answer.here == verdict(PLAIN).answer.here


def test_the_first_tab_is_read_not_the_sheet_that_was_made_first():
    tabs = '<sheets><sheet name="b" sheetId="2" r:id="r2"/><sheet name="a" sheetId="1" r:id="r1"/></sheets>'
    links = "".join(f'<Relationship Id="r{k}" Target="worksheets/sheet{k}.xml"/>' for k in (1, 2))
    file = packed(
        {
            "xl/workbook.xml": f'<workbook {SPACE} xmlns:r="{RELATED}">{tabs}</workbook>',
            "xl/_rels/workbook.xml.rels": f"<Relationships>{links}</Relationships>",
            "xl/sharedStrings.xml": STRINGS,
            "xl/worksheets/sheet1.xml": f"<worksheet {SPACE}><sheetData/></worksheet>",
            "xl/worksheets/sheet2.xml": plain_sheet(),
        }
    )
    assert len(table_of("last.xlsx", file).rows) == len(PLAIN)


def test_hidden_rows_and_columns_of_a_workbook_are_taken_and_told():
    rows = [HEAD.split(","), *(row.split(",") for row in PLAIN)]
    hidden = Tab("last", rows, unseen=(3, 5), columns='<col min="4" max="4" hidden="1"/>')
    found = verdict_of_table(table_of("last.xlsx", workbook(hidden)), ASKED)
    assert found.answer.here == verdict(PLAIN).answer.here
    assert found.remarks[0] == (
        "2 rows of the sheet are hidden (rows 3, 5) and are taken like the others. "
        "1 column of the sheet is hidden (column D) and is taken like the others."
    )
    shown = verdict_of_table(table_of("last.xlsx", workbook(Tab("last", rows))), ASKED)
    assert not any("hidden" in remark for remark in shown.remarks)


def _cell(row: int, column: int, text: str) -> str:
    place = f"{'ABCDEF'[column]}{row}"
    if text in ("fed", "check"):
        return f'<c r="{place}" t="s"><v>{int(text == "check")}</v></c>'
    if text.replace(".", "").isdigit():
        return f'<c r="{place}"><v>{float(text)}</v></c>'
    return f'<c r="{place}" t="inlineStr"><is><t>{text}</t></is></c>'


GRADED = VerdictAsked(Prices(cost=16, price=60, year=2026), Told(drawn="lot"), grade=8.0, draws=999)


def test_every_check_colony_dead_with_a_grade_line_is_answered_and_says_what_it_cannot_price():
    rows = [row if "fed" in row else row.rsplit(",", 2)[0] + ",,dead" for row in PLAIN]
    found = verdict(rows, asked=GRADED)
    grade = found.answer.grade
    assert grade.raw_check == 0.0
    assert grade.check == pytest.approx(0.0, abs=1e-5)
    fed = [end.outcome for end in found.finished.ended if end.outcome]
    assert grade.raw_fed == sum(value >= 8 for value in fed) / len(fed)  # all twelve live
    assert 0 < found.worth.break_even < 10
    text = " ".join(found.spoken.sure)
    assert "No check colony lived, so none made grade." in text
    assert "cannot be told" in text


def test_all_dead_with_a_grade_line_tells_nothing_and_is_no_error():
    found = verdict([row.rsplit(",", 2)[0] + ",,dead" for row in PLAIN], asked=GRADED)
    assert found.answer.given is AnswerClass.TOO_FEW
    assert "every colony was lost" in found.answer.why_not
    assert found.worth is None


def test_names_of_groups_stay_as_they_were_typed():
    """Groups are told apart whatever the case and the dashes; what is shown is the first spelling."""
    groups = ("check", "Fed A", "Fed-B", "fed a")
    rows = [f"{k},North,{groups[k % 4]},{6 + k % 3},{7 + k % 5},alive" for k in range(32)]
    asked = replace(ASKED, sheet=SheetAsked(primary="fed b"))
    told = verdict(rows, "Colony,Yard,Group,Frames before,Frames after,Status", asked)
    assert told.finished.design.arms == ("check", "Fed A", "Fed-B")
    assert told.finished.design.primary == 2
    assert told.spoken.range_said.startswith("Fed-B less check: ")
