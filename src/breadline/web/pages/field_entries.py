"""What came from phones and sheets, day by day; what was wrong is taken back here."""

from __future__ import annotations

from datetime import date
from urllib.parse import urlencode

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.errors import InputToMend, RecordError
from breadline.jobs.field_entries import EntryBook
from breadline.language import say
from breadline.web.opened import place_of
from breadline.web.sent_form import SentForm, texts
from breadline.web.views import page

router = APIRouter()


@router.get("/field/entries/{yard_id}")
def entries(request: Request, yard_id: str, on: str = "") -> HTMLResponse:
    """The entries of a day in a yard, of the newest one where none is said."""
    return _entries(request, yard_id, _day(on))


@router.post("/field/entries/{yard_id}")
def take_back(request: Request, yard_id: str, form: SentForm) -> Response:
    """Take one back, with the reason; it stays in the list as taken back."""
    typed = texts(form)
    try:
        told = [typed.get(name, "") for name in ("entry", "key", "because")]
        _book(request).take_back(*told)
    except InputToMend as wrong:
        return _entries(request, yard_id, _day(typed.get("on", "")), wrong)
    query = urlencode({"on": typed.get("on", ""), "told": "1"})
    return RedirectResponse(f"/field/entries/{yard_id}?{query}", 303)


def _entries(
    request: Request, yard_id: str, on: date | None, error: InputToMend | None = None
) -> HTMLResponse:
    book = _book(request)
    return page(
        "field_entries.html", "/field/questions", book.operation_name, status=422 if error else 200,
        yard_id=yard_id, shown=book.entry_day(yard_id, on), error=None if error is None else str(error),
        told="told" in request.query_params,
    )  # fmt: skip


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text) if text else None
    except ValueError:
        raise RecordError(
            "day", say("“{text}” is none", text=text), say("year-month-day, 2026-05-03"), say("Choose one")
        ) from None


def _book(request: Request) -> EntryBook:
    return EntryBook(place_of(request), request.app.state.today())
