"""A list of forty yards on one sheet of paper, in both languages. All invented."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from web.pretend_book import PretendBook
from web.served import served

pytestmark = pytest.mark.browser
MANY = 40


class ManyYards(PretendBook):
    """The yards of the pretended book again and again, each under a name of its own."""

    def yards(self):
        few = super().yards()
        return [replace(few[n % len(few)], name=f"{few[n % len(few)].name} {n + 1}") for n in range(MANY)]


def test_forty_yards_stand_on_one_sheet_a_line_each(browser):
    with served(ManyYards()) as where:
        page = browser.new_page(viewport={"width": 1280, "height": 800})
        for tongue in ("en", "es"):
            page.goto(f"{where}/?language={tongue}")
            page.evaluate("document.fonts.ready.then(() => true)")
            assert page.locator(".yards .name").count() == MANY
            for paper in ("Letter", "A4"):
                printed = page.pdf(format=paper)
                assert len(re.findall(rb"/Type\s*/Page\b(?!s)", printed)) == 1, (tongue, paper)
        page.close()


def test_the_groups_of_twenty_four_yards_are_a_line_each(browser):
    row = "<tr><th scope=row>Old Scale</th><td>2</td><td>58</td></tr>"
    with served(PretendBook()) as where:
        page = browser.new_page(viewport={"width": 700, "height": 900})
        page.goto(where)
        page.emulate_media(media="print")
        for rows, most in ((24, 17), (5, 30)):
            made = f'<table class="kept-rounds"><tbody>{row * rows}</tbody></table>'
            page.evaluate("made => { document.querySelector('main').innerHTML = made; }", made)
            assert page.locator("tr").last.bounding_box()["height"] <= most, rows
        page.close()
