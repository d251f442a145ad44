"""Sheets as Spanish-speaking crews write them are read, in either language of the pages."""

from __future__ import annotations

import re
from html import unescape

import pytest

from breadline.errors import TrialError
from breadline.jobs.sheet_fields import FIELDS, field_of, guessed
from breadline.jobs.sheet_values import Mend, Reading, value_of
from breadline.jobs.spanish_words import unaccented
from breadline.jobs.verdict_cells import table_of
from breadline.jobs.verdict_columns import columns_of
from breadline.jobs.verdict_rows import SheetAsked, colonies_of
from breadline.language import say_as, speaking
from breadline.trial.colonies import Became
from breadline.web.views import page


def shown_example() -> list[list[str]]:
    """The cells of the sample on the verdict page in Spanish."""
    with speaking("es"):
        html = bytes(
            page(
                "verdict_ask.html",
                "/verdict",
                typed={},
                situations=[],
                trials=(),
                check_got=[],
                error=None,
                this_year=2026,
            ).body
        ).decode()
    sample = re.search(r'<table class="sample">.*?</table>', html, re.S)
    assert sample
    rows = re.findall(r"<tr>(.*?)</tr>", sample[0], re.S)
    return [[unescape(c) for c in re.findall(r"<t[hd][^>]*>(.*?)</t[hd]>", row, re.S)] for row in rows]


def test_the_verdict_page_reads_its_own_spanish_example():
    cells = shown_example()
    assert cells[0][0] == "Colmena"
    read = colonies_of(table_of("a.csv", "\n".join(map(",".join, cells)).encode()), SheetAsked())
    assert [(one.tag, one.arm, one.baseline) for one in read.started] == [("T1", 0, 5.5), ("T2", 1, 6)]
    assert [(one.became, one.outcome) for one in read.ended] == [(Became.GRADED, 6.5), (Became.DEAD, None)]
    assert not any(say.startswith("Not used") for say in read.remarks)


@pytest.mark.parametrize("became", list(Became))
def test_every_end_is_read_as_the_pages_name_it(became):
    with speaking("es"):
        word = say_as("end", became.value)
    end = "" if became in (Became.DEAD, Became.SOLD) else "5"
    rows = f"Colmena,Grupo,Después,Qué fue,Unida a\nA,testigo,{end},{word},B\nB,Sí,7,,"
    if became in (Became.ABSCONDED, Became.MERGED, Became.BELOW_ONE_FRAME):
        rows = rows.replace("testigo,5", "testigo,")
    read = colonies_of(table_of("a.csv", rows.encode()), SheetAsked())
    assert read.ended[0].became is became


def test_an_english_head_keeps_its_meaning_beside_a_spanish_one():
    heads = columns_of(table_of("a.csv", b"hive,place,fed,final,miel kg\nA,1,no,5,3\nB,2,yes,7,4")).at
    assert heads == {"colony": 0, "place": 1, "arm": 2, "end": 3, "honey taken": 4}


def test_the_refusal_names_spanish_heads_which_are_then_read():
    with speaking("es"), pytest.raises(TrialError) as refused:
        columns_of(table_of("a.csv", b"colmena,cosa\nA,1"))
    assert "arm" not in refused.value.what
    named = re.findall(r"[\w ]+", refused.value.expected.partition("llamada ")[2])
    assert "grupo" in [name.strip() for name in named]
    for name in (one.strip() for one in named if one.strip()):
        assert columns_of(table_of("a.csv", f"{name},final\nsí,1\nno,2".encode())).at["arm"] == 0


@pytest.mark.parametrize("holds", list(FIELDS))
def test_a_sheet_is_read_by_the_names_that_spanish_pages_give_its_columns(holds):
    with speaking("es"):
        heads = [say_as("column", one.name) for one in FIELDS[holds]]
        found = guessed(holds, heads)
    assert [found.get(n) for n in range(len(heads))] == [one.key for one in FIELDS[holds]]
    assert guessed(holds, [unaccented(head).upper() for head in heads]) == found


@pytest.mark.parametrize(
    ("key", "cell", "kept"),
    [("queen_status", "Vista", "seen"), ("queen_status", "huevos", "eggs"),
     ("queen_status", "sin reina", "neither"),
     ("honey", "Ligera", "light"), ("honey", "suficiente", "enough"), ("pollen_seen", "nada", "none"),
     ("pollen_seen", "mucho", "plenty"), ("patty_left", "casi toda", "most"), ("maggots_seen", "Sí", True)],
)  # fmt: skip
def test_words_in_cells(key, cell, kept):
    assert value_of(cell, field_of("readings", key), "", Reading()) == kept


@pytest.mark.parametrize("text", ["10 de marzo de 2026", "10 mar 2026", "10-marzo-2026"])
def test_a_day_with_its_month_named_in_spanish(text):
    assert str(value_of(text, field_of("readings", "day"), "", Reading())) == "2026-03-10"


def test_a_month_that_is_none_is_still_refused():
    with pytest.raises(Mend):
        value_of("10 de brumario de 2026", field_of("readings", "day"), "", Reading())
