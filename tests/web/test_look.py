"""The pictures of every page that a person looks at before a change lands. All invented."""

from __future__ import annotations

import pytest
from PIL import Image
from scripts.look import look_at

from web.crawl import small_book
from web.served import serving

pytestmark = pytest.mark.browser


def test_a_page_is_drawn_at_each_size_with_what_it_weighs_and_says(browser, tmp_path):
    with small_book(tmp_path / "book.sqlite") as (app, _), serving(app) as where:
        line = look_at(browser, where, "/straight-answer", tmp_path)
        gone = look_at(browser, where, "/none", tmp_path, quick=True)
    widths = [Image.open(tmp_path / f"straight-answer.{size}.png").width for size in ("phone", "laptop")]
    assert widths == [390, 1280]
    assert (tmp_path / "straight-answer.Letter.pdf").read_bytes().startswith(b"%PDF")
    assert line.startswith("| /straight-answer | 200 | ")
    assert line.endswith("| nothing amiss |")
    assert int(line.split("|")[3].split()[0]) > 20  # kB: the page, its looks and fonts
    assert gone.startswith("| /none | 404 | ")
    assert "404" in gone.rpartition(" kB | ")[2]  # its console says so
