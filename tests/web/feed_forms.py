"""Forms of a page as a browser would send them, for the tests of the pages about feed."""

from __future__ import annotations

from html.parser import HTMLParser

RECIPE = "Sorrel Bend spring patty"
RECIPE_PAGE = "/feed/recipe/Sorrel%20Bend%20spring%20patty"
CHEAPEST = "/feed/cheapest/Sorrel%20Bend%20spring%20patty"
BATCH = "/feed/batch/Sorrel%20Bend%20spring%20patty"
Form = dict[str, list[str]]


class _Fields(HTMLParser):
    """Every field of every form of a page, with what stands in it."""

    def __init__(self) -> None:
        super().__init__()
        self.fields: Form = {}
        self._select = ""

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        name, value = told.get("name") or "", told.get("value") or ""
        if tag == "select":
            self._select = name
            self.fields[name] = [""]
        elif tag == "option" and "selected" in told and self._select:
            self.fields[self._select] = [value]
        elif tag == "input" and name and told.get("type") != "file":
            if told.get("type") == "checkbox" and "checked" not in told:
                return
            self.fields.setdefault(name, []).append(value)


def form_of(page: str) -> Form:
    """The fields of a page by name, several values under one name where they are ticked boxes."""
    reader = _Fields()
    reader.feed(page)
    return reader.fields


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
