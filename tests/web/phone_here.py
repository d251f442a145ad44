"""A phone at hand: the page open in a browser, over the server of a module, with a yard of its own."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from uuid import UUID

from sqlalchemy import select

from breadline.jobs.field_book import FieldBook
from breadline.jobs.yard_file import read_yard
from breadline.records.append_only import current
from breadline.records.engine import looking, open_book
from breadline.records.field_tables import FieldEntry, FieldReading
from breadline.records.tables import Reading

TODAY = datetime.now(UTC).date()
FIRST_YARD = Path(__file__).parents[2] / "examples" / "first-yard" / "yard.toml"
HIVES = [("A1", "pallet 1, left"), ("A2", "pallet 1, right"), ("A3", "pallet 2, left")]


class House:
    """A book with its server."""

    def __init__(self, path: Path, where: str) -> None:
        self.path, self.where, self.book, self.yards = path, where, FieldBook(path, TODAY), 0

    def new_yard(self) -> tuple[str, str]:
        """Key and name of one more yard with three hives."""
        self.yards += 1
        name = f"Yard {self.yards}"
        key = self.book.add_yard(replace(read_yard(FIRST_YARD), name=name))
        self.book.place_hives(key, HIVES)
        return key, name


@contextmanager
def phone_at(browser: Any, house: House, **how: Any) -> Iterator[Any]:
    """A phone with the page open."""
    context = browser.new_context(**{"viewport": {"width": 390, "height": 844}, "has_touch": True} | how)
    page = context.new_page()
    page.yard, page.yard_name = house.new_yard()
    page.messages = []
    page.on("pageerror", lambda error: page.messages.append(str(error)))
    page.goto(f"{house.where}/field/")
    page.wait_for_selector("#field[data-ready=yes]")
    yield page
    assert page.messages == []
    context.close()


def begin(page: Any, work: str = "Feeding round") -> None:
    page.get_by_role("button", name=re.compile(rf"^{page.yard_name}\b")).click()
    page.get_by_role("button", name=work).click()
    page.wait_for_selector(".tag")


def tap(page: Any, of: str, *names: str) -> None:
    """Tap keys and see each taken: a key is shown pressed only when the phone has kept it."""
    for name in names:
        key = page.locator(f"fieldset[data-of={of}]").get_by_role("button", name=name, exact=True)
        before = key.get_attribute("aria-pressed")
        key.click()
        until(page, lambda key=key, before=before: key.get_attribute("aria-pressed") != before)


def until(page: Any, so: Any) -> None:
    """Wait for something to be so; the page allows no script of others that could."""
    for _ in range(400):
        if so():
            return
        page.wait_for_timeout(25)
    raise AssertionError("it does not become so")


def heading(page: Any) -> str:
    return "".join(page.locator("h1").all_inner_texts()[:1])  # which does not wait for one


def next_hive(page: Any) -> None:
    tag = heading(page)
    page.locator(".next").click()
    page.get_by_text(f"{tag} is kept.").wait_for()
    until(page, lambda: heading(page) != tag)


def go_to(page: Any, tag: str) -> None:
    page.get_by_role("button", name="Another hive").click()
    page.locator(".tags").get_by_role("button", name=tag).first.click()
    until(page, lambda: heading(page) == tag)


def sent(page: Any) -> None:
    page.wait_for_selector("#waiting[data-waiting='0']")


def held(house: House, yard: str, kind: str = "frames_of_bees") -> dict[str, list[Any]]:
    """What holds of a kind in a yard, by the tag of the entry that it came with."""
    return held_in(house.path, yard, kind)


def held_in(path: Path, yard: str, kind: str = "frames_of_bees") -> dict[str, list[Any]]:
    """The same of any book."""
    with looking(open_book(path)) as session:
        wanted = select(FieldEntry).where(FieldEntry.yard_id == UUID(yard))
        tags = {row.id: row.tag for row in session.scalars(wanted)}
        rows = session.scalars(select(FieldReading))
        links = {row.reading_id: tags.get(row.entry_id) for row in rows}
        found: dict[str, list[Any]] = {}
        for row in session.scalars(current(Reading).where(Reading.kind == kind)):
            tag = links.get(row.id)
            if tag is not None:
                found.setdefault(tag, []).append(row.word if row.value is None else row.value)
    return found


def entries(house: House, yard: str) -> list[FieldEntry]:
    """All that came of a yard, oldest first."""
    with looking(open_book(house.path)) as session:
        wanted = select(FieldEntry).where(FieldEntry.yard_id == UUID(yard)).order_by(FieldEntry.id)
        return list(session.scalars(wanted))
