"""Cells of a text table turned into numbers: decimal signs, words and codes for missing."""

from __future__ import annotations

import csv
import re

import numpy as np

from breadline.errors import WeatherError
from breadline.language import Later, noted, say, say_later
from breadline.span import FloatArray
from breadline.weather.counted import counted
from breadline.weather.table import Note

WORDS = {"", "nan", "na", "n/a", "null", "none", "-", "--", "m", "missing", "nd", "."}
# What stands for "missing" in public files; 999.0 is left out, for the sun can shine so strongly
CODES = (-9999.9, -9999.0, -9900.0, -999.9, -999.0, 999.9, 9999.0, 9999.9)
LONGEST = 100_000  # letters in a line; beyond it stands no weather
TEXT_SHARE = 0.1  # above this share of text a column is not a column of numbers (judged)
ASK_COMMA = noted("Say which: a decimal comma with semicolons between columns, or a decimal point")


def cells_of(lines: list[str], separator: str = ",") -> list[list[str]]:
    """The cells of each line; a line is a row, so that a stray quote spoils one row and not the rest."""
    return [
        next(csv.reader([line[:LONGEST]], delimiter=separator)) if '"' in line else line.split(separator)
        for line in lines
    ]


def numbers(cells: list[str], where: str, *, comma: bool) -> tuple[FloatArray, tuple[Note, ...]]:
    """``cells`` as floats [unit of the column], shape (rows,), NaN where missing; and notes.

    ``comma`` says that a comma is the decimal sign, as in ``1,5``.

    Errors
    ------
    WeatherError
        If a decimal sign is ambiguous or more than a tenth of the cells are text.
    """
    try:
        values = np.array(list(map(float, cells)), dtype=np.float64)
        notes: list[Note] = []
    except ValueError:
        values, notes = _slowly(cells, where, comma)
    coded = np.isin(values, CODES)
    if coded.any():
        values = np.where(coded, np.nan, values)
        text = _at(
            where, say_later("{codes} for missing (such as −9999)", codes=counted(int(coded.sum()), "code"))
        )
        notes.append(Note("dropped", text, int(coded.sum())))
    endless = np.isinf(values)
    if endless.any():
        many = counted(int(endless.sum()), "cell")
        text = _at(where, say_later("{cells} without end (inf)", cells=many))
        notes.append(Note("dropped", text, int(endless.sum())))
    return np.where(endless, np.nan, values), tuple(notes)


def _at(where: str, what: Later) -> Later:
    """What was found, behind the file and column it was found in."""
    file, found, column = where.partition(", column ")
    place = say_later("{file}, column {column}", file=file, column=column) if found else where
    return say_later("{where}: {what}.", where=place, what=what)


def _slowly(cells: list[str], where: str, comma: bool) -> tuple[FloatArray, list[Note]]:
    values = np.full(len(cells), np.nan)
    text: list[int] = []
    missing = 0
    for i, cell in enumerate(cells):
        word = cell.strip().replace("−", "-")
        if word.lower() in WORDS:
            missing += 1
            continue
        number = _number(word, where, comma)
        if number is None:
            text.append(i)
        else:
            values[i] = number
    if len(text) > TEXT_SHARE * len(cells):
        shown = cells[text[0]].strip()[:20]
        raise WeatherError(
            where,
            say(
                "{text} of {cells} cells are not numbers, such as “{shown}”",
                text=len(text),
                cells=len(cells),
                shown=shown,
            ),
            say("numbers, or nothing where missing"),
        )
    notes = []
    if missing:
        said = _at(where, say_later("{cells} empty or marked as missing", cells=counted(missing, "cell")))
        notes.append(Note("dropped", said, missing))
    if text:
        shown = cells[text[0]].strip()[:20]
        many = counted(len(text), "cell")
        said = _at(where, say_later("{cells} with text, such as “{shown}”", cells=many, shown=shown))
        notes.append(Note("dropped", said, len(text)))
    return values, notes


def _number(word: str, where: str, comma: bool) -> float | None:
    if "," in word:
        if not comma or "." in word:
            raise WeatherError(
                where,
                say("“{word}” is ambiguous", word=word),
                say("one decimal sign throughout"),
                say(ASK_COMMA),
            )
        if re.fullmatch(r"-?[1-9]\d{0,2},\d{3}", word):
            raise WeatherError(
                where,
                say("“{word}” may be thousands or decimals", word=word),
                say("1.234 or 1234"),
                say(ASK_COMMA),
            )
        word = word.replace(",", ".")
    try:
        return float(word)
    except ValueError:
        return None
