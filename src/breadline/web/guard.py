"""What every request passes through: this machine only, forms from our own pages only, small bodies only."""

from __future__ import annotations

from collections.abc import Callable, Collection
from urllib.parse import urlsplit

from starlette.concurrency import run_in_threadpool
from starlette.datastructures import Headers, MutableHeaders
from starlette.requests import cookie_parser
from starlette.responses import PlainTextResponse, Response
from starlette.types import ASGIApp, Message, Receive, Scope, Send

from breadline.language import noted, say
from breadline.web.stranger import not_known, phone_pages_only

HERE = {"127.0.0.1", "localhost", "::1"}
ASKING = {"GET", "HEAD", "OPTIONS"}
MIB = 1024 * 1024  # bytes
LONGEST_FORM = 64 * 1024  # bytes; the longest form we have is under 2 kB
LONGEST_SHEET = 4 * MIB  # bytes; colonies of trials, on their own pages only
LONGEST_BROUGHT = 16 * MIB  # bytes; what is brought into the book, on its own pages only
TAKES_BROUGHT = frozenset({"/bring-in", "/weather"})
TAKES_SHEETS = frozenset({"/verdict", "/evidence/own", "/field/send", "/field/file"})
KEYING = "/field/keying/"  # a tally sheet has as many fields as its yard has hives

# No script (but see SCRIPTED), nothing from elsewhere. Charts are inline SVG with presentation
# attributes only, so no inline style is needed either.
POLICY = "; ".join(
    (
        "default-src 'none'",
        "style-src 'self'",
        "font-src 'self'",
        "img-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
    )
)
# The pages about feed work a price out again as it is typed: our own vendored script, and
# answers of this address, on those pages only. They work without it as well.
SCRIPTED = "/feed"
SCRIPT_POLICY = f"{POLICY}; script-src 'self'; connect-src 'self'"
# The phone pages are script through and through, with a worker that keeps them there without signal.
PHONE = "/field/"
PAIRING = "/pair"
STATIC = "/static/"
NAMED = f"{PHONE}app.webmanifest"  # a browser asks for it without its cookie, and it says a name and a mark
FOR_ALL = (PAIRING, STATIC, NAMED)  # what a phone may see before it is paired
FOR_PHONES = (*FOR_ALL, "/field", *(f"{PHONE}{name}" for name in (
    "", "worker.js", "parts.json", "yards.json", "send")))  # fmt: skip
# and after; questions, lists of hives, keying and all else are for this machine
HANDED_ON = ("forwarded", "x-forwarded-for", "x-forwarded-host", "x-real-ip")
COOKIE = "breadline_phone"
# a browser takes a cookie of this name over https alone, from this host alone
COOKIE_HTTPS = f"__Host-{COOKIE}"
FOREIGN = noted(
    "This form did not come from Breadline's own page. Open the page again and send it from there."
)
# A page is kept for the way back alone: a browser that may keep nothing cannot show a refused form again.
KEPT = "private, no-cache"
YEAR = 365 * 24 * 3600  # [s]
Knows = Callable[[str], bool]
PHONE_POLICY = f"{SCRIPT_POLICY}; worker-src 'self'; manifest-src 'self'"
SAFE_HEADERS = {
    "Content-Security-Policy": POLICY,
    "X-Content-Type-Options": "nosniff",
    # Nothing leaves for another host. "no-referrer" would also blank the Origin of
    # our own forms (Fetch standard), and then no form could prove where it came from.
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "geolocation=(), camera=(), microphone=()",
}


class Guard:
    """Refuses other hosts, foreign forms and long bodies; adds the safe headers to every answer."""

    def __init__(self, app: ASGIApp, hosts: Collection[str] = HERE, knows: Knows | None = None) -> None:
        """``hosts`` are names of this machine; ``knows`` tells a phone's token, where phones may come."""
        self.app, self.hosts, self.knows = app, frozenset(hosts) | HERE, knows

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] != "http":
            await self.app(scope, receive, send)
            return

        async def send_safely(message: Message) -> None:
            if message["type"] == "http.response.start":
                headers = MutableHeaders(scope=message)
                for name, value in SAFE_HEADERS.items():
                    headers[name] = value
                if scope.get("scheme") == "https":  # who came safely once never comes otherwise
                    headers["Strict-Transport-Security"] = f"max-age={YEAR}"
                if scope["path"].startswith(SCRIPTED):
                    headers["Content-Security-Policy"] = SCRIPT_POLICY
                if scope["path"].startswith(PHONE):
                    headers["Content-Security-Policy"] = PHONE_POLICY
                headers["Cache-Control"] = _kept(scope["path"], headers)
            await send(message)

        refused: Response | None = refusal(scope, self.hosts)
        if refused is None and self.knows is not None:  # it asks the book
            refused = await run_in_threadpool(self._stranger, scope)
        if refused is None and scope["method"] not in ASKING:
            longest = _longest(scope)
            body = await _body(receive, longest)
            if body is None:
                return  # the sender left halfway: half a form changes nothing
            refused = _too_long(longest) if len(body) > longest else None
            receive = _again(body, receive)
        await (refused or self.app)(scope, receive, send_safely)

    def _stranger(self, scope: Scope) -> Response | None:
        """Who is not at this machine has to be paired, and then has the phone pages only."""
        client = scope.get("client") or ("",)
        if self.knows is None or client[0] in HERE or room_of(scope["path"], FOR_ALL):
            return None  # where no phone may come, nobody but this machine is listened to
        token = cookie_parser(Headers(scope=scope).get("cookie", "")).get(cookie_of(scope), "")
        if not token or not self.knows(token):
            return not_known(scope, bool(token))
        return None if room_of(scope["path"], FOR_PHONES) else phone_pages_only(scope)


