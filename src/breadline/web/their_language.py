"""Which language a request is answered in: of the address, else of the cookie, else of the browser."""

from __future__ import annotations

from urllib.parse import parse_qs

from starlette.datastructures import Headers
from starlette.requests import cookie_parser
from starlette.types import ASGIApp, Receive, Scope, Send

from breadline.language import LANGUAGES, chosen, speaking

COOKIE = "language"
YEAR = 365 * 24 * 3600  # [s]


def wanted(scope: Scope) -> str:
    """The language of a request; ``?language=es`` is for this one answer, such as a sheet for the crew."""
    headers = Headers(scope=scope)
    asked = parse_qs(scope.get("query_string", b"").decode("latin-1")).get(COOKIE, [""])[0]
    kept = cookie_parser(headers.get("cookie", "")).get(COOKIE, "")
    known = [code for code in (asked, kept) if code in LANGUAGES]
    return known[0] if known else chosen(headers.get("accept-language", ""))


class InTheirLanguage:
    """Everything behind it speaks the language of the request; the context is of that request alone."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        with speaking(wanted(scope)):
            await self.app(scope, receive, send)
