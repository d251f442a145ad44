"""The cells of an XLSX workbook, read row by row: values only, days as days, nothing worked out."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from datetime import date, timedelta
from functools import partial
from typing import IO, Literal
from xml.etree import ElementTree

from breadline.errors import RecordError
from breadline.jobs.sheet_cells import MOST_COLUMNS, SAVE, Cells, Native, kept
from breadline.language import say, say_counted

MOST_BYTES = 400_000_000  # of a part unpacked
MOST_FOLD = 400  # times larger than packed, above SMALL
SMALL = 20_000_000  # bytes
FEW = 8  # hidden rows or columns that are named
FIRST_DAY = {False: date(1899, 12, 30), True: date(1904, 1, 1)}  # by whether the workbook counts from 1904
_MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
_TIE = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_SHARES = {9, 10}  # formats in which 0.03 is shown as 3 %
_DAYS = {*range(14, 18), 22, *range(27, 37), *range(50, 59)}  # formats of days that need no text (18.8.30)
Shows = Literal["day", "share"]
_SHEET = re.compile(r"xl/worksheets/sheet\d+\.xml")
_PLACE = re.compile(r"([A-Z]{1,3})\d+")


@dataclass(frozen=True)
class _Tab:
    name: str
    part: str
    hidden: bool


@dataclass(frozen=True)
class _Reads:
    """How the numbers of a workbook's cells are read."""

    shared: list[str]
    styles: dict[str, Shows]
    first: date


@dataclass
class Unseen:
    """Rows by number and columns by place that the sheet does not show."""

    rows: set[int] = field(default_factory=set)
    columns: set[int] = field(default_factory=set)

    def told(self, rows: Iterable[tuple[int, Sequence[str]]]) -> str:
        """What of these rows nobody sees who looks at the sheet; empty where there is nothing."""
        return " ".join(said() for said in self.later(rows))

    def later(self, rows: Iterable[tuple[int, Sequence[str]]]) -> tuple[Callable[[], str], ...]:
        """The same, said where it is shown."""
        rows = list(rows)
        hidden = [str(number) for number, _ in rows if number in self.rows]
        filled = {place for _, cells in rows for place, cell in enumerate(cells) if cell.strip()}
        columns = [_letters(place) for place in sorted(filled & self.columns)]
        parts = ((_hidden_rows, hidden), (_hidden_columns, columns))
        return tuple(partial(say_them, names) for say_them, names in parts if names)


def _hidden_rows(numbers: list[str]) -> str:
    return say_counted(
        "{n} row of the sheet is hidden (row {rows}) and is taken like the others.",
        "{n} rows of the sheet are hidden (rows {rows}) and are taken like the others.",
        len(numbers), n=f"{len(numbers):,}", rows=_few(numbers),
    )  # fmt: skip


def _hidden_columns(letters: list[str]) -> str:
    return say_counted(
        "{n} column of the sheet is hidden (column {columns}) and is taken like the others.",
        "{n} columns of the sheet are hidden (columns {columns}) and are taken like the others.",
        len(letters), columns=_few(letters),
    )  # fmt: skip


def _few(names: list[str]) -> str:
    return ", ".join(names[:FEW]) + (", …" if len(names) > FEW else "")


def workbook_cells(name: str, content: bytes, sheet: str = "") -> Cells:
    """The cells of the sheet that is named, or of the only one that is shown and has rows.

    Errors
    ------
    RecordError
        If the file is damaged, unpacks to too much, or several sheets could be meant.
    """
    with _unpacked(name, content) as packed:
        return _cells(name, packed, sheet)


def first_tab(name: str, content: bytes) -> tuple[list[tuple[int, list[str]]], Unseen]:
    """The rows of the first sheet that is shown, whatever the others hold, and what of it is hidden.

    Errors
    ------
    RecordError
        If the file is damaged, or unpacks to too much.
    """
    with _unpacked(name, content) as packed:
        tabs, from_1904 = _tabs(name, packed)
        reads = _Reads(_shared(name, packed), _styles(name, packed), FIRST_DAY[from_1904])
        first = next((tab for tab in tabs if not tab.hidden), None)
        part = "" if first is None else first.part
        unseen = Unseen()
        return list(kept(name, _rows(name, packed, part, reads, unseen))), unseen


