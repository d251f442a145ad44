"""Paper of the yard: tally sheets and hive tags."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import Response

from breadline.errors import RecordError
from breadline.jobs.field_paper import FieldPaper
from breadline.language import say
from breadline.sheets.labels import LabelSheet, label_sheets
from breadline.sheets.tally import paper_of
from breadline.sheets.works import NAMES, work_of
from breadline.web.long_pdf import Pdf, pdf_asked, pdf_in_time
from breadline.web.opened import place_of

router = APIRouter()


@router.get("/field/tally/{yard_id}.pdf")
def tally(request: Request, yard_id: str, work: str = "round", paper: str = "a5") -> Response:
    """The tally sheets of a yard."""
    question, book = pdf_asked(request), paper_book(request)
    pdf = Pdf(f"tally-{work}.pdf", lambda: book.tally(yard_id, work_of(work), paper_of(paper)))
    return pdf_in_time(request, question, say("The sheet is being laid out."), pdf)


@router.get("/field/tags/{yard_id}.pdf")
def tags(
    request: Request, yard_id: str, labels: str = "a4_21", first: str = "1", cut_lines: str = ""
) -> Response:
    """The tags of its hives."""
    if not first.strip().isascii() or not first.strip().isdigit():
        raise RecordError(
            "first label",
            say("“{first}” is no number", first=first),
            say("1 or more"),
            say("Count from the top left"),
        )
    question, book = pdf_asked(request), paper_book(request)
    pdf = Pdf("tags.pdf", lambda: book.tags(yard_id, labels, int(first), bool(cut_lines)))
    return pdf_in_time(request, question, say("The sheet is being laid out."), pdf)


def paper_book(request: Request) -> FieldPaper:
    """The book of this app as paper needs it."""
    return FieldPaper(place_of(request), request.app.state.today())


def on_paper(request: Request) -> dict[str, Any]:
    """What the buttons for paper say."""
    letter = paper_book(request).in_pounds()
    usual = sorted(label_sheets().items(), key=lambda sheet: (sheet[1].paper == "a4") == letter)
    return {
        "works": list(NAMES.items()),
        "labels": [(name, _label_words(one)) for name, one in usual],  # those on the country's paper first
        "letter": letter,
    }


def _label_words(sheet: LabelSheet) -> str:
    paper = "A4" if sheet.paper == "a4" else say("Letter")
    return say(
        "{n} on {paper}, {wide:.0f} × {high:.0f} mm",
        n=sheet.count,
        paper=paper,
        wide=sheet.wide,
        high=sheet.high,
    )
