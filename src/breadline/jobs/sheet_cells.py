"""The cells of a sheet as people have them: CSV in any usual dress, or a sheet of an XLSX file."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

from breadline.errors import RecordError
from breadline.language import noted, say

MOST_ROWS = 200_000
MOST_COLUMNS = 200
MOST_LETTERS = 5_000  # of a cell
SAVE = noted("Save it as CSV (UTF-8) or as .xlsx and bring it in again")
SEPARATORS = {
    ";": noted("semicolons"), "\t": noted("tabs"), ",": noted("commas"), "|": noted("upright strokes"),
}  # fmt: skip
_SPACES = dict.fromkeys(map(ord, "\u00a0\u202f\u2007\ufeff\u200b"), " ")


class Native(str):
    """A number, or a day as year-month-day, that a spreadsheet program wrote itself: it needs no asking."""


Rows = Sequence[tuple[int, list[str]]]  # the number of each row in the file, and its cells


@dataclass(frozen=True)
class Cells:
    """A sheet: its rows, and what was understood of the file."""

    name: str
    sheet: str  # of a workbook; empty for CSV
    rows: Rows
    said: tuple[str, ...]
    # What of it no reader sees and is taken all the same, said where it is shown; stands in ``said`` too.
    hidden: tuple[Callable[[], str], ...] = field(default=(), compare=False)


def cells_of(name: str, content: bytes, sheet: str = "") -> Cells:
    """The cells of a file, blank rows left out.

    Errors
    ------
    RecordError
        If it is empty, no spreadsheet, too large, or cannot be read.
    """
    from breadline.jobs.sheet_xlsx import workbook_cells

    if not content.strip():
        raise RecordError(name, say("the file is empty"), say("a sheet with heads and rows"), say(SAVE))
    if content[:4] == b"\xd0\xcf\x11\xe0":
        raise RecordError(name, say("this is a spreadsheet of the old kind (.xls), or one with a password"),
                          say("CSV or .xlsx"), say(SAVE))  # fmt: skip
    found = workbook_cells(name, content, sheet) if content[:2] == b"PK" else _csv_cells(name, content)
    if not found.rows:
        raise RecordError(name, say("there is nothing in it"), say("a sheet with heads and rows"), say(SAVE))
    return found


def kept(name: str, rows: Iterator[tuple[int, list[str]]]) -> Rows:
    """Rows with something in them, no larger than can be looked over.

    Errors
    ------
    RecordError
        With the row that is too large, or holds a letter that cannot be kept.
    """
    found = []
    for number, row in rows:
        text = "".join(row)
        if not text or text.isspace():
            continue
        if len(row) > MOST_COLUMNS:
            while row and not row[-1].strip():
                row.pop()
            if len(row) > MOST_COLUMNS:
                raise RecordError(
                    f"{name}, row {number}",
                    say("it has {row:,} columns", row=len(row)),
                    say("at most {most_columns}", most_columns=MOST_COLUMNS),
                    say("Is this the right sheet?"),
                )
        if len(text) > MOST_LETTERS and (longest := max(map(len, row))) > MOST_LETTERS:
            raise RecordError(
                f"{name}, row {number}",
                say("a cell has {longest:,} letters", longest=longest),
                say("at most {most_letters:,}", most_letters=MOST_LETTERS),
                say("Is a quote opened and never closed?"),
            )
        if "\0" in text:
            raise RecordError(
                f"{name}, row {number}",
                say("it holds a NUL, which no text has"),
                say("plain text"),
                say(SAVE),
            )
        found.append((number, row))
        if len(found) > MOST_ROWS:
            raise RecordError(
                name,
                say("more than {most_rows:,} rows", most_rows=MOST_ROWS),
                say("fewer"),
                say("Bring it in in parts"),
            )
    return found


def clean(text: str) -> str:
    """A cell without odd blanks at its ends."""
    return text if type(text) is Native else text.translate(_SPACES).strip()


def _csv_cells(name: str, content: bytes) -> Cells:
    text, how = _decoded(name, content)
    separator = _separator(text)
    lines = io.StringIO(text, newline="").readlines()
    reader = csv.reader(lines, delimiter=separator, strict=False)
    csv.field_size_limit(1 << 20)

    def rows() -> Iterator[tuple[int, list[str]]]:
        before = 0
        try:
            for row in reader:
                _refuse_open_quote(name, lines[before : reader.line_num], separator, before + 1)
                yield before + 1, row
                before = reader.line_num
        except csv.Error as fault:
            raise RecordError(
                f"{name}, row {before + 1}", say("it cannot be read ({fault})", fault=fault), "CSV", say(SAVE)
            ) from fault

    said = (say("Read as CSV with {marks}, in {letters}.", marks=say(SEPARATORS[separator]), letters=how),)
    return Cells(name, "", kept(name, rows()), said)


def _refuse_open_quote(name: str, lines: Sequence[str], separator: str, row: int) -> None:
    """A quote that is never closed would make one cell of all rows after it."""
    if len(lines) == 1 and not lines[0].count('"') % 2:
        return
    try:
        list(csv.reader(lines, delimiter=separator, strict=True))
    except csv.Error:
        raise RecordError(
            f"{name}, row {row}",
            say("a quote is opened and not closed, so that all after it is one cell"),
            say("a quote at both ends of a cell, or none"),
            say("Take it off, or close it, and bring the sheet in again"),
        ) from None


def _decoded(name: str, content: bytes) -> tuple[str, str]:
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        try:
            return content.decode("utf-16"), "UTF-16"
        except UnicodeDecodeError as fault:
            raise RecordError(
                name, say("it is UTF-16 and broken off"), say("a whole file"), say(SAVE)
            ) from fault
    if b"\0" in content[:4000]:
        raise RecordError(name, say("this is no text"), say("CSV or .xlsx"), say(SAVE))
    try:
        return content.decode("utf-8-sig"), "UTF-8"
    except UnicodeDecodeError:
        return content.decode("cp1252", errors="replace"), "Windows letters (cp1252): look at ä, é, ñ"


def _separator(text: str) -> str:
    """The one that cuts the first lines into the same number of cells, and into most."""
    lines = [line for line in re.split(r"\r\n|\r|\n", text[:20_000]) if line.strip()][:12]
    found = {}
    for separator in SEPARATORS:
        counts = [len(next(csv.reader([line], delimiter=separator), [])) for line in lines]
        usual = max(set(counts), key=lambda n: (counts.count(n), n)) if counts else 1
        found[separator] = (usual > 1, counts.count(usual) * (usual > 1), usual)
    return max(found, key=lambda separator: (found[separator], separator == ","))