def _kept(path: str, headers: MutableHeaders) -> str:
    """What a browser may keep: style and script only until they are others, as after an upgrade."""
    if path.startswith(STATIC):
        return "no-cache"
    return KEPT if _is_page(headers) else "no-store"


def _is_page(headers: MutableHeaders) -> bool:
    return headers.get("content-type", "").startswith("text/html")


def cookie_of(scope: Scope) -> str:
    """The name of the cookie that holds a phone's token."""
    return COOKIE_HTTPS if scope.get("scheme") == "https" else COOKIE


def refusal(scope: Scope, hosts: Collection[str] = HERE) -> PlainTextResponse | None:
    """The answer to a request that may not pass, or None where it may."""
    headers = Headers(scope=scope)
    if any(name in headers for name in HANDED_ON):  # behind a proxy everybody would be this machine
        return PlainTextResponse(
            say("Breadline answers nobody through a proxy: see the guide In the yard."), 421
        )
    host = headers.get("host", "")
    if _name_of(f"http://{host}") not in hosts:
        return PlainTextResponse(_another_name(hosts), 421)
    if scope["method"] in ASKING:
        return None
    if not _own_form(headers, scope.get("scheme", "http"), host):
        return PlainTextResponse(say(FOREIGN), 403)
    length = headers.get("content-length", "0")
    if not length.isdecimal() or int(length) > _longest(scope):
        return _too_long(_longest(scope))
    return None


def _another_name(hosts: Collection[str]) -> str:
    """What somebody is told who asks for a name that is not this machine's: where to go instead."""
    if HERE.issuperset(hosts):
        return say("Breadline answers on this machine only: open http://127.0.0.1 with the port it printed.")
    return say("Breadline is not reached by that name here: open the address that it printed on the laptop.")


def room_of(path: str, rooms: Collection[str]) -> bool:
    """Whether a path is one of these, or lies in the folder of what never changes."""
    return any(path == room or (room == STATIC and path.startswith(room)) for room in rooms)


def _own_form(headers: Headers, scheme: str, host: str) -> bool:
    origin = headers.get("origin")
    if origin is not None:
        return origin == f"{scheme}://{host}"
    return headers.get("sec-fetch-site") == "same-origin"


def _name_of(url: str) -> str:
    try:
        return urlsplit(url).hostname or ""
    except ValueError:
        return ""


def _longest(scope: Scope) -> int:
    """How long a body may be where it is sent to."""
    if scope["path"] in TAKES_BROUGHT:
        return LONGEST_BROUGHT
    sheet = scope["path"] in TAKES_SHEETS or scope["path"].startswith(KEYING)
    return LONGEST_SHEET if sheet else LONGEST_FORM


def _too_long(longest: int) -> PlainTextResponse:
    most = f"{longest // MIB} MiB" if longest >= MIB else f"{longest // 1024} KiB"
    return PlainTextResponse(say("Too long: what is sent here may have at most {most}.", most=most), 413)


async def _body(receive: Receive, longest: int) -> bytes | None:
    """The body, whole or read just past the limit; None where the sender left before its end."""
    body = b""
    while True:
        message = await receive()
        if message["type"] == "http.disconnect":
            return None
        body += bytes(message.get("body", b""))
        if len(body) > longest or not message.get("more_body", False):
            return body


def _again(body: bytes, receive: Receive) -> Receive:
    """A body that was read once, to be read by the page; after it, whatever comes."""
    told = False

    async def again() -> Message:
        nonlocal told
        if told:
            return await receive()
        told = True
        return {"type": "http.request", "body": body, "more_body": False}

    return again
