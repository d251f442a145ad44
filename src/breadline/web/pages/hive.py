"""A hive: what was seen of it, what it was given, what became of it."""

from __future__ import annotations

from datetime import date

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from breadline.errors import RecordError
from breadline.jobs.hive_told import HiveBook
from breadline.language import say
from breadline.web.opened import place_of
from breadline.web.views import page

router = APIRouter()


@router.get("/hives/{colony_id}")
def hive(request: Request, colony_id: str, before: str = "") -> HTMLResponse:
    """The page of one hive; ``before`` a day for older readings."""
    try:
        day = date.fromisoformat(before) if before else None
    except ValueError:
        raise RecordError(
            "day",
            say("“{before}” is none", before=before),
            say("year-month-day, 2026-05-03"),
            say("Choose one"),
        ) from None
    book = HiveBook(place_of(request), request.app.state.today())
    return page("hive.html", "/", book.operation_name, told=book.hive(colony_id, day), before=day)
