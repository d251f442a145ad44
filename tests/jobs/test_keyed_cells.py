"""Cells of a tally sheet: short keys are understood, and what could mean two things is asked."""

from __future__ import annotations

import pytest

from breadline.errors import RecordError
from breadline.jobs.keyed_cells import value_of
from breadline.sheets.works import Ask, asks

POUNDS = (("454", "1 lb"), ("227", "½ lb"), ("0", "Nothing"))
GRAMS = (("500", "500 g"), ("250", "250 g"), ("0", "Nothing"))


def column(key: str, pieces=POUNDS) -> Ask:
    return next(one for work in ("round", "look", "grading") for one in asks(work, pieces) if one.key == key)


@pytest.mark.parametrize(
    ("text", "frames"),
    [("7", 7.0), ("7h", 7.5), ("7.5", 7.5), ("7½", 7.5), ("7 ½", 7.5), ("7 1/2", 7.5), ("½", 0.5), ("h", 0.5),
     ("1/2", 0.5), (".5", 0.5), ("0", 0.0), ("12", 12.0), ("10.25", 10.25), ("8¾", 8.75), (" 7H ", 7.5),
     ("7.", 7.0), ("60", 60.0)],
)  # fmt: skip
def test_frames_are_understood_as_people_key_them(text, frames):
    assert value_of(column("frames"), text, "Row 1") == frames


@pytest.mark.parametrize(
    ("text", "asked"),
    [("7,5", "comma"), ("7,", "comma"), ("75", "Was it 7.5"), ("7.3", "finer than quarters"),
     ("71/2", "no number"), ("-3", "no number"), ("1e1", "no number"), ("seven", "no number"),
     ("7.5.1", "no number"), ("nan", "no number"), ("７", "no number"),
     ("7hh", "no number"), ("999", "at most 60")],
)  # fmt: skip
def test_what_is_no_number_of_frames_or_two_is_asked(text, asked):
    with pytest.raises(RecordError, match=asked) as told:
        value_of(column("frames"), text, "Row 3, hive T17, Frames of bees")
    assert str(told.value).startswith("Row 3, hive T17, Frames of bees")


@pytest.mark.parametrize(
    ("key", "text", "value"),
    [("left", "n", "none"), ("left", "S", "some"), ("left", "most", "most"), ("maggots", "y", 1.0),
     ("maggots", "no", 0.0), ("queen", "e", "eggs"), ("queen", "Neither", "neither"), ("bread", "1h", 1.5),
     ("put", "1", 454.0), ("put", "1 lb", 454.0), ("put", "½", 227.0), ("put", ".5", 227.0),
     ("put", "0", 0.0), ("put", "n", 0.0), ("put", "300 g", 300.0), ("put", "2lb", 907.0),
     ("put", "12 oz", 340.0), ("honey", "l", "light"), ("honey", "Enough", "enough"), ("mites", "2.5", 2.5),
     ("mites", "0", 0.0), ("weight", "40 kg", 40.0), ("weight", "100lb", 45.36)],
)  # fmt: skip
def test_other_columns_take_a_letter_or_a_word(key, text, value):
    # 2 lb = 907.18 g, 12 oz = 340.19 g: international avoirdupois, rounded to the gram
    assert value_of(column(key), text, "Row 1") == value


@pytest.mark.parametrize(
    ("key", "text"),
    [("left", "x"), ("left", "1"), ("maggots", "1"), ("put", "2"), ("put", "500"), ("put", "300 kg"),
     ("queen", "q")],
)  # fmt: skip
def test_other_columns_take_nothing_else(key, text):
    with pytest.raises(RecordError):
        value_of(column(key), text, "Row 1")


def test_where_pieces_are_in_grams_a_bare_number_is_one_of_them():
    assert value_of(column("put", GRAMS), "250", "Row 1") == 250.0
    with pytest.raises(RecordError, match="with its unit"):
        value_of(column("put", GRAMS), "1", "Row 1")


@pytest.mark.parametrize(
    ("key", "text", "asked"),
    [("mites", "2 in 300", "is no number"), ("mites", "250", "at most 100"), ("mites", "2,5", "comma"),
     ("weight", "88", "40 kg or 88 lb"), ("weight", "500 g", "kg or lb"),
     ("weight", "900 lb", "at most 250 kg"), ("honey", "3", "is not known")],
)  # fmt: skip
def test_what_a_grading_column_does_not_take_is_asked(key, text, asked):
    with pytest.raises(RecordError, match=asked):
        value_of(column(key), text, "Row 1")