@contextmanager
def _unpacked(name: str, content: bytes) -> Iterator[zipfile.ZipFile]:
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            yield packed
    except (zipfile.BadZipFile, ElementTree.ParseError, LookupError, EOFError, ValueError) as fault:
        raise RecordError(
            name, say("the .xlsx file cannot be read"), say("a whole file"), say(SAVE)
        ) from fault


def _cells(name: str, packed: zipfile.ZipFile, wanted: str) -> Cells:
    tabs, from_1904 = _tabs(name, packed)
    reads = _Reads(_shared(name, packed), _styles(name, packed), FIRST_DAY[from_1904])
    hidden = [tab.name for tab in tabs if tab.hidden and tab.name != wanted]
    said = [say("Hidden sheets are left out: {names}.", names=", ".join(hidden))] if hidden else []
    if from_1904:
        said.append(say("The workbook counts days from 1904."))
    chosen = [tab for tab in tabs if (tab.name == wanted if wanted else not tab.hidden)]
    if wanted and not chosen:
        shown = ", ".join(tab.name for tab in tabs)
        raise RecordError(
            name, say("there is no sheet “{wanted}”", wanted=wanted), shown, say("Choose one of them")
        )
    found = []
    for tab in chosen:
        unseen = Unseen()
        rows = kept(name, _rows(name, packed, tab.part, reads, unseen))
        if rows:
            found.append((tab.name, rows, unseen.later(rows)))
    if len(found) > 1:
        raise RecordError(
            name,
            say("{found} sheets have rows", found=len(found)),
            say("one"),
            say("Say which: {names}", names=", ".join(tab for tab, *_ in found)),
        )
    tab_name, rows, not_seen = found[0] if found else ("", [], ())
    if tab_name:
        said.insert(0, say("Read from the sheet “{name}”.", name=tab_name))
    said += [say_it() for say_it in not_seen]
    return Cells(name, tab_name, rows, tuple(said), not_seen)


def _part(name: str, packed: zipfile.ZipFile, part: str) -> IO[bytes] | None:
    """A part of the file to be read; refused where it unpacks to far more than it should."""
    try:
        told = packed.getinfo(part)
    except KeyError:
        return None
    fold = told.file_size / max(told.compress_size, 1)
    if told.file_size > MOST_BYTES or (told.file_size > SMALL and fold > MOST_FOLD):
        raise RecordError(
            name,
            say("it unpacks to {file_size:,.0f} MB", file_size=told.file_size / 1000000.0),
            say("a sheet that was typed or measured"),
            say("Do not open it if you do not know where it comes from; else save it as CSV"),
        )
    opened = packed.open(part)
    if b"<!DOCTYPE" in opened.read(1000):
        raise RecordError(
            name, say("the .xlsx file defines its own letters"), say("a plain spreadsheet"), say(SAVE)
        )
    opened.close()
    return packed.open(part)


def _root(name: str, packed: zipfile.ZipFile, part: str) -> ElementTree.Element | None:
    opened = _part(name, packed, part)
    if opened is None:
        return None
    with opened:
        return ElementTree.parse(opened).getroot()


def _tabs(name: str, packed: zipfile.ZipFile) -> tuple[list[_Tab], bool]:
    book = _root(name, packed, "xl/workbook.xml")
    links = _root(name, packed, "xl/_rels/workbook.xml.rels")
    if book is None or links is None:
        parts = sorted(filter(_SHEET.fullmatch, packed.namelist()), key=len)
        if not parts:
            raise RecordError(
                name, say("it is packed, but no workbook"), say("a spreadsheet (.xlsx)"), say(SAVE)
            )
        return [_Tab(parts[0], parts[0], False)], False
    targets = {link.get("Id", ""): link.get("Target", "") for link in links}
    tabs = []
    for one in book.iter(f"{_MAIN}sheet"):
        target = targets.get(one.get(_TIE, ""), "")
        part = target.removeprefix("/") if target.startswith("/") else f"xl/{target}"
        if "chartsheet" not in part:
            tabs.append(_Tab(one.get("name", ""), part, one.get("state", "visible") != "visible"))
    told = book.find(f"{_MAIN}workbookPr")
    return tabs, told is not None and told.get("date1904") in ("1", "true")


