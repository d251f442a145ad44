"""From the list of yards every page is two steps away, and no link leads to nowhere. All invented."""

from __future__ import annotations

import hashlib
import re
from html import escape

import pytest
from fastapi.routing import APIRoute

from breadline.knowledge.calendars import regions
from breadline.knowledge.data import sources
from breadline.language import LANGUAGES, PRETENDED
from breadline.web import app as web
from web.anything_sent import How, broken_by
from web.crawl import ANSWERS, DRAWN, SHEETS, YARD, crawled, place_hives, small_book
from web.for_everybody import (
    AXE,
    barred,
    barred_as_it_stands,
    out_of_reach,
    out_of_reach_as_it_stands,
    phone,
    phone_screens,
    shown_again,
)
from web.form_names import forms_of
from web.form_names import route_of as alike_form
from web.served import serving
from web.test_languages import bare

# A hive's own page is reached by its tag in the yard, and by its name in the list of hives.
FROM_THE_HIVES = {"/hives/{colony_id}"}
FROM_A_PHONE = {"/pair"}


# Every page is looked at by a soak; these have a picture, many fields, a table, a file to choose.
LOOKED_AT = ("/", "/yards/0", "/yards/new", "/straight-answer", "/rounds/0", "/check-group/draw", "/weather")
ON_THE_PHONE = (
    "which yard", "which visit", "a hive that is not listed", "Feeding round, a hive with taps",
    "Grading, all hives entered",
)  # fmt: skip
EDITED = ("low", "typical", "high")
BY_KEYBOARD = ("/straight-answer", "/rounds/0", "/field/keying")


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    with small_book(tmp_path_factory.mktemp("steps") / "book.sqlite") as made:
        yield made


@pytest.fixture(scope="module")
def client(small):
    return small[1]


OF_THE_BOOK = (
    "Sorrel Bend Bees (invented)", "Mill Shoals", DRAWN["name"], "about 20 lb a colony", "weather.csv",
    "MB", "CSV", "GeoJSON", *sources().values(), *(f"⟦{name}⟧, {country}" for _, name, country in regions()),
)  # fmt: skip
# Converted as a whole; tests/house/not_yet_in_the_catalogue.txt has the templates that wait.
CONVERTED = ("/", "/yards/", "/weather", "/settings", "/field/questions", "/field/hives/", "/field/keying/",
             "/field/entries/", "/straight-answer", "/language", "/foretelling", "/county",
             "/evidence/own", "/check-group/draw", "/check-group/size", "/verdict", "/bring-in")  # fmt: skip


def test_no_sentence_of_a_converted_page_comes_round_the_catalogue(client, steps, monkeypatch):
    _, asked, _ = steps
    monkeypatch.setitem(LANGUAGES, PRETENDED, "Pretended")
    left = {}
    for address in first_of(asked, CONVERTED):
        html = client.get(address, headers={"cookie": f"language={PRETENDED}"}).text
        for told in sorted(OF_THE_BOOK, key=len, reverse=True):
            html = html.replace(escape(told, quote=False).replace("'", "&#39;").replace('"', "&#34;"), "")
        html = re.sub(r"/\S*/book\.sqlite|Pretended|\b[2-9A-Z]{4}\b", "", html)  # a path, a sheet's code
        words = bare(html)
        left |= {address: words} if words else {}
    assert left == {}


@pytest.fixture(scope="module")
def steps(client):
    """Every address that is reached in so many steps, the pages asked for, and the links that failed."""
    seen = crawled(client)
    return seen.found, seen.asked, seen.broken


def test_every_page_is_two_steps_from_the_yards(steps):
    found, *_ = steps
    far = []
    for screen in web.SCREENS:
        for route in screen.router.routes:
            assert isinstance(route, APIRoute)
            apart = route.path in ANSWERS | FROM_THE_HIVES | FROM_A_PHONE or SHEETS.search(route.path)
            if "GET" not in route.methods or apart:
                continue
            if not any(route.path_regex.match(address.partition("?")[0]) for address in found):
                far.append(route.path)
    assert far == []


def test_no_form_takes_a_field_that_nobody_reads(client, steps):
    _, asked, _ = steps
    seen, taken = set(), []
    before = client.app.state.book_path.read_bytes()
    for address, text in asked.items():
        for method, action, form in forms_of(text, address):
            if (to := (method, alike_form(method, action))) in seen:
                continue
            seen.add(to)
            sent = form.stands | {"frames_seen": "eleven and a bit"}
            ask = {"params": sent} if method == "get" else {"data": sent}
            answer = client.request(method, action.partition("#")[0], **ask, follow_redirects=False)
            shown = "eleven and a bit" in answer.text and "frames_seen" in answer.text
            if answer.status_code != 409 or not shown:
                taken.append((*to, answer.status_code))
    assert taken == []
    assert len(seen) > 30
    assert client.app.state.book_path.read_bytes() == before


def test_no_link_leads_to_nowhere_or_to_another_host(steps):
    found, _, broken = steps
    assert broken == []
    assert all(address.startswith("/") for address in found)


def test_the_screens_stand_in_the_order_of_the_loop(steps):
    _, asked, _ = steps
    menu = asked["/"].partition('aria-label="Screens"')[2].partition("</nav>")[0]
    names = re.findall(r">([^<]+)</a>", menu)
    loop = ["Yards", "Feed", "Rounds", "Check group", "Verdict", "Evidence"]
    assert names == [*loop, "Figures", "In the yard", "Straight answer"]


