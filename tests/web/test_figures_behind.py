"""An answer lists the figures it is computed with; an edited one is counted and marked. All invented."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from urllib.parse import urlencode

import pytest
from pypdf import PdfReader
from starlette.testclient import TestClient

from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.yard_file import read_yard
from breadline.verdict.through_model import Mode
from breadline.web.app import create_app
from web.conftest import HERE
from web.test_done_to_one_group import GRADED, PRICES, asked
from web.test_evidence_own_page import through
from web.test_evidence_page import plain
from web.test_rounds_stock_page import VISIT, there
from web.test_verdict_page import sent

__all__ = ["asked", "there"]
TODAY = date(2026, 11, 20)
DRY_FEED = {"around": "100", "high_1": "58", "rain_1": "0", "humidity_1": "60", "sheltered": "yes"}
NOT_HERE = "No check group of this book has just these ends: it came as a file"
ENDS = ("low", "typical", "high")
# What each answer goes by, read from its own words, and one figure of it with ends that turn the answer.
VISITED = {"portion.patty_lb_g", "portion.eaten_up_share", "portion.ignored_share", "appetite.mg_bee_day"}
OF_A_VERDICT = {"belief.dearth_gain", "belief.season_sd", "belief.survival_dearth_gain"}
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


@pytest.fixture(scope="module")
def verdicts(tmp_path_factory):
    """The pages of a book without a yard, and the address of a verdict whose forage was noted."""
    path = tmp_path_factory.mktemp("behind") / "book.sqlite"
    BeliefBook(path, TODAY).open_operation("Sorrel Bend Bees (invented)")
    client = TestClient(create_app(path, None, lambda: TODAY), base_url=HERE, headers={"origin": HERE})
    return client, sent(client, situation="dearth").url.path


def rests(html: str) -> str:
    """What a verdict rests on."""
    return html.partition('id="rests"')[2].partition("</section>")[0]


def test_a_verdict_lists_the_figures_of_what_was_known_before_and_no_others(verdicts):
    client, where = verdicts
    html = client.get(where).text
    assert keys(html) == OF_A_VERDICT
    assert 'href="/verdict"' in rests(html)
    assert 'href="/evidence"' in rests(html)
    assert "by the belief about published trials alone" in rests(html)
    assert_marked(client, where, "belief.dearth_gain")
    alone = sent(client).text
    assert "Every figure behind" not in alone
    assert "no figure of the page Figures enters it" in rests(alone)


def test_a_verdict_shown_again_goes_by_the_figure_that_was_edited_on_its_page_and_its_paper(verdicts):
    client, where = verdicts

    def told() -> tuple[str, str]:
        answer = client.get(f"{where}/page.pdf").content
        paper = " ".join(PdfReader(io.BytesIO(answer)).pages[0].extract_text().split())
        return plain(client.get(where).text), paper

    none = "fed through a real pollen dearth, is less than 1 in 10"
    assert not any(none in one for one in told())
    with edited(client, "belief.dearth_gain", (-1.1, -1.0, -0.9)):  # fed ones have a third of the bees
        assert all(none in one for one in told())
    assert not any(none in one for one in told())


def test_what_own_check_groups_taught_leads_to_its_figures_and_its_trial(asked):
    pages, where = asked
    client, priced = pages.client, pages.sent(f"{where}/verdict", **PRICES, situation="dearth")
    assert f'href="{where}#ends"' in rests(client.get(priced).text)
    said = {"season": "autumn 2026", "situation": "dearth"}
    learnt = through(client, client.post(f"{priced}/learn", data=said))
    assert learnt.url.path == "/evidence/own"
    own = client.get("/evidence/own").text
    assert keys(own) == OF_A_VERDICT | {"belief.survival_season_share"}
    assert f'href="{where}"' in own.partition("Learnt from")[2]
    assert NOT_HERE not in own
    assert_marked(client, "/evidence/own", "belief.season_sd")
    with edited(client, "belief.dearth_gain", (-1.1, -1.0, -0.9)):
        assert "moved from 63 % fewer bees" in plain(client.get("/evidence/own").text)  # exp(−1) is 0.37
    other = sent(client, situation="dearth").text
    assert "goes by 1 earlier result of your own" in rests(other)
    assert 'href="/evidence/own"' in rests(other)


def test_what_a_gram_replaced_leads_to_the_yards_whose_season_model_was_asked(asked):
    pages, where = asked
    priced = pages.sent(f"{where}/verdict", **PRICES, situation="dearth")
    through(
        pages.client, pages.client.post(f"{priced}/learn", data={"season": "2026", "situation": "dearth"})
    )
    book = BeliefBook(pages.path, TODAY)
    yard = book.add_yard(replace(read_yard(FIRST_YARD / "yard.toml"), name="Rook Hollow"))
    assert f'href="/yards/{yard}"' not in pages.client.get("/evidence/own").text
    (lesson,) = book.lessons()
    book.learn(replace(lesson.taught, modes=(Mode(0.2, 0.5, 0.9, 1.0),)))
    own = pages.client.get("/evidence/own").text
    assert f'<a href="/yards/{yard}">Rook Hollow</a>' in own.partition("Learnt from")[2]


def test_a_lesson_whose_trial_has_another_end_since_does_not_say_that_it_came_as_a_file_alone(asked):
    pages, where = asked
    pages.day = GRADED
    priced = pages.sent(f"{where}/verdict", **PRICES, situation="dearth")
    said = {"season": "autumn 2026", "situation": "dearth"}
    through(pages.client, pages.client.post(f"{priced}/learn", data=said))
    first = pages.trial(where).design.started[0].tag
    was = next(one for one in pages.trial(where).ended if one.tag == first)
    other = {"tag": first, "status": "graded", "because": "typed wrongly"}
    pages.sent(f"{where}/ends", **other, outcome=f"{was.outcome + 0.5:g}")
    own = pages.client.get("/evidence/own").text
    assert NOT_HERE in own
    assert "or an end was corrected since" in own
    pages.sent(f"{where}/ends", **other, outcome=f"{was.outcome:g}")
    assert NOT_HERE not in pages.client.get("/evidence/own").text


def test_a_lesson_from_a_file_says_that_its_colonies_are_not_in_the_book(verdicts):
    client, where = verdicts
    said = {"season": "autumn 2026", "situation": "dearth"}
    own = through(client, client.post(f"{where}/learn", data=said)).text
    assert NOT_HERE in own
    assert "/check-group/" not in own.partition("<main")[2]
