"""The server's description of itself, completed by the forms that its own pages show.

FastAPI knows the paths and what is asked in an address; what a form holds stands in the pages.
Every field may then hold what the page offers, what breaks careless readers, or any text at all.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from html.parser import HTMLParser
from typing import Any
from urllib.parse import unquote, urlsplit

from fastapi import FastAPI

from web.crawl import DRAWN, routes

NASTY = (
    "0", "-1", "1e999", "nan", "inf", "1,5", "１２", "\u0662", "9" * 30, "0.0000001", "2026-02-30",
    "9999-12-31", "0001-01-01", "yes", "on", "''; --", "<b>", "{{7*7}}", "../../x", "\u202e\u0000",
    "é\ud7ff", " ", "x" * 500,
    "00000000-0000-0000-0000-000000000000",
)  # fmt: skip
# What a person would write where a form stands empty.
WRITTEN = DRAWN | {
    "target.on": "2026-03-25", "target.frames": "8", "target.value": "15", "feed.name": "Patty",
    "feed.price": "1.45", "work.minutes_colony": "2", "work.wage": "20", "because": "seen in the yard",
    "piece": "1", "left": "20", "days": "7", "frames": "6", "outside": "50", "low": "1", "typical": "2",
    "high": "3", "why": "our own yard", "date": "2026-01-20", "on": "2026-01-19", "yard": "Mill Shoals",
    "bread": "0.25", "frames_of_bees": "5.5", "name": "Hazel Bank", "latitude": "33.9", "longitude": "-83.6",
    "colonies": "12", "rows": "MS-01, A1\nMS-02, A2", "number": "20",
}  # fmt: skip


@dataclass
class Form:
    """What a form sends as it stands, what each of its fields offers, and which of them are files."""

    stands: dict[str, str] = field(default_factory=dict)
    offers: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))
    files: set[str] = field(default_factory=set)


class _Forms(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.forms: list[tuple[str, str, Form]] = []
        self.select = ""

    def opened(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        a = {key: value or "" for key, value in attrs}
        name, value = a.get("name", ""), a.get("value", "")
        if tag == "form":
            self.forms.append((a.get("method", "get").lower(), a.get("action", ""), Form()))
        elif self.forms and tag == "option" and self.select:
            form = self.forms[-1][2]
            form.offers[self.select].add(value)
            if "selected" in a or self.select not in form.stands:
                form.stands[self.select] = value
        elif self.forms and name and tag in ("input", "select", "textarea", "button"):
            form = self.forms[-1][2]
            self.select = name if tag == "select" else ""
            if a.get("type") == "file":
                form.files.add(name)
            elif tag != "select":
                form.offers[name].add(value)
                if a.get("type") not in ("checkbox", "radio") or "checked" in a:
                    form.stands.setdefault(name, value or WRITTEN.get(name, ""))

    handle_starttag = opened


@dataclass(frozen=True)
class Described:
    """The OpenAPI description of an app, and what each form of its pages sends as it stands."""

    openapi: dict[str, Any]
    forms: Mapping[tuple[str, str], Form]


def described(app: FastAPI, pages: Mapping[str, str]) -> Described:
    """The description of the app with the forms of these pages, by their addresses."""
    said: dict[str, Any] = app.openapi()
    known: dict[str, set[str]] = defaultdict(set)  # values of the parts of a path
    forms: dict[tuple[str, str], Form] = defaultdict(Form)
    for address, text in pages.items():
        _learn(known, "GET", address)
        for link in re.findall(r'href="(/[^"#]*)"', text):
            _learn(known, "GET", link)
        reader = _Forms()
        reader.feed(text)
        for method, action, form in reader.forms:
            all_of = forms[method, _plain(_learn(known, method.upper(), action or address))]
            all_of.stands |= form.stands
            all_of.files |= form.files
            for name, values in form.offers.items():
                for like in (name, *_like(name)):
                    all_of.offers[like] |= values
    for path, methods in said["paths"].items():
        for method, operation in methods.items():
            _complete(operation, method, known, forms.get((method, path), Form()))
    return Described(said, forms)


def _plain(path: str) -> str:
    return path.replace(":path}", "}")


def _learn(known: dict[str, set[str]], method: str, address: str) -> str:
    """Note what stands in the parts of an address; the path of its route."""
    path = unquote(urlsplit(address).path)
    for one in routes():
        found = one.path_regex.match(path) if method in one.methods else None
        if found:
            for name, value in found.groupdict().items():
                known[name].add(value)
            return one.path
    return path


def _like(name: str) -> list[str]:
    """The same field of a line that the page does not have: the millionth, none, and one of no number."""
    if not re.search(r"\d", name):
        return []
    return [re.sub(r"\d+", other, name, count=1) for other in ("1000000", "", "x")]


def _complete(operation: dict[str, Any], method: str, known: Mapping[str, set[str]], form: Form) -> None:
    operation["responses"] = {"default": {"description": "a page"}}
    asked = {one["name"]: one for one in operation.get("parameters", [])}
    for name, one in asked.items():
        in_path = one["in"] == "path"
        one["schema"] = _any_of(known.get(name, ()) if in_path else form.offers.get(name, ()), in_path)
    if method == "get":
        more = [name for name in form.offers if name not in asked]
        in_address = [{"name": name, "in": "query", "schema": _any_of(form.offers[name])} for name in more]
        operation["parameters"] = [*asked.values(), *in_address]
    elif form.offers or form.files:
        parts: dict[str, Any] = {name: _any_of(values) for name, values in form.offers.items()}
        kind = "multipart/form-data" if form.files else "application/x-www-form-urlencoded"
        body = {"type": "object", "properties": parts, "additionalProperties": False}
        operation["requestBody"] = {"required": True, "content": {kind: {"schema": body}}}


def _any_of(offered: Iterable[str], path: bool = False) -> dict[str, Any]:
    nasty = [one for one in NASTY if not path or ("\x00" not in one and one.strip())]
    seen = sorted(set(offered))[:40]
    offers = [{"enum": seen}, {"enum": seen}] if seen else []
    text = {"type": "string", "maxLength": 30, **({"minLength": 1} if path else {})}
    return {"anyOf": [*offers, {"enum": nasty}, text]}
