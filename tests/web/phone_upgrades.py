"""A program that becomes another version while a phone has its pages open."""

from __future__ import annotations

import time
from random import Random
from types import SimpleNamespace
from typing import Any

import pytest
from playwright.sync_api import Error

from breadline.language import language
from breadline.web.pages import field

GC = "--js-flags=--expose-gc"  # for clears_up_often
READY = "#field[data-ready=yes]"
PATIENCE_MS = 120_000  # a busy machine is no fault of the page [ms]
LONGEST_PAUSE_MS = 400  # between an opening and the next: about as long as a version takes to come [ms]


class Upgraded:
    """A running program whose phone pages say which version they are, in the page and in its manifest."""

    def __init__(self, where: str, patch: pytest.MonkeyPatch) -> None:
        self.where, self.version = where, 1
        self.patch, self.slow_s = patch, 0.0
        shell, app = field._shell, field.APP
        patch.setattr(
            field, "_shell", lambda: shell().replace("<html ", f'<html data-version="{self.version}" ')
        )
        patch.setattr(field, "_digest", self._digest)
        self._say = lambda: patch.setattr(field, "APP", app | {"description": str(self.version)})
        self._say()

    def _digest(self) -> str:
        time.sleep(self.slow_s)
        return f"{self.version}" if language() == "en" else f"{self.version}-{language()}"

    def upgrade(self) -> None:
        """Another version from now on."""
        self.version += 1
        self._say()

    def other_worker(self) -> None:
        """Another program of the worker itself from now on."""
        of = field.ENVIRONMENT.get_template
        text = of("field_worker.js").render() + "/* another */"

        def one(name: str) -> Any:
            return SimpleNamespace(render=lambda: text) if name == "field_worker.js" else of(name)

        self.patch.setattr(field, "ENVIRONMENT", SimpleNamespace(get_template=one))


def clears_up_often(context: Any) -> None:
    """Memory of the worker is cleared a hundred times a second, as on a phone that has little of it.

    What a browser still pumps out of a worker breaks off then; the browser is begun with ``GC``.
    """
    (worker,) = context.service_workers
    assert worker.evaluate("() => { setInterval(() => self.gc(), 10); return typeof self.gc; }") == "function"


def opened(page: Any) -> str:
    """The version of a page that is there now, and that all its parts are of that one."""
    page.wait_for_selector(READY)
    version: str = page.locator("html").get_attribute("data-version")
    part = page.evaluate("fetch('/field/app.webmanifest').then((came) => came.json())")["description"]
    assert part == version, f"page {version}, part {part}"
    return version


def seen(page: Any) -> str:
    """What a page shows that did not come in."""
    try:
        shown: str = page.evaluate("document.readyState + ': ' + document.body?.innerText")
    except Error as broken:
        return str(broken)
    return shown[:300].replace("\n", " / ")


def upgrades(page: Any, program: Upgraded, random: Random, many: int) -> list[str]:
    """Upgrade often, with openings and second tabs at random moments after; what did not come in."""
    context, wrong = page.context, []
    context.set_default_timeout(PATIENCE_MS)
    failed: list[str] = []
    context.on("requestfailed", lambda asked: failed.append(f"{asked.url}: {asked.failure}"))
    for n in range(many):
        program.upgrade()
        doing = "first opening"
        try:
            page.reload()
            opened(page)
            page.wait_for_timeout(random.uniform(0, LONGEST_PAUSE_MS))
            doing = "second tab"
            old, page = page, context.new_page()
            page.goto(f"{program.where}/field/")
            opened(page)
            old.close()
            page.wait_for_timeout(random.uniform(0, LONGEST_PAUSE_MS))
            doing = "opening again"
            page.reload()
            opened(page)
        except (Error, AssertionError) as broken:
            wrong.append(f"upgrade {n}, {doing}: {str(broken)[:300]} | {seen(page)} | {failed[-5:]}")
            page = context.new_page()
            page.goto(f"{program.where}/field/")
    return wrong
