"""What is asked every winter, and what goes round and is wrong, each answered with its source."""

from __future__ import annotations

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse

from breadline.jobs.common_questions import Which, common
from breadline.knowledge.data import sources
from breadline.web.document_words import document_words
from breadline.web.opened import book_of
from breadline.web.views import page

router = APIRouter()


@router.get("/questions")
def questions(request: Request, find: str = "") -> HTMLResponse:
    """Common questions, all or those with the words that are looked for."""
    return _shown(request, "questions", find)


@router.get("/questions/wrong")
def wrong(request: Request, find: str = "") -> HTMLResponse:
    """What is often said and does not hold."""
    return _shown(request, "wrong", find)


def _shown(request: Request, which: Which, find: str) -> HTMLResponse:
    whole, cited = common(which), sources()
    found = whole.find(find)
    return page(
        "common_questions.html", "/questions", book_of(request).operation_name, which=which, told=found,
        many=len(found.entries), of=len(whole.entries), find=find, cited=cited,
        words=lambda text: document_words(text, cited),
        names_source=lambda text: text.strip("*").startswith(("Source:", "Fuente:")),
    )  # fmt: skip
