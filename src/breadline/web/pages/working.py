"""A page to wait at while something goes on that takes longer than a second, and to leave it from."""

from __future__ import annotations

from collections.abc import Callable
from typing import cast

from fastapi import APIRouter, Request
from fastapi.responses import RedirectResponse, Response

from breadline.errors import RecordError
from breadline.jobs.beside import Beside, Besides
from breadline.language import say
from breadline.web.opened import book_of
from breadline.web.views import page

router = APIRouter()
WAIT_S = 1.0  # before the page says that it goes on [s]
LEAVING_S = 3.0  # that a page waits for work to end that was left [s]
Wanted = Callable[[], bool]


def in_time(
    request: Request, question: object, what: str, work: Callable[[Wanted], Response], address: str = ""
) -> Response:
    """The answer where it is there in a second, else the way to the page that waits for it.

    ``address`` is that of a question that was asked by one: the page that waited leads back to it.
    """
    one = _all(request).begin(question, what, work, address)
    if one.done(WAIT_S):
        return _answer(one)
    return RedirectResponse(f"/working/{one.key}", 303)


@router.get("/working/{key}")
def waiting(request: Request, key: str) -> Response:
    """What goes on; its answer once it is there."""
    one = _known(request, key)
    if one.done(WAIT_S):
        return RedirectResponse(one.address, 303) if one.address else _answer(one)
    done, of = one.far
    far = say(one.far_said, n=done, all=of) if of else ""
    gone = say("{n:,} s so far.", n=one.seconds())
    return page(
        "working.html", "/", book_of(request).operation_name, what=one.what, key=key, far=far, gone=gone
    )


@router.post("/working/{key}/leave")
def leave(request: Request, key: str) -> Response:
    """Nobody wants it any more: it ends, and nothing of it is written down; one that was faster is shown."""
    one = _known(request, key)
    one.leave()
    if one.done(LEAVING_S) and one.came is not None:
        one.left = False
        return RedirectResponse(f"/working/{key}", 303)
    return RedirectResponse("/", 303)


def _answer(one: Beside[Response]) -> Response:
    one.seen = True
    if one.trouble is not None:
        raise one.trouble
    assert one.came is not None
    return one.came


def _known(request: Request, key: str) -> Beside[Response]:
    one = _all(request).by_key(key)
    if one is None or one.left:
        raise RecordError(say("this page"), say("what it waited for is not kept any more"), "",
                          say("Send the form again"))  # fmt: skip
    return one


def _all(request: Request) -> Besides[Response]:
    return cast("Besides[Response]", request.app.state.besides)
