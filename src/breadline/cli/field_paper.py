"""``breadline tally`` and ``breadline tags``: paper of the yard."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Any

from breadline.cli.printed import say, shown
from breadline.errors import RecordError
from breadline.jobs.field_paper import FieldPaper
from breadline.language import say as worded
from breadline.need.words import counted
from breadline.records.address import BookAt
from breadline.records.engine import is_there
from breadline.sheets.tally import paper_of
from breadline.sheets.works import work_of


@dataclass(frozen=True)
class Sheet:
    """What was typed of a tally sheet."""

    work: str
    paper: str


@dataclass(frozen=True)
class Labels:
    """What was typed of the labels."""

    sheet: str
    first: int
    cut_lines: bool


def tally(book: BookAt, yard: str, out: Path, sheet: Sheet, as_json: bool) -> None:
    """Write the tally sheets of a yard."""
    work, paper = work_of(sheet.work), paper_of(sheet.paper)
    there, key = _yard(book, yard)
    name, rows = there.standing(key)
    out.write_bytes(there.tally(key, work, paper))
    told = {"shape": "breadline.tally/1", "file": str(out), "yard": name, "work": work, "paper": paper}
    _told(
        told | {"hives": len(rows)},
        as_json,
        worded(
            "Tally sheets of {name}, {hives}: {out}", name=name, hives=counted(len(rows), "hive"), out=out
        ),
    )


def tags(book: BookAt, yard: str, out: Path, labels: Labels, as_json: bool) -> None:
    """Write the tags of a yard's hives."""
    there, key = _yard(book, yard)
    name, rows = there.standing(key)
    out.write_bytes(there.tags(key, labels.sheet, labels.first, labels.cut_lines))
    told = {"shape": "breadline.tags/1", "file": str(out), "yard": name, "labels": labels.sheet}
    _told(
        told | {"hives": len(rows)},
        as_json,
        worded("Tags of {name}, {hives}: {out}", name=name, hives=counted(len(rows), "hive"), out=out),
    )


def _yard(book: BookAt, yard: str) -> tuple[FieldPaper, str]:
    if not is_there(book):
        raise RecordError(
            str(book),
            worded("there is no book here"),
            worded("the book of records"),
            worded("Check the path"),
        )
    there = FieldPaper(book)
    return there, there.yard_named(yard)


def _told(document: dict[str, Any], as_json: bool, line: str) -> None:
    if as_json:
        shown(document)
    else:
        say(line)
