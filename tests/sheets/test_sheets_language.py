"""Sheets for the crew in another language: all their words come out of the catalogue. Invented rounds."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from datetime import UTC, date, datetime

from breadline.jobs.sheet_fields import frame_words
from breadline.language import PRETENDED, speaking
from breadline.plan.mixing_days import mixing_days
from breadline.sheets.calendar_file import (
    calendar_file,
    look_entries,
    mixing_entries,
    move_entries,
    round_entries,
    stop_entries,
)
from breadline.sheets.labels import box_labels, hive_labels, label_sheets, labels_data
from breadline.sheets.tally import Tally, tally_data, tally_sheets
from breadline.sheets.truck_sheet import truck_sheet, truck_sheet_data
from breadline.sheets.works import NAMES, works_for_phones
from plan.loads import METRIC, load
from sheets.read_back import words

KEYS = {"paper", "lang", "mark", "colours", "key", "code", "kind", "unit", "work", "way"}
OF_THE_BOOK = re.compile(r"\b[2-9A-Y]{4}\b|Tarweed Flat|Lower Ditch|Water Tank|T\d+|Pineapple")
LOOKS = ("fresh arcs of pollen", "what is left of the last piece", "maggots in what is left")
UNITS = {"lb", "kg", "gal", "oz", "day"}


def bare(told) -> list[str]:
    """Words of a sheet's data in the pretended language that came round the catalogue."""
    if isinstance(told, dict):
        return [word for key, one in told.items() if key not in KEYS for word in bare(one)]
    if isinstance(told, list | tuple):
        return [word for one in told for word in bare(one)]
    left = re.sub(r"⟦[^⟦⟧]*⟧?", " ", OF_THE_BOOK.sub(" ", told)) if isinstance(told, str) else ""
    return [word for word in re.findall(r"[^\W\d_]{2,}", left) if word not in UNITS]


def loads():
    of = load(3)
    visits = tuple(replace(visit, look_at=LOOKS) for visit in of.visits)
    return replace(of, visits=visits, order="")


def test_truck_sheets_and_labels():
    with speaking(PRETENDED):
        for of in (loads(), replace(load(3, METRIC), order="", visits=loads().visits)):
            assert bare(truck_sheet_data(of, "a4")) == []
        labels = (*hive_labels(loads().visits[0], [("T1", 5.0), ("T2", 9.0)]), *box_labels(loads(), 10))
        assert bare(labels_data(labels, label_sheets()["letter_30"])) == []


def test_tally_sheets_and_what_phones_ask():
    pieces = (("454", "1 lb"), ("0", "Nothing"))
    with speaking(PRETENDED):
        means = tuple(frame_words(short=True).values())
        for work in NAMES:
            of = Tally("Water Tank", work, (("T1", ""),), pieces, means, "Pineapple", date(2026, 8, 25))
            told = tally_data(of, "a5")
            assert bare({key: one for key, one in told.items() if key != "sheets"}) == []
        phones = [{key: one for key, one in work.items() if key != "asks"} for work in works_for_phones()]
        asks = [ask for work in works_for_phones() for ask in (*work["asks"], *work["more"])]
        assert bare([work["name"] for work in phones]) == []
        assert bare([[ask["label"], *(said for _, said in ask["options"])] for ask in asks]) == []


def test_the_calendar():
    days = mixing_days([loads()], 1, date(2026, 8, 1))
    with speaking(PRETENDED):
        entries = [
            *round_entries([loads()]), *look_entries([loads()]), *mixing_entries(days),
            *stop_entries([("Water Tank", date(2026, 9, 9), "")]),
            *move_entries([("Water Tank", date(2026, 9, 9))]),
        ]  # fmt: skip
    told = json.loads(json.dumps([[one.title, one.notes] for one in entries]))
    assert bare(told) == []
    assert calendar_file("plan", "Pineapple", entries, datetime(2026, 8, 1, tzinfo=UTC))


def test_in_spanish_on_paper():
    with speaking("es"):
        truck = words(truck_sheet(loads(), "us-letter"))
        of = Tally(
            "Water Tank", "round", (("T1", ""),), (("0", "Nothing"),), (), "Pineapple", date(2026, 8, 25)
        )
        tally = words(tally_sheets(of, "a5"))
    assert "Ronda 2 de 4, 3 apiarios" in truck
    assert "martes 25 de agosto de 2026" in truck
    assert "menos de 4 cuadros con abejas" in truck
    assert "Water Tank: ronda de alimento" in tally
    assert "Cuadros con abejas" in " ".join(tally.split())
