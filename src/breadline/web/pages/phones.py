"""Pairing: a phone of the house types the code that the laptop shows, and is let in until it is revoked."""

from __future__ import annotations

import time
from collections import deque
from threading import Lock
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.jobs.phones import PhonesBook
from breadline.language import say
from breadline.web.guard import PAIRING, YEAR, cookie_of
from breadline.web.sent_form import SentForm, texts
from breadline.web.views import ENVIRONMENT

router = APIRouter()
_TURN = Lock()
TRIES, WITHIN = 5, 600.0  # wrong codes of all phones together, and the time in which [s]


@router.get(PAIRING)
def ask(request: Request) -> HTMLResponse:
    """The field for the code."""
    return _page()


@router.post(PAIRING)
def pair(request: Request, form: SentForm) -> Response:
    """Let the phone in where its code holds; after a few wrong ones nobody is, for a while."""
    tried = _try(request)
    if tried is None:
        return _page(
            say("Too many wrong codes. Wait ten minutes, then ask for a new code on the laptop."), 429
        )
    token = PhonesBook(request.app.state.book_path).pair(texts(form).get("code", ""))
    if token is None:
        return _page(say("That code does not hold, or no longer. Codes hold for ten minutes."), 422)
    with _TURN:
        _wrong_codes(request).remove(tried)
    answer = RedirectResponse("/field/", 303)
    safe = request.url.scheme == "https"
    answer.set_cookie(
        cookie_of(request.scope), token, max_age=YEAR, httponly=True, samesite="strict", secure=safe
    )
    return answer


def _try(request: Request) -> float | None:
    """Count a code before it is looked up, so that many at once are many; None where there were too many."""
    with _TURN:
        tries = _wrong_codes(request)
        if len(tries) >= TRIES:
            return None
        tries.append(time.monotonic())
        return tries[-1]


def _wrong_codes(request: Request) -> deque[float]:
    """When wrong codes came, of late."""
    state: Any = request.app.state
    if not hasattr(state, "wrong_codes"):
        state.wrong_codes = deque()
    while state.wrong_codes and state.wrong_codes[0] < time.monotonic() - WITHIN:
        state.wrong_codes.popleft()
    found: deque[float] = state.wrong_codes
    return found


def _page(wrong: str = "", status: int = 200) -> HTMLResponse:
    return HTMLResponse(ENVIRONMENT.get_template("pair.html").render(wrong=wrong), status)
