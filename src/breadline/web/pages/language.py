"""The page on which a reader chooses the language; a cookie of this browser keeps it."""

from __future__ import annotations

from urllib.parse import urlsplit

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.language import LANGUAGES
from breadline.web.opened import book_of
from breadline.web.sent_form import SentForm, texts
from breadline.web.their_language import COOKIE, YEAR
from breadline.web.views import page

router = APIRouter()


@router.get("/language")
def languages(request: Request) -> HTMLResponse:
    """The languages there are; from there back to the page that one came from."""
    came = urlsplit(request.headers.get("referer", ""))
    back = f"{came.path}?{came.query}" if came.query else came.path
    return page("language.html", "/language", book_of(request).operation_name, back=_here(back))


@router.post("/language")
def choose(form: SentForm) -> Response:
    """Keep the language in this browser."""
    typed = texts(form)
    answer = RedirectResponse(_here(typed.get("back", "/")), 303)
    if (code := typed.get("language", "")) in LANGUAGES:
        answer.set_cookie(COOKIE, code, max_age=YEAR, samesite="lax")
    return answer


def _here(back: str) -> str:
    """An address of these pages; the list of yards where it is none, or this page itself."""
    plain = back.startswith("/") and not back.startswith(("//", "/\\", "/language"))
    return back if plain and back.isprintable() else "/"