# Where a computed figure stands -> where what it is computed with is edited (docs/method/figures.md).
RESTS_ON = {
    "/yards/": r"/figures/[a-z_]+\.\w+", "/rounds/freezer": r"/figures/[a-z_]+\.\w+",
    "/feed/recipe/": r"/figures/[a-z_]+\.\w+", "/feed/ingredients": r"/feed/recipe/",
    "/feed/cheapest/": r"/feed/recipe/", "/feed/batch/": r"/feed/recipe/", "/feed": r"/feed/ingredients",
    "/evidence": r"/figures/[a-z_]+\.\w+", "/county": r"/yards/", "/foretelling": r"/yards/", "/": r"/yards/",
    "/check-group/": r"/check-group/[\w-]+",
}  # fmt: skip


@pytest.mark.parametrize("start", RESTS_ON)
def test_what_is_computed_is_one_step_from_what_it_rests_on(steps, start):
    """A link in the page itself, beside that of the screens: to its figures, recipe, yard or trial."""
    _, asked, _ = steps
    html = next(text for address, text in asked.items() if address == start or address.startswith(start))
    of_the_page = html.partition("<main")[2]
    assert re.search(f'(href|action)="{RESTS_ON[start]}', of_the_page)


@pytest.mark.parametrize("where", ["/rounds/freezer", "/feed/recipe/"])
def test_an_edited_figure_is_marked_where_its_result_is_shown(client, steps, where):
    _, asked, _ = steps
    address = next(one for one in asked if one.startswith(where))
    key = re.search(r'href="/figures/([a-z_]+\.\w+)"', asked[address].partition("<main")[2])[1]
    assert "edited by you" not in asked[address]
    one = client.get(f"/figures/{key}").text
    told = {name: re.search(rf'name="{name}"[^>]*value="([^"]+)"', one)[1] for name in EDITED}
    done = client.post(f"/figures/{key}", data=told | {"why": "as it was, and mine"}, follow_redirects=False)
    assert done.status_code == 303, done.text
    html = client.get(address).text
    client.post(f"/figures/{key}/undo")
    behind = html[html.index("Every figure behind this answer") - 40 :].partition("</details>")[0]
    assert "1 edited)" in behind
    assert "<details open>" in behind
    assert behind.count('class="edited"') == 1
    assert "edited by you" not in client.get(address).text


def test_a_page_is_light(steps):
    _, asked, _ = steps
    heavy = {address: len(text.encode()) for address, text in asked.items() if len(text.encode()) > 300_000}
    assert heavy == {}


def test_a_page_with_all_that_it_loads_weighs_under_300_kb_as_a_browser_gets_it(client, steps):
    _, asked, _ = steps
    heaviest = sorted(asked, key=lambda address: len(asked[address]))[-5:]
    assert {address for address in heaviest if not 20_000 < sent_with_all(client, address) < 300_000} == set()


def test_what_is_kept_as_a_file_comes_with_its_length_and_not_packed(client):
    answer = client.post("/settings/take-out/json")
    assert answer.status_code == 200
    assert "content-encoding" not in answer.headers
    assert int(answer.headers["content-length"]) == len(answer.content)


def sent_with_all(client, address):
    """Bytes that come for a page, its styles, scripts, pictures and the fonts of its styles."""
    answer = client.get(address)
    assert answer.headers["content-encoding"] == "gzip"
    loads = set(re.findall(r'(?:href|src)="(/static/[^"]+)"', answer.text))
    for style in [one for one in loads if one.endswith(".css")]:
        loads |= {f"/static/{font}" for font in re.findall(r'url\("?([^")]+\.woff2)', client.get(style).text)}
    assert any(one.endswith(".woff2") for one in loads)
    return sum(int(client.get(one).headers["content-length"]) for one in (address, *loads))


def first_of(asked, starts):
    """One page of each kind."""
    return [next(one for one in asked if one == start or one.startswith(start)) for start in starts]


@pytest.mark.browser
def test_axe_finds_nothing_and_a_zoom_of_two_hundred_per_cent_needs_no_sideways_scrolling(browser, steps):
    _, asked, _ = steps
    with shown_again(browser, asked) as page:
        found = [line for address in first_of(asked, LOOKED_AT) for line in barred(page, address)]
    assert found == []


@pytest.mark.browser
def test_the_keyboard_alone_reaches_everything_in_order_with_a_ring_of_focus(browser, steps):
    _, asked, _ = steps
    with shown_again(browser, asked) as page:
        found = [line for address in first_of(asked, BY_KEYBOARD) for line in out_of_reach(page, address)]
    assert found == []


@pytest.mark.browser
def test_the_screens_of_the_phone_keep_nobody_out(browser, small):
    app, client = small
    place_hives(client)
    found, seen = [], set()
    with serving(app) as where, phone(browser, where) as page:
        for name in phone_screens(page, YARD):
            if name.partition(", ")[2] in ON_THE_PHONE:
                seen.add(name)
                found += [*barred_as_it_stands(page, name), *out_of_reach_as_it_stands(page, name)]
    assert len(seen) == len(ON_THE_PHONE)
    assert found == []


def test_axe_is_the_one_that_was_checked():
    for line in (AXE / "CHECKSUMS").read_text("utf-8").splitlines():
        digest, name = line.split()
        assert hashlib.sha256((AXE / name).read_bytes()).hexdigest() == digest


def test_what_the_servers_description_allows_does_not_break_it_and_a_refusal_has_words(small, steps):
    """Last, since it writes into the book; a soak sends far more."""
    app, client = small
    _, asked, _ = steps
    assert list(broken_by(app, client, asked, How(examples=1, seed=8))) == []
