"""The same question asked of other yards: in the order of the work, with range, chance, feed and totals."""

from __future__ import annotations

import re
import time
from dataclasses import replace
from functools import partial
from urllib.parse import urlencode

import pytest
from starlette.testclient import TestClient

from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.rounds import Way
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.yard_file import read_yard
from breadline.web.app import create_app
from breadline.web.pages import rounds as pages
from house import tree
from web.conftest import HERE
from web.test_evidence_page import plain

FOLDER = tree.ROOT / "examples" / "first-rounds"
YARD = read_yard(FOLDER / "yard.toml")
TODAY = YARD.today
SECOND = '[[feed]]\nname = "Yeast patty"\nprice = 3.9\nper = "lb"\npatty_lb = 1\nsugar_pct = 45\n\n[work]'
WAITED_S = 240


@pytest.fixture(scope="module", autouse=True)
def few_draws():
    """What the pages say does not hang on how many seasons were run."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pages, "Way", partial(Way, draws=20))
        yield


@pytest.fixture(scope="module")
def there(tmp_path_factory):
    """A book of three yards; the first has a plan of one of two feeds. One of the others is mites first."""
    path = tmp_path_factory.mktemp("alike") / "book.sqlite"
    book = Book(path, TODAY)
    book.open_operation("Sorrel Bend Bees (invented)")
    first = book.add_yard(YARD, FIRST_YARD / "weather.csv")
    sick = replace(YARD, name="Aster", colonies=12, health=replace(YARD.health, foulbrood_signs=True))
    others = [book.add_yard(one, FIRST_YARD / "weather.csv")
              for one in (sick, replace(YARD, name="Yarrow", colonies=24))]  # fmt: skip
    rounds = RoundsBook(path, TODAY)
    text = (FOLDER / "rounds.toml").read_text("utf-8").replace("[work]", SECOND)
    told = rounds.rounds(first, text.replace("fee = 190 ", "fee = 900 "), Way(draws=20))
    rounds.keep_plan(first, told, told.taken(None))
    app = create_app(path, lambda p: Book(p, TODAY))
    client = TestClient(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)
    client.path = path
    return client, first, others


@pytest.fixture(scope="module")
def page(there):
    client, first, others = there
    query = urlencode([("of", first), *(("yard", key) for key in others)])
    until = time.monotonic() + WAITED_S
    while "The same for other yards" not in (text := client.get(f"/rounds/alike?{query}").text):
        assert time.monotonic() < until, text
    return text


def test_yards_stand_in_the_order_of_the_work(page):
    names = re.findall(r'class="name" href="/rounds/[^"]+">([^<]+)<', page)
    assert names == ["Yarrow", "Aster"], "what is fed first, then where something else comes first"


def test_each_row_has_feed_range_chance_and_what_to_order(page):
    (row,) = (plain(one) for one in re.findall(r"<tr>(.*?)</tr>", page, re.S) if "Yarrow" in one)
    assert "Protein patty, 20 Jan" in row
    assert re.search(r"−?US\$\d+ to US\$\d+", row)
    assert re.search(r"\d+ in 100", row)
    assert re.search(r"\d+ patties, \d+ lb", row)


def test_the_totals_are_of_what_is_fed(page):
    text = plain(page)
    assert "To order for all of them, spare included: " in text
    assert " lb of Protein patty; in all US$" in text
    assert "All of them together: expected US$" in text
    assert "Not in it: Aster, where something else comes before feed." in text


def test_a_plan_where_something_else_comes_first_is_not_ticked(there, page):
    _, _, (sick, sound) = there
    ticked = dict(re.findall(r'name="yard" value="([^"]+)"( checked)?> <span class="unseen">\w+:', page))
    assert ticked == {str(sick): "", str(sound): " checked"}


def test_the_list_of_rounds_names_the_feed_that_was_chosen_of_two(there):
    client, *_ = there
    assert '<div class="small soft">Protein patty</div>' in client.get("/rounds").text


def test_no_plan_gives_way_that_the_list_did_not_show(there, page):
    client, first, others = there
    seen = dict(re.findall(r'name="(seen-[^"]+)" value="([^"]+)"', page))
    assert set(seen.values()) == {"none"}
    yarrow = others[1]
    rounds, where = RoundsBook(client.path, TODAY), "/rounds/alike/choose"
    sent = {"of": first, "yard": yarrow, **seen}
    assert client.post(where, data=sent, follow_redirects=False).status_code == 303
    held = rounds.plan(yarrow).id
    for old in (sent, {"of": first, "yard": yarrow}):
        refused = client.post(where, data=old, follow_redirects=False)
        assert refused.status_code == 422
        told = plain(refused.text).casefold()
        assert "yarrow" in told
        assert "another plan is chosen there than the list showed" in told
        assert rounds.plan(yarrow).id == held
    again = client.get(f"/rounds/alike?{urlencode([('of', first), *(('yard', key) for key in others)])}").text
    assert f'name="seen-{yarrow}" value="{held}"' in again
    assert "Chosen till now" in again
    sent |= {f"seen-{yarrow}": held}
    assert client.post(where, data=sent, follow_redirects=False).status_code == 303
