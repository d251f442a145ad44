"""Which language and measures a request is answered in: of the address, else of the cookie.

Where no language was chosen the browser's counts, where no measures the country of the yard.
"""

from __future__ import annotations

from urllib.parse import parse_qs, quote, unquote

from starlette.datastructures import Headers
from starlette.requests import cookie_parser
from starlette.types import ASGIApp, Receive, Scope, Send

from breadline.language import LANGUAGES, chosen, speaking
from breadline.measures import LONGEST_MONEY, Measures, measuring, units_named

COOKIE = "language"
UNITS_COOKIE, MONEY_COOKIE = "measures", "money"
YEAR = 365 * 24 * 3600  # [s]


def wanted(scope: Scope) -> str:
    """The language of a request; ``?language=es`` is for this one answer, such as a sheet for the crew."""
    asked, kept = _said(scope, COOKIE)
    known = [code for code in (asked, kept) if code in LANGUAGES]
    return known[0] if known else chosen(Headers(scope=scope).get("accept-language", ""))


def measured_in(scope: Scope) -> Measures:
    """The measures of a request: ``?measures=lb`` of a form shown in pounds, else as chosen."""
    asked, kept = _said(scope, UNITS_COOKIE)
    return Measures(units_named(asked) or units_named(kept), read_money(_said(scope, MONEY_COOKIE)[1]))


def written_money(text: str) -> str:
    """Money as a cookie can hold it."""
    return quote(text, safe="")


def read_money(kept: str) -> str:
    """Money out of a cookie; "" for what no form of ours wrote."""
    text = unquote(kept).strip()
    return text if len(text) <= LONGEST_MONEY and text.isprintable() else ""


def _said(scope: Scope, name: str) -> tuple[str, str]:
    """What the address says, and what the cookie does."""
    asked = parse_qs(scope.get("query_string", b"").decode("latin-1")).get(name, [""])[0]
    return asked, cookie_parser(Headers(scope=scope).get("cookie", "")).get(name, "")


class InTheirLanguage:
    """Everything behind it speaks as the request asks; the context is of that request alone."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return
        with speaking(wanted(scope)), measuring(measured_in(scope)):
            await self.app(scope, receive, send)
