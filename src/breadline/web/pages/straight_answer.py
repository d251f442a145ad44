"""The short path: eight questions, radio buttons as big labels, the answer on the same page."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Any, cast

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from breadline.jobs.season import figures_used
from breadline.jobs.short_path import QUESTIONS, Question, ShortAnswers, straight_answer, unanswered
from breadline.language import say
from breadline.web import drawings
from breadline.web.opened import book_of, shelf_of
from breadline.web.rests import rests_on
from breadline.web.views import page

router = APIRouter()


@dataclass(frozen=True)
class Said:
    """A question and the answer that was given, for the printed page."""

    question: str
    answer: str


@router.get("/straight-answer")
def short_path(request: Request) -> HTMLResponse:
    """The questions; with all eight answered, the answer above them."""
    given = {q.key: request.query_params.get(q.key, "") for q in QUESTIONS}
    missing = unanswered(given) if request.query_params else []
    shown: dict[str, Any] = {"questions": QUESTIONS, "given": given, "missing": [q.key for q in missing]}
    book = book_of(request)
    operation = book.operation_name
    if not request.query_params or missing:
        status = 422 if missing else 200
        return page(
            "straight_answer.html", "/straight-answer", operation, status=status, advice=None, **shown
        )
    today = cast(date, request.app.state.today())
    shelf = shelf_of(book)
    advice = straight_answer(ShortAnswers(**given, today=today), shelf)
    return page(
        "straight_answer.html", "/straight-answer", operation, advice=advice, today=today,
        state_mark=drawings.mark_of(advice.state), said=[_said(q, given[q.key]) for q in QUESTIONS],
        rests=rests_on(advice, figures_used(shelf, advice.figures)), **shown,
    )  # fmt: skip


def _said(question: Question, key: str) -> Said:
    return Said(say(question.words), say(question.choice(key).words))
