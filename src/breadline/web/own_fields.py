"""A form is read only as it is now: one of a page that an earlier version made is shown, not written.

Every form that writes carries a mark of the fields that it has, put in where a page is made; the
fields that came are held against it, and against the fields that are known, before any page is
asked. A field that is called otherwise today would else be passed over without a word.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from html import unescape
from urllib.parse import quote, urlencode, urlsplit

from fastapi import Request
from starlette.datastructures import FormData, UploadFile
from starlette.routing import Match

from breadline.web.form_fields import ASKED, EVERYWHERE, SENT, mark, mark_at, unknown

MARK = "form_mark"
MOST_FIELDS = 20_000  # of one form; a tally sheet has as many as its yard has hives
SCRIPT = "hx-request"
RECORDS = "/field/send"  # no form: the body is read by its page
_FORM = re.compile(r'<form\b[^>]*\bmethod="post"[^>]*>')
_ACTION = re.compile(r'\baction="([^"]*)"')


@dataclass(eq=False)
class OtherVersion(Exception):
    """A form of another version of the pages: what it held, and where the form of now is.

    Parameters
    ----------
    held
        Names of its fields and what was typed, in their order.
    files
        The same of the fields that are files: their names.
    not_known
        Those names that no form has any more.
    fresh
        The address of the form of now.
    piece
        Whether a script asked, for a part of the page that still stands.
    address
        Whether it stood in an address, and nothing was sent.
    """

    held: tuple[tuple[str, str], ...]
    files: tuple[tuple[str, str], ...]
    not_known: frozenset[str]
    fresh: str
    piece: bool
    address: bool = False


def marked(text: str) -> str:
    """A page whose forms that write say which fields they have."""

    def with_mark(found: re.Match[str]) -> str:
        action = _ACTION.search(found[0])
        if action is None:
            return found[0]
        value = mark_at(unescape(action[1]))
        return f'{found[0]}<input type="hidden" name="{MARK}" value="{value}">'

    return _FORM.sub(with_mark, text)


def unmarked(form: FormData) -> FormData:
    """A form without its mark, as its page reads it."""
    return FormData([(name, value) for name, value in form.multi_items() if name != MARK])


async def own_fields(request: Request) -> None:
    """Refuse what is of another version before its page is asked.

    Errors
    ------
    OtherVersion
        Where the mark is of other fields, or a field came that the form has not; nothing was written.
    """
    route = getattr(request.scope.get("route"), "path", "")
    asked = request.query_params.multi_items()
    if request.method in ("GET", "HEAD"):
        if route in ASKED and (strange := unknown(ASKED, route, {name for name, _ in asked})):
            known = [(name, value) for name, value in asked if name not in strange]
            here = quote(request.url.path)
            there = f"{here}?{urlencode(known)}" if known else here
            raise OtherVersion(_held(asked), (), frozenset(strange), there, False, True)
        return
    if route == RECORDS:
        return
    form = await request.form(max_fields=MOST_FIELDS)
    came = [*unmarked(form).multi_items(), *asked]
    strange = unknown(SENT, route, {name for name, _ in came})
    if strange or form.get(MARK, mark(route)) != mark(route):
        files = tuple((name, one.filename or "") for name, one in came if isinstance(one, UploadFile))
        texts = [(name, value) for name, value in came if isinstance(value, str)]
        piece = request.headers.get(SCRIPT) == "true"
        raise OtherVersion(_held(texts), files, frozenset(strange), _fresh(request), piece)


def _held(items: Iterable[tuple[str, str]]) -> tuple[tuple[str, str], ...]:
    return tuple((name, value) for name, value in items if value.strip() and name not in EVERYWHERE)


def _fresh(request: Request) -> str:
    """The page that the form stood on, as it is now; else the nearest above where it was sent."""
    try:
        came_from = urlsplit(request.headers.get("referer", ""))
    except ValueError:  # no address
        came_from = urlsplit("")
    if (
        came_from.netloc
        and came_from.netloc == request.headers.get("host")
        and _asks(request, came_from.path)
    ):
        return came_from.path + (f"?{came_from.query}" if came_from.query else "")
    parts = request.url.path.split("/")
    above = ["/".join(parts[:n]) for n in range(len(parts), 1, -1)]
    return quote(next((one for one in above if _asks(request, one)), "/"))


def _asks(request: Request, path: str) -> bool:
    """Whether there is a page of that address."""
    asked = {**request.scope, "method": "GET", "path": path, "path_params": {}}
    return any(one.matches(asked)[0] is Match.FULL for one in request.app.routes)
