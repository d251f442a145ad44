"""Forms of a page as a browser would send them, for the tests of the pages about feed."""

from __future__ import annotations

import re
from html import unescape

from breadline.web.own_fields import MARK

RECIPE = "Sorrel Bend spring patty"
RECIPE_PAGE = "/feed/recipe/Sorrel%20Bend%20spring%20patty"
CHEAPEST = "/feed/cheapest/Sorrel%20Bend%20spring%20patty"
BATCH = "/feed/batch/Sorrel%20Bend%20spring%20patty"
Form = dict[str, list[str]]

_TAG = re.compile(r"<(input|select|option)\b([^>]*)>")
_NAMED = re.compile(r'\b(name|value|type)="([^"]*)"')


def form_of(page: str) -> Form:
    """The fields of a page by name, several values under one name where they are ticked boxes."""
    fields: Form = {}
    chosen_in = ""
    for tag, inside in _TAG.findall(page):
        told = {key: unescape(value) for key, value in _NAMED.findall(inside)}
        name, value = told.get("name", ""), told.get("value", "")
        if name == MARK and name in fields:
            continue  # that of another form of the page
        if tag == "select":
            chosen_in, fields[name] = name, [""]
        elif tag == "option":
            if re.search(r"\sselected\b", inside):
                fields[chosen_in] = [value]
        elif name and (told.get("type") not in ("file", "checkbox") or re.search(r"\schecked\b", inside)):
            fields.setdefault(name, []).append(value)
    return fields


def typed(page: str, **changed: str) -> Form:
    """The form of a page with some fields changed; ``part_0_amount`` stands for ``part-0-amount``."""
    fields = form_of(page)
    for name, value in changed.items():
        parts = name.split("_", 2)
        key = "-".join(parts) if len(parts) == 3 and parts[1].isdigit() else name
        fields[key] = [value]
    return fields


def shown_in(page: str, field: str) -> list[str]:
    """What stands in a field of a page."""
    return form_of(page).get(field, [])
