"""The cells of a spreadsheet: CSV in any usual dress, or the first sheet of an XLSX file."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from dataclasses import dataclass
from pathlib import Path
from xml.etree import ElementTree

from breadline.errors import TrialError

MOST_BYTES = 40_000_000  # of a sheet unpacked
MOST_ROWS = 200_000
_SHEET = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_PLACE = re.compile(r"([A-Z]+)\d+")
_SEPARATORS = (";", "\t", ",")
_COMMA, _POINT = re.compile(r"\d+,\d{1,2}"), re.compile(r"\d+\.\d+")
_SAVE = "Save it as CSV (UTF-8), or as .xlsx"


@dataclass(frozen=True)
class Table:
    """A sheet: its heads, and its rows with the number that each has in the file.

    ``commas`` says that its columns stand apart by semicolons, so that a comma in a number can only be
    decimal, and that no number in it has a point.
    """

    name: str
    heads: tuple[str, ...]
    rows: tuple[tuple[int, tuple[str, ...]], ...]
    commas: bool = False


def table_of(name: str, content: bytes) -> Table:
    """The cells of a file.

    Errors
    ------
    TrialError
        If it is empty, no spreadsheet, or has no rows under its heads.
    """
    if content[:4] == b"\xd0\xcf\x11\xe0":
        raise TrialError(name, "this is a spreadsheet of the old kind (.xls)", "CSV or .xlsx", _SAVE)
    rows = _from_xlsx(name, content) if content[:2] == b"PK" else _from_csv(name, content)
    kept = [(n, cells) for n, cells in rows if any(cell.strip() for cell in cells)]
    if len(kept) < 2:
        raise TrialError(
            name, "there are no colonies in it", "a line of heads, then one line a colony", _SAVE
        )
    if len(kept) > MOST_ROWS:
        raise TrialError(name, f"{len(kept):,} rows", f"at most {MOST_ROWS:,}", "Is this one trial?")
    heads = tuple(cell.strip() for cell in kept[0][1])
    width = len(heads)
    filled = tuple((n, tuple((*cells, *[""] * width)[:width])) for n, cells in kept[1:])
    return Table(name, heads, filled, _commas(content, filled))


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
        raise TrialError(name, "this is no text", "CSV or .xlsx", _SAVE)
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
        raise TrialError(name, f"line {reader.line_num} cannot be read ({fault})", "CSV", _SAVE) from fault


def _from_xlsx(name: str, content: bytes) -> list[tuple[int, list[str]]]:
    """Values of the first sheet; formulas by the value that was last worked out."""
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            shared = _shared(_part(name, packed, "xl/sharedStrings.xml"))
            sheet = _part(name, packed, _first_sheet(name, packed))
    except (zipfile.BadZipFile, ElementTree.ParseError, KeyError) as fault:
        raise TrialError(name, "the .xlsx file cannot be read", "a whole file", _SAVE) from fault
    if sheet is None:
        raise TrialError(name, "it holds no sheet", "a spreadsheet (.xlsx)", _SAVE)
    return [
        (int(row.get("r", n)), _cells(row, shared)) for n, row in enumerate(sheet.iter(f"{_SHEET}row"), 1)
    ]


def _first_sheet(name: str, packed: zipfile.ZipFile) -> str:
    """The part of the first tab, which need not be the sheet that was made first."""
    book = _part(name, packed, "xl/workbook.xml")
    links = _part(name, packed, "xl/_rels/workbook.xml.rels")
    first = None if book is None else next(book.iter(f"{_SHEET}sheet"), None)
    if first is not None and links is not None:
        key = next((value for head, value in first.attrib.items() if head.endswith("}id")), "")
        target = next((link.get("Target", "") for link in links if link.get("Id") == key), "")
        part = target.removeprefix("/") if target.startswith("/") else f"xl/{target}"
        if target and part in packed.namelist():
            return part
    sheets = [n for n in packed.namelist() if re.fullmatch(r"xl/worksheets/sheet\d+\.xml", n)]
    return min(sheets, key=lambda n: int(re.sub(r"\D", "", n)), default="xl/worksheets/sheet1.xml")


def _part(name: str, packed: zipfile.ZipFile, part: str) -> ElementTree.Element | None:
    if part not in packed.namelist():
        return None
    if packed.getinfo(part).file_size > MOST_BYTES:
        raise TrialError(
            name, "the sheet is too large", f"at most {MOST_BYTES // 10**6} MB", "Keep one trial in it"
        )
    text = packed.read(part)
    if b"<!DOCTYPE" in text[:1000] or b"<!ENTITY" in text:
        raise TrialError(name, "the .xlsx file defines its own letters", "a plain spreadsheet", _SAVE)
    return ElementTree.fromstring(text)


def _shared(root: ElementTree.Element | None) -> list[str]:
    if root is None:
        return []
    return ["".join(t.text or "" for t in one.iter(f"{_SHEET}t")) for one in root.iter(f"{_SHEET}si")]


def _cells(row: ElementTree.Element, shared: list[str]) -> list[str]:
    found: list[str] = []
    for cell in row.iter(f"{_SHEET}c"):
        place = _PLACE.match(cell.get("r", ""))
        column = _column(place[1]) if place else len(found)
        found += [""] * (column - len(found))
        found.append(_value(cell, shared))
    return found


def _column(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number - 1


def _value(cell: ElementTree.Element, shared: list[str]) -> str:
    kind = cell.get("t", "n")
    if kind == "inlineStr":
        return "".join(t.text or "" for t in cell.iter(f"{_SHEET}t"))
    value = cell.find(f"{_SHEET}v")
    text = "" if value is None else value.text or ""
    if kind == "s":
        return shared[int(text)] if text.isdigit() and int(text) < len(shared) else ""
    return text[:-2] if kind == "n" and text.endswith(".0") else text
