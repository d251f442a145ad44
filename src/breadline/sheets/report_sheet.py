"""A report of pages: each a sentence, a picture, a table and what stands beside it, on one page."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from breadline.errors import RecordError
from breadline.language import say
from breadline.sheets.letterhead import Paper, cut, letterhead
from breadline.sheets.printed import printed


@dataclass(frozen=True)
class ReportPage:
    """One page; its words are never markup.

    Parameters
    ----------
    head
        The line at the top right.
    title, under
        The sentence somebody came for; what belongs right under it.
    picture, shows
        The picture as SVG text, and a sentence of what it shows; "" for none.
    heads, rows
        A table; empty for none.
    columns
        A head and its lines, beside each other.
    boxed
        A head and a text that closes the page; "" for none.
    foot
        The smallest line.
    """

    head: str
    title: str
    under: tuple[str, ...]
    picture: str
    shows: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    columns: tuple[tuple[str, tuple[str, ...]], ...]
    boxed: tuple[str, str]
    foot: str


def report_sheet(title: str, pages: Sequence[ReportPage], on: date, paper: Paper) -> bytes:
    """The pages as a tagged PDF, each on exactly one page, dated ``on``.

    Errors
    ------
    RecordError
        If the paper is none of ``Paper``, or there is no page.
    """
    return printed("report_sheet.typ", report_sheet_data(title, pages, paper), on)


def report_sheet_data(title: str, pages: Sequence[ReportPage], paper: Paper) -> dict[str, Any]:
    """Everything the pages say, as plain data."""
    if not pages:
        raise RecordError("report", say("there is no page to print"), say("one trial or yard at least"))
    return {
        **letterhead(paper, ""),
        "title": title,
        "pages": [
            {
                "head": cut(page.head, 90),
                "title": page.title,
                "under": list(page.under),
                "picture": page.picture,
                "shows": page.shows,
                "heads": list(page.heads),
                "rows": [list(row) for row in page.rows],
                "columns": [{"head": head, "lines": list(lines)} for head, lines in page.columns],
                "boxed": list(page.boxed),
                "foot": page.foot,
            }
            for page in pages
        ],
    }
