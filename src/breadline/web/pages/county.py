"""The outlook of several yards on one page, for a county or a club."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import cast

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup

from breadline.jobs.beside_plan import beside_advices
from breadline.jobs.book import Book, YardLine
from breadline.jobs.county_outlook import County, county, county_outlook_sheet
from breadline.jobs.yards_pass import Passes, each_with_plans
from breadline.language import say
from breadline.sheets.letterhead import Paper
from breadline.web.drawings import SIZES, Charts
from breadline.web.long_pdf import Pdf, pdf_asked, pdf_in_time
from breadline.web.opened import book_of
from breadline.web.pages.yards import what_to_do
from breadline.web.views import page

router = APIRouter()
HERE = "/county"
WAIT_S = 1.0  # for the yards, before the page says how far they are [s]


@router.get(HERE)
def outlook(request: Request) -> HTMLResponse:
    """The yards that are ticked, else all."""
    book = book_of(request)
    found, whole = _found(request)
    if not whole:
        many = len(cast(Book, book).yard_names())
        return page("yards_wait.html", "/", book.operation_name, rows=[], worked=len(found), many=many)
    of = _county(request, found)
    asked = request.query_params
    return page(
        "county.html", "/", book.operation_name, told=of,
        charts=Charts(*(Markup(of.chart(size)) for size in SIZES)) if of.lines else None,
        yards=[(one.id, one.name) for one in found], chosen=_chosen(request, found), query=str(asked),
        whose=_whose(request), numbered="numbered" in asked,
    )  # fmt: skip


@router.get(f"{HERE}/page.pdf")
def paper(request: Request, paper: str = "us-letter") -> Response:
    """The same on one page of paper."""

    def made() -> bytes:
        of = _county(request, _found(request, None)[0])
        return county_outlook_sheet(of, _whose(request), cast(Paper, paper))

    pdf = Pdf("county-outlook.pdf", made)
    return pdf_in_time(request, pdf_asked(request), say("The sheet is being laid out."), pdf)


def _found(request: Request, seconds: float | None = WAIT_S) -> tuple[Sequence[YardLine], bool]:
    book = book_of(request)
    if not isinstance(book, Book):
        return book.yards(), True
    return cast(Passes, request.app.state.yard_passes).lines(
        partial(each_with_plans, book), book.newest_entries(), seconds
    )


def _county(request: Request, found: Sequence[YardLine]) -> County:
    chosen = _chosen(request, found)
    lines = [one for one in found if one.id in chosen]
    book, today = book_of(request), request.app.state.today()
    advice = {one.id: one.answer.advice for one in lines if one.answer is not None}
    beside = beside_advices(book.path, book.today, advice) if isinstance(book, Book) else {}
    return county(lines, today, what_to_do, "numbered" in request.query_params, beside)


def _chosen(request: Request, found: Sequence[YardLine]) -> list[str]:
    """Keys of the yards that are ticked; of all where none is."""
    every = [one.id for one in found]
    return [key for key in every if key in request.query_params.getlist("yard")] or every


def _whose(request: Request) -> str:
    return " ".join(request.query_params.get("whose", "").split())[:60]
