"""What a phone is answered that is not let in, or not everywhere: a page where it asks for one."""

from __future__ import annotations

from starlette.datastructures import Headers
from starlette.responses import HTMLResponse, PlainTextResponse, Response
from starlette.types import Scope

from breadline.language import say
from breadline.web.views import ENVIRONMENT

PAGES_ONLY = 403
UNKNOWN = 401


def not_known(scope: Scope, had_token: bool) -> Response:
    """Asks for a code; ``had_token`` where it was let in once, here or elsewhere."""
    why = (
        say("This phone is let in here no longer: ask for a new code on the laptop.")
        if had_token
        else say("This phone is not known here yet: ask for a code on the laptop.")
    )
    if _wants_page(scope):
        return HTMLResponse(ENVIRONMENT.get_template("pair.html").render(wrong=why), UNKNOWN)
    return PlainTextResponse(why, UNKNOWN)


def phone_pages_only(scope: Scope) -> Response:
    """Says which pages a phone has."""
    if _wants_page(scope):
        return HTMLResponse(ENVIRONMENT.get_template("phone_only.html").render(), PAGES_ONLY)
    return PlainTextResponse(say("A phone has the phone pages only."), PAGES_ONLY)


def _wants_page(scope: Scope) -> bool:
    """Whether somebody reads the answer, and not a script of ours."""
    return scope["method"] in ("GET", "HEAD") and "text/html" in Headers(scope=scope).get("accept", "")
