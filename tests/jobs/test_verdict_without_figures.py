"""What is told of a trial itself needs no figure of the shelf, as its page says. All invented."""

from __future__ import annotations

from datetime import date

import pytest

from breadline.jobs.verdict import Prices, VerdictAsked
from breadline.jobs.verdict_file import verdict_of_content
from breadline.jobs.verdict_onward import Onward, with_second_sentence
from breadline.jobs.verdict_page import page_of
from breadline.knowledge.shelf import Shelf
from house import tree
from jobs.travelled import text

DAY = date(2026, 12, 1)
ASKED = VerdictAsked(Prices(cost=16, price=18, year=2026))
SHEET = (tree.ROOT / "examples" / "first-verdict" / "colonies.csv").read_bytes()


class AskedFor(Exception):
    """A figure was taken from the shelf."""


@pytest.mark.parametrize(("name", "content"), [("colonies.csv", SHEET), ("trial.json", text().encode())])
def test_only_the_second_sentence_takes_figures_from_the_shelf(monkeypatch, name, content):
    def refuse(_, key):
        raise AskedFor(key)

    monkeypatch.setattr(Shelf, "__getitem__", refuse)
    found = verdict_of_content(name, content, ASKED, DAY)
    assert page_of(found).cells
    with pytest.raises(AskedFor, match=r"belief\."):
        with_second_sentence(found, Onward("dearth"))
