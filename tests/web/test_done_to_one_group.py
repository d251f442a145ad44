"""The verdict of a drawn trial on its page: what was done to one group only is asked. All invented."""

from __future__ import annotations

from datetime import date

import pytest

from breadline.web.pages import working
from web.test_evidence_page import plain
from web.test_honey_in_pounds import HONEY, Pages

GRADED = date(2026, 11, 20)
FRAMES = HONEY | {"outcome": "frames", "break_even": "0.9", "margin": "0.5", "grading": GRADED.isoformat()}
PRICES = {"cost": "16", "price": "18", "money": "$", "year": "2026"}


@pytest.fixture(scope="module")
def asked(tmp_path_factory):
    """The pages of a book, and the address of a trial in it whose colonies all have their end."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(working, "WAIT_S", 120)
        pages = Pages(tmp_path_factory.mktemp("one") / "book.sqlite")
        where = pages.sent("/check-group/draw", **FRAMES)
        where = pages.sent(f"{where}/lock")
        rows = [
            f"{one.tag}\t{6 + one.arm + n % 3}\n" for n, one in enumerate(pages.trial(where).design.started)
        ]
        pages.sent(f"{where}/ends", table="tag\tframes\n" + "".join(rows))
        pages.day = GRADED
        yield pages, where


def test_a_drawn_trial_is_not_called_fair_before_it_was_asked(asked):
    pages, where = asked
    form = pages.client.get(where).text
    assert "Done to one group only" in plain(form)
    assert 'name="differently"' in form
    fair = plain(pages.client.get(pages.sent(f"{where}/verdict", **PRICES)).text)
    assert "Nothing that makes the comparison unfair." in fair
    strips = "the check hives of Rook Hollow got a patty in October, by mistake of the crew"
    told = pages.sent(f"{where}/verdict", **PRICES, differently=f" {strips} ")
    page = plain(pages.client.get(told).text)
    assert f"Groups handled differently: {strips}." in page
    assert "Not a fair comparison" in page
    assert "Nothing that makes the comparison unfair." not in page
