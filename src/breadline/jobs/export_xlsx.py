"""Tables as an XLSX file in which every text is a text: nothing in it is ever worked out as a formula."""

from __future__ import annotations

import re
import zipfile
from collections.abc import Callable, Iterator
from typing import BinaryIO
from xml.sax.saxutils import escape, quoteattr

from breadline.errors import RecordError
from breadline.jobs.export_rows import Cell, Sheet
from breadline.language import say

MOST_ROWS = 1_048_576  # of a sheet, the head among them (ECMA-376, part 1, 18.3.1.73)
MOST_LETTERS = 32_767  # of a cell
_MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
_TIES = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
_PACKED = "http://schemas.openxmlformats.org/package/2006"
_HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
_TYPE = "application/vnd.openxmlformats-officedocument.spreadsheetml"
_UNWRITTEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\r\ufffe\uffff]|_(?=x[0-9A-Fa-f]{4}_)")


def write_xlsx(out: BinaryIO, sheets: Iterator[Sheet], told: Callable[[int], None]) -> int:
    """Write the tables, one a sheet; how many rows they have without their heads.

    Texts are inline texts (``t="inlineStr"``), never formulas, whatever they begin with. A text
    longer than a cell holds is left out, and its length said in its place.

    Errors
    ------
    RecordError
        If a table has more rows than a sheet holds.
    """
    names, written = [], 0
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as packed:
        for sheet in sheets:
            names.append(sheet.name[:31])
            with packed.open(f"xl/worksheets/sheet{len(names)}.xml", "w", force_zip64=True) as part:
                part.write(f'{_HEAD}<worksheet xmlns="{_MAIN}"><sheetViews><sheetView workbookViewId="0">'
                           '<pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" state="frozen"/>'
                           "</sheetView></sheetViews><sheetData>".encode())  # fmt: skip
                part.write(_row(1, list(sheet.heads)))
                for number, row in enumerate(sheet.rows, 2):
                    if number > MOST_ROWS:
                        raise RecordError(
                            sheet.name,
                            say("more than {most_rows:,} rows", most_rows=MOST_ROWS - 1),
                            say("as many as a sheet holds"),
                            say("Take it out as CSV or JSON"),
                        )
                    part.write(_row(number, row))
                    written += 1
                    told(written)
                part.write(b"</sheetData></worksheet>")
        _write_ties(packed, names or _empty(packed))
    return written


def _empty(packed: zipfile.ZipFile) -> list[str]:
    packed.writestr("xl/worksheets/sheet1.xml", f'{_HEAD}<worksheet xmlns="{_MAIN}"><sheetData/></worksheet>')
    return ["empty"]


def _row(number: int, cells: list[Cell]) -> bytes:
    return f'<row r="{number}">{"".join(map(_cell, cells))}</row>'.encode()


def _cell(value: Cell) -> str:
    if value is None or value == "":
        return "<c/>"
    if isinstance(value, bool):
        return f'<c t="b"><v>{int(value)}</v></c>'
    if isinstance(value, int | float):
        return f"<c><v>{value!r}</v></c>"
    if len(value) > MOST_LETTERS:
        value = f"({len(value):,} letters, too long for a cell: they are in the export as CSV or JSON)"
    text = escape(_UNWRITTEN.sub(lambda found: f"_x{ord(found[0]):04X}_", value))
    return f'<c t="inlineStr"><is><t xml:space="preserve">{text}</t></is></c>'


def _write_ties(packed: zipfile.ZipFile, names: list[str]) -> None:
    """The parts that tie the sheets together."""
    numbered = list(enumerate(names, 1))
    sheets = "".join(f'<sheet name={quoteattr(name)} sheetId="{n}" r:id="rId{n}"/>' for n, name in numbered)
    ties = "".join(
        f'<Relationship Id="rId{n}" Type="{_TIES}/worksheet" Target="worksheets/sheet{n}.xml"/>'
        for n, _ in numbered
    )
    types = "".join(
        f'<Override PartName="/xl/worksheets/sheet{n}.xml" ContentType="{_TYPE}.worksheet+xml"/>'
        for n, _ in numbered
    )
    packed.writestr("xl/workbook.xml", f'{_HEAD}<workbook xmlns="{_MAIN}" xmlns:r="{_TIES}"><sheets>{sheets}</sheets></workbook>')  # fmt: skip  # noqa: E501
    packed.writestr("xl/_rels/workbook.xml.rels", f'{_HEAD}<Relationships xmlns="{_PACKED}/relationships">{ties}</Relationships>')  # fmt: skip  # noqa: E501
    first = f'<Relationship Id="rId1" Type="{_TIES}/officeDocument" Target="xl/workbook.xml"/>'
    packed.writestr("_rels/.rels", f'{_HEAD}<Relationships xmlns="{_PACKED}/relationships">{first}</Relationships>')  # fmt: skip  # noqa: E501
    packed.writestr(
        "[Content_Types].xml",
        f'{_HEAD}<Types xmlns="{_PACKED}/content-types"><Default Extension="rels" '
        'ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
        '<Default Extension="xml" ContentType="application/xml"/><Override PartName="/xl/workbook.xml" '
        f'ContentType="{_TYPE}.sheet.main+xml"/>{types}</Types>',
    )