def _shared(name: str, packed: zipfile.ZipFile) -> list[str]:
    opened = _part(name, packed, "xl/sharedStrings.xml")
    found = []
    if opened is not None:
        with opened:
            for _, one in ElementTree.iterparse(opened):
                if one.tag == f"{_MAIN}si":
                    found.append(_plain_text(one))
                    one.clear()
    return found


def _plain_text(one: ElementTree.Element) -> str:
    """The text of a cell; how it is pronounced, which some programs add, is left out."""
    spoken = {id(t) for part in one.iter(f"{_MAIN}rPh") for t in part.iter(f"{_MAIN}t")}
    return "".join(t.text or "" for t in one.iter(f"{_MAIN}t") if id(t) not in spoken)


def _styles(name: str, packed: zipfile.ZipFile) -> dict[str, Shows]:
    """The styles in which a number is a day, or a hundredth of what is shown."""
    root = _root(name, packed, "xl/styles.xml")
    if root is None:
        return {}
    own = {int(f.get("numFmtId", 0)): f.get("formatCode", "") for f in root.iter(f"{_MAIN}numFmt")}
    styles = root.find(f"{_MAIN}cellXfs")
    found: dict[str, Shows] = {}
    for number, style in enumerate(styles if styles is not None else ()):
        key = int(style.get("numFmtId", 0))
        text = re.sub(r'"[^"]*"|\\.|\[[^\]]*\]', "", own.get(key, "")).lower()
        if key in _DAYS or (("y" in text or "d" in text) and "general" not in text):
            found[str(number)] = "day"
        elif key in _SHARES or "%" in text:
            found[str(number)] = "share"
    return found


def _rows(
    name: str, packed: zipfile.ZipFile, part: str, reads: _Reads, unseen: Unseen
) -> Iterator[tuple[int, list[str]]]:
    opened = _part(name, packed, part)
    if opened is None:
        return
    number = 0
    with opened:
        for _, row in ElementTree.iterparse(opened):
            if row.tag != f"{_MAIN}row":
                if row.tag == f"{_MAIN}col" and _is_hidden(row):
                    last = min(int(row.get("max", 1)), MOST_COLUMNS)
                    unseen.columns.update(range(int(row.get("min", 1)) - 1, last))
                continue
            number = int(row.get("r", number + 1))
            if _is_hidden(row):
                unseen.rows.add(number)
            cells: list[str] = []
            for cell in row:
                place = _PLACE.match(cell.get("r", ""))
                column = _column(place[1]) if place else len(cells)
                if column > len(cells):
                    cells += [""] * (column - len(cells))
                cells.append(_value(cell, reads))
            yield number, cells
            row.clear()


def _is_hidden(one: ElementTree.Element) -> bool:
    """Whether a row or column is hidden, by its mark, by a filter's, or by having no height or width."""
    return one.get("hidden") in ("1", "true") or "0" in (one.get("ht"), one.get("width"))


def _letters(place: int) -> str:
    """The letters of a column: A, B, … Z, AA."""
    before, last = divmod(place, 26)
    return (_letters(before - 1) if before else "") + chr(65 + last)


def _column(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + ord(letter) - 64
    return number - 1


def _value(cell: ElementTree.Element, reads: _Reads) -> str:
    kind, value, formula = cell.get("t", "n"), None, None
    for part in cell:
        if part.tag == f"{_MAIN}v":
            value = part.text
        elif part.tag == f"{_MAIN}f":
            formula = part.text or "…"
    if kind == "inlineStr":
        return _plain_text(cell)
    if not value:  # a formula whose value was never kept says so by its own text
        return "" if formula is None else f"={formula}"
    if kind == "s":
        return reads.shared[int(value)]
    if kind == "b":
        return "yes" if value == "1" else "no"
    if kind == "d":
        return Native(value.split("T")[0])
    if kind != "n":
        return value
    shows = reads.styles.get(cell.get("s", ""))
    if shows == "day":
        return _day(float(value), reads.first)
    if shows == "share":  # what people read there, which is a hundred times what is kept
        return f"{float(value) * 100:.10g}%"
    return Native(value[:-2] if value.endswith(".0") else value)


def _day(serial: float, first: date) -> str:
    """The day of a serial number; of those before March 1900 no two programs agree, so they stay numbers."""
    if not 61 <= serial < 110_000 and first.year == 1899:
        return Native(f"{serial:g}")
    return Native((first + timedelta(days=int(serial))).isoformat())
