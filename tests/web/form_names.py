"""Every form that any test is shown: the fields that it has are known where it is sent."""

from __future__ import annotations

from collections.abc import Iterator
from urllib.parse import parse_qsl, urlsplit

from breadline.web.form_fields import ASKED, SENT, unknown
from breadline.web.own_fields import MARK
from web.crawl import routes
from web.described import Form, _Forms


def forms_of(text: str, address: str = "") -> Iterator[tuple[str, str, Form]]:
    """Method, address and fields of each form of a page."""
    reader = _Forms()
    reader.feed(text)
    for method, action, form in reader.forms:
        yield method, action or address, form


def route_of(method: str, action: str) -> str:
    """The route that a form is sent to; "" where none takes it."""
    path = urlsplit(action).path
    fitting = (one for one in routes() if method.upper() in one.methods and one.path_regex.match(path))
    return next((one.path for one in fitting), "")


def not_in_the_table(text: str) -> Iterator[str]:
    """Fields of the forms of a page that the table of fields does not have, and marks that are not there."""
    for method, action, form in forms_of(text):
        if not action:
            continue
        route, table = route_of(method, action), SENT if method == "post" else ASKED
        names = {*form.offers, *form.files, *(name for name, _ in parse_qsl(urlsplit(action).query))}
        for name in sorted(unknown(table, route, names - {MARK})):
            yield f"{method} {action}: {name}"
        if method == "post" and MARK not in names:
            yield f"{method} {action} has no mark"
        if method == "get" and route not in ASKED:
            yield f"{method} {action}: its fields are held against nothing"
