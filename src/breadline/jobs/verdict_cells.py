"""The cells of a spreadsheet: CSV in any usual dress, or the first sheet of an XLSX file."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass, field
from pathlib import Path

from breadline.errors import RecordError, TrialError
from breadline.jobs.sheet_xlsx import Unseen, first_tab
from breadline.language import noted, say

MOST_ROWS = 200_000
_SEPARATORS = (";", "\t", ",")
_COMMA, _POINT = re.compile(r"\d+,\d{1,2}"), re.compile(r"\d+\.\d+")
_SAVE = noted("Save it as CSV (UTF-8), or as .xlsx")


@dataclass(frozen=True)
class Table:
    """A sheet: its heads, and its rows with the number that each has in the file.

    ``commas`` says that its columns stand apart by semicolons, so that a comma in a number can only be
    decimal, and that no number in it has a point. ``unseen`` are the rows and columns of a workbook that its
    sheet does not show; they are taken like the others.
    """

    name: str
    heads: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    commas: bool = False
    unseen: Unseen = field(default_factory=Unseen)

    @property
    def remarks(self) -> tuple[str, ...]:
        """What is taken though nobody sees it who looks at the sheet."""
        told = self.unseen.told([(1, self.heads), *self.rows])
        return (told,) if told else ()


def table_of(name: str, content: bytes) -> Table:
    """The cells of a file.

    Errors
    ------
    TrialError
        If it is empty, no spreadsheet, or has no rows under its heads.
    """
    if content[:4] == b"\xd0\xcf\x11\xe0":
        raise TrialError(
            name, say("this is a spreadsheet of the old kind (.xls)"), say("CSV or .xlsx"), say(_SAVE)
        )
    packed = content[:2] == b"PK"
    rows, unseen = _from_xlsx(name, content) if packed else (_from_csv(name, content), Unseen())
    kept = [(n, cells) for n, cells in rows if any(cell.strip() for cell in cells)]
    if len(kept) < 2:
        raise TrialError(
            name,
            say("there are no colonies in it"),
            say("a line of heads, then one line a colony"),
            say(_SAVE),
        )
    if len(kept) > MOST_ROWS:
        raise TrialError(
            name, say("{n:,} rows", n=len(kept)), say("at most {n:,}", n=MOST_ROWS), say("Is this one trial?")
        )
    heads = tuple(cell.strip() for cell in kept[0][1])
    width = len(heads)
    filled = tuple((n, tuple((*cells, *[""] * width)[:width])) for n, cells in kept[1:])
    return Table(name, heads, filled, _commas(content, filled), unseen)


def _commas(content: bytes, rows: tuple[tuple[int, tuple[str, ...]], ...]) -> bool:
    cells = [cell.strip() for _, own in rows for cell in own]
    apart = content[:2] != b"PK" and max(_SEPARATORS, key=_first_line(_text("", content)).count) == ";"
    return apart and any(map(_COMMA.fullmatch, cells)) and not any(map(_POINT.fullmatch, cells))


def read_table(path: Path) -> Table:
    """The cells of a file on disk."""
    return table_of(path.name, path.read_bytes())


def _text(name: str, content: bytes) -> str:
    if content[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return content.decode("utf-16", errors="replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        pass
    if b"\0" in content[:2000]:
        raise TrialError(name, say("this is no text"), say("CSV or .xlsx"), say(_SAVE))
    return content.decode("cp1252", errors="replace")


def _first_line(text: str) -> str:
    return next((line for line in text.splitlines() if line.strip()), "")


def _from_csv(name: str, content: bytes) -> list[tuple[int, list[str]]]:
    text = _text(name, content)
    separator = max(_SEPARATORS, key=_first_line(text).count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    try:
        return [(reader.line_num, row) for row in reader]
    except csv.Error as fault:
        raise TrialError(
            name, say("line {n} cannot be read ({why})", n=reader.line_num, why=fault), "CSV", say(_SAVE)
        ) from fault


def _from_xlsx(name: str, content: bytes) -> tuple[list[tuple[int, list[str]]], Unseen]:
    """Values of the first sheet; formulas by the value that was last worked out."""
    try:
        rows, unseen = first_tab(name, content)
        return [(number, list(map(str, row))) for number, row in rows], unseen
    except RecordError as wrong:
        raise TrialError(wrong.where, wrong.what, wrong.expected, wrong.do) from wrong
