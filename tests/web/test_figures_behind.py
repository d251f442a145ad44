"""An answer lists the figures it is computed with; an edited one is counted and marked. All invented."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from urllib.parse import urlencode

import pytest

from web.test_rounds_stock_page import VISIT, there

__all__ = ["there"]
DRY_FEED = {"around": "100", "high_1": "58", "rain_1": "0", "humidity_1": "60", "sheltered": "yes"}
ENDS = ("low", "typical", "high")
# What each answer goes by, read from its own words, and one figure of it with ends that turn the answer.
VISITED = {"portion.patty_lb_g", "portion.eaten_up_share", "portion.ignored_share", "appetite.mg_bee_day"}
OUT = {"dry_feed.fly_c", "dry_feed.g_colony_day", "dry_feed.days_out", "dry_feed.flight_range_km"}


def behind(html: str) -> str:
    """The list of figures behind the answer of a page."""
    at = html.index("Every figure behind this answer")
    return html[html.rindex("<details", 0, at) : html.index("</details>", at)]


def keys(html: str) -> set[str]:
    """The figures that are listed there, each a link to where it is changed."""
    return set(re.findall(r'href="/figures/([a-z_]+\.\w+)"', behind(html)))


@contextmanager
def edited(client, key: str, ends: tuple[float, float, float] | None = None) -> Iterator[None]:
    """A figure edited on its own page, as it stands where no ends are given, and put back."""
    form = client.get(f"/figures/{key}").text
    told = {name: re.search(rf'name="{name}"[^>]*value="([^"]+)"', form)[1] for name in ENDS}
    if ends is not None:
        told = dict(zip(ENDS, map(str, ends), strict=True))
    done = client.post(f"/figures/{key}", data=told | {"why": "seen otherwise here"}, follow_redirects=False)
    assert done.status_code == 303, done.text
    try:
        yield
    finally:
        client.post(f"/figures/{key}/undo")


def assert_marked(client, address: str, key: str) -> None:
    """Edited, the figure is counted, unfolded and marked in the list, alone; put back, it is not."""
    plain = behind(client.get(address).text)
    assert plain.startswith("<details><summary>")
    assert 'class="edited"' not in plain
    with edited(client, key):
        shown = behind(client.get(address).text)
    assert shown.startswith("<details open>")
    assert ", 1 edited)" in shown
    assert shown.count('class="edited"') == 1
    assert behind(client.get(address).text) == plain


@pytest.mark.parametrize(("page", "typed", "rests"), [("visit", VISIT, VISITED), ("dry-feed", DRY_FEED, OUT)])
def test_rounds_in_the_yard_list_their_figures_once_they_answer(there, page, typed, rests):
    client, yard, _ = there
    assert "Every figure behind" not in client.get(f"/rounds/{yard}/{page}").text
    address = f"/rounds/{yard}/{page}?{urlencode(typed)}"
    listed = keys(client.get(address).text)
    assert rests <= listed
    assert all(client.get(f"/figures/{key}").status_code == 200 for key in listed)
    assert_marked(client, address, min(rests))


def test_dry_feed_goes_by_the_figure_that_was_edited(there):
    client, yard, _ = there
    address = f"/rounds/{yard}/dry-feed?{urlencode(DRY_FEED)}"
    assert "Put it out" in client.get(address).text
    with edited(client, "dry_feed.fly_c", (16, 18, 20)):  # 58 °F are 14.4 °C
        shown = client.get(address).text
    assert "Put it out" not in shown
    assert "18 (16 to 20)" in behind(shown)


def test_a_visit_goes_by_the_figure_that_was_edited(there):
    client, yard, _ = there
    address = f"/rounds/{yard}/visit?{urlencode(VISIT)}"  # half of the piece is left
    not_taken = "nothing more on this hive until the reason is known"
    assert not_taken not in client.get(address).text
    with edited(client, "portion.ignored_share", (0.4, 0.4, 0.4)):
        assert not_taken in client.get(address).text
