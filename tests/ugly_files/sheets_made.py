"""Spreadsheets as people really send them, made here: each with what is expected of it. All invented."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any
from xml.sax.saxutils import escape, quoteattr

from breadline.jobs.sheet_read import SheetAsked

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
TIES = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
FULL = {"frames_of_bees": "full"}
HEADS = "yard,hive,date,frames"
PLAIN = SheetAsked(units=FULL, new_colonies=True)
SOUND = f"{HEADS}\nMill Lane,12,2026-03-04,7.5\n"


@dataclass(frozen=True)
class Day:
    """A number that a workbook shows as a day."""

    serial: float


@dataclass(frozen=True)
class Share:
    """A number that a workbook shows a hundred times as large, with a % sign."""

    value: float


@dataclass(frozen=True)
class Formula:
    """A formula, with the value that was last worked out or without."""

    text: str
    value: str | None = None


HIDDEN = ' hidden="1"'  # of a row (ECMA-376, 18.3.1.73), also where a filter hides it


@dataclass(frozen=True)
class Tab:
    """A sheet of a workbook."""

    name: str
    rows: Sequence[Sequence[Any]]
    hidden: bool = False
    merged: Sequence[str] = ()
    unseen: Sequence[int] = ()  # rows that are hidden
    columns: str = ""  # what stands in <cols>


@dataclass(frozen=True)
class Ugly:
    """A file and what becomes of it.

    ``refused`` are words of the error where it cannot be understood at all; ``asks`` the keys of the
    questions; ``mends`` row and words of each thing to mend; ``reads`` what comes out of its first row.
    """

    content: bytes
    asked: SheetAsked = PLAIN
    name: str = "ugly.csv"
    refused: str = ""
    asks: tuple[str, ...] = ()
    mends: tuple[tuple[int, str], ...] = ()
    reads: Mapping[str, object] = field(default_factory=dict)
    rows: int | None = None
    says: str = ""


def workbook(*tabs: Tab, from_1904: bool = False) -> bytes:
    """An XLSX file, its texts shared as spreadsheet programs write them."""
    shared: list[str] = []
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for n, tab in enumerate(tabs, 1):
            packed.writestr(f"xl/worksheets/sheet{n}.xml", _sheet(tab, shared))
        state = {True: ' state="hidden"', False: ""}
        sheets = "".join(
            f'<sheet name={quoteattr(t.name)} sheetId="{n}"{state[t.hidden]} r:id="rId{n}"/>'
            for n, t in enumerate(tabs, 1)
        )
        told = '<workbookPr date1904="1"/>' if from_1904 else ""
        packed.writestr("xl/workbook.xml", f'<workbook xmlns="{MAIN}" xmlns:r="{TIES}">{told}'
                        f"<sheets>{sheets}</sheets></workbook>")  # fmt: skip
        ties = "".join(f'<Relationship Id="rId{n}" Type="{TIES}/worksheet" Target="worksheets/sheet{n}.xml"/>'
                       for n in range(1, len(tabs) + 1))  # fmt: skip
        packed.writestr("xl/_rels/workbook.xml.rels", '<Relationships xmlns="http://schemas.openxmlformats.org/'
                        f'package/2006/relationships">{ties}</Relationships>')  # fmt: skip
        packed.writestr("xl/styles.xml", f'<styleSheet xmlns="{MAIN}"><numFmts count="1">'
                        '<numFmt numFmtId="164" '
                        'formatCode="dd\\.mm\\.yyyy"/></numFmts><cellXfs count="4"><xf numFmtId="0"/>'
                        '<xf numFmtId="14"/><xf numFmtId="164"/><xf numFmtId="9"/>'
                        "</cellXfs></styleSheet>")  # fmt: skip
        texts = "".join(f"<si><t>{escape(text)}</t></si>" for text in shared)
        packed.writestr("xl/sharedStrings.xml", f'<sst xmlns="{MAIN}">{texts}</sst>')
    return out.getvalue()


def _sheet(tab: Tab, shared: list[str]) -> str:
    rows = "".join(
        f'<row r="{r}"{HIDDEN if r in tab.unseen else ""}>'
        + "".join(_cell(value, f"{chr(65 + c)}{r}", shared) for c, value in enumerate(row))
        + "</row>"
        for r, row in enumerate(tab.rows, 1)
        if row
    )
    columns = f"<cols>{tab.columns}</cols>" if tab.columns else ""
    merged = "".join(f'<mergeCell ref="{ref}"/>' for ref in tab.merged)
    return f'<worksheet xmlns="{MAIN}">{columns}<sheetData>{rows}</sheetData>' + (
        f"<mergeCells>{merged}</mergeCells>" if merged else ""
    ) + "</worksheet>"  # fmt: skip


def _cell(value: Any, place: str, shared: list[str]) -> str:
    if value is None:
        return ""
    if isinstance(value, Day):
        return f'<c r="{place}" s="{2 if place[0] == "C" else 1}"><v>{value.serial}</v></c>'
    if isinstance(value, Share):
        return f'<c r="{place}" s="3"><v>{value.value}</v></c>'
    if isinstance(value, Formula):
        kept = "" if value.value is None else f"<v>{value.value}</v>"
        kind = ' t="e"' if (value.value or "").startswith("#") else ""
        return f'<c r="{place}"{kind}><f>{escape(value.text)}</f>{kept}</c>'
    if isinstance(value, bool):
        return f'<c r="{place}" t="b"><v>{int(value)}</v></c>'
    if isinstance(value, int | float):
        return f'<c r="{place}"><v>{value}</v></c>'
    shared.append(value)
    return f'<c r="{place}" t="s"><v>{len(shared) - 1}</v></c>'


def bomb() -> bytes:
    """A small file that unpacks to 30 MB of nothing, far more than its size lets expect."""
    sheet = f'<worksheet xmlns="{MAIN}"><sheetData>' + " " * 30_000_000 + "</sheetData></worksheet>"
    made = workbook(Tab("Sheet1", [["yard"]]))
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(made)) as old, zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as new:
        for part in old.namelist():
            new.writestr(part, sheet if part.endswith("sheet1.xml") else old.read(part))
    return out.getvalue()


def csv(*lines: str, end: str = "\n", encoding: str = "utf-8") -> bytes:
    """Lines as a file."""
    return (end.join(lines) + end).encode(encoding)


ROW = ("Mill Lane", "12", "2026-03-04", 7.5)
HEAD = ("yard", "hive", "date", "frames")
MARCH = 46085  # 4 March 2026, by the day numbers of ECMA-376 (45658 is 1 January 2025, and 427 days)
XLSX = "ugly.xlsx"


def asked(**more: Any) -> SheetAsked:
    """What is said of every sheet, and more."""
    return SheetAsked(**({"units": FULL, "new_colonies": True} | more))
