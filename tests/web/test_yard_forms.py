"""A yard typed into forms: new, changed, looked at; in two tabs, twice, and back again. All invented."""

from __future__ import annotations

import re
from datetime import date

import pytest
from starlette.testclient import TestClient

from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.yard_file import read_yard
from breadline.jobs.yard_said import SaidBook
from breadline.records import yards
from breadline.records.engine import looking, open_book
from breadline.web.app import create_app
from web.conftest import HERE
from web.served import serving

TODAY = date(2026, 1, 20)
NEW = {"name": "Hazel Bank", "colonies": "12", "latitude": "33.9", "longitude": "-83.6", "country": "us",
       "aim": "splits", "aim_on": "2026-03-25", "aim_frames": "8", "kept_for": "trade",
       "bloom-0-name": "Red maple", "bloom-0-start": "10 Feb", "bloom-0-end": "March 20"}  # fmt: skip
LOOK = {"on": "2026-01-19", "frames_of_bees": "5.5", "frame_means": "one_layer", "frames_of_brood": "1",
        "bread": "0.25", "bread_unit": "frames", "deep": "1", "honey": "light", "coming_in": "little",
        "mites_per_100": "0.5", "mites_on": "2026-01-10", "colonies_looked_in": "4"}  # fmt: skip


@pytest.fixture
def book(tmp_path):
    return SaidBook(tmp_path / "book.sqlite", TODAY)


@pytest.fixture
def client(book):
    app = create_app(book.path, None, lambda: TODAY)
    return TestClient(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)


def known(book, key):
    """The yard as an answer would go by it."""
    with looking(open_book(book.path)) as session:
        return yards.yard_as_known(session, yards.yards(session)[0].id, TODAY), key


def test_a_yard_and_its_count_are_typed_in_and_an_answer_goes_by_them(client, book):
    counted = client.post("/yards/new", data=NEW)
    assert "Hazel Bank is written down. Its season begins at a count." in counted.text
    key = counted.url.path.split("/")[2]
    without = client.get(f"/yards/{key}")
    assert "no count of bread" in without.text
    assert f'href="/yards/{key}/look"' in without.text
    assert "Written down." in client.post(f"/yards/{key}/look", data=LOOK).text
    yard, _ = known(book, key)
    assert (yard.name, yard.colonies, yard.place.country) == ("Hazel Bank", 12, "US")
    assert (yard.goal.aim, yard.goal.on, yard.goal.frames) == ("splits", date(2026, 3, 25), 8)
    assert [(one.name, one.start, one.end) for one in yard.bloom] == [("Red maple", (2, 10), (3, 20))]
    count = yard.count
    assert (count.frames_of_bees, count.frame_means, count.bread, count.bread_unit) == (
        5.5, "one_layer", 0.25, "frames",
    )  # fmt: skip
    assert (yard.health.honey, yard.health.mites_per_100, yard.forage.coming_in) == ("light", 0.5, "little")
    assert yard.health.mites_on == date(2026, 1, 10)


def test_the_same_form_sent_twice_writes_once(client, book):
    keys = {client.post("/yards/new", data=NEW).url.path for _ in range(2)}
    assert len(keys) == 1
    key = keys.pop().split("/")[2]
    told = [client.post(f"/yards/{key}/look", data=LOOK).text for _ in range(2)]
    assert "The same stands already" in told[1]
    assert len(book.looks(key)) == 1


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("colonies", "8,5", "Write a decimal point"),
        ("name", "", "what you call the yard"),
        ("latitude", "-33.9", "lies north of the equator"),
        ("country", "Ohio", "is no country code"),
        ("aim_on", "25.3.2026", "year-month-day"),
        ("bloom-0-start", "31 February", "a day and a month"),
        ("bloom-0-strength", "7", "0 to 1"),
    ],
)
def test_a_fact_that_cannot_be_is_refused_beside_its_field_and_all_is_kept(client, book, field, typed, words):
    answer = client.post("/yards/new", data=NEW | {field: typed})
    beside = answer.text.partition(f'id="wrong-{field}"')[2].partition("</span>")[0]
    assert answer.status_code == 422
    assert words in beside
    assert f'name="{field}" value="{typed}"' in answer.text
    assert 'value="Red maple"' in answer.text
    assert book.yard_names() == ()


@pytest.mark.parametrize(
    ("field", "typed", "words"),
    [
        ("frames_of_bees", "25", "more than 1 box of 10 frames hold"),
        ("frame_means", "", "Say which one you count by"),
        ("bread", "lots", "is not a number"),
        ("bread", "", "a season begins at a count"),
        ("on", "2026-02-01", "lies ahead of today"),
        ("mites_per_100", "-1", "0 to 100"),
    ],
)
def test_a_count_that_cannot_be_is_refused_beside_its_field_and_all_is_kept(
    client, book, field, typed, words
):
    key = book.new_yard(NEW)
    answer = client.post(f"/yards/{key}/look", data=LOOK | {field: typed})
    beside = answer.text.partition(f'id="wrong-{field}"')[2].partition("</span>")[0]
    assert answer.status_code == 422
    assert words in beside
    assert 'name="mites_on" value="2026-01-10"' in answer.text
    assert book.looks(key) == ()


def test_queens_that_lay_ask_in_how_many_hives_they_were_looked_for(client, book):
    key = book.new_yard(NEW)
    answer = client.post(f"/yards/{key}/look", data=LOOK | {"queens_laying": "5"})
    beside = answer.text.partition('id="wrong-queens_looked_for"')[2].partition("</span>")[0]
    assert answer.status_code == 422
    assert "is missing beside 5 that lay" in beside.lower()
    assert 'name="queens_laying" value="5"' in answer.text
    assert book.looks(key) == ()


def test_two_tabs_on_one_yard_lose_nothing(client, book):
    key = book.new_yard(NEW)
    stands = book.facts_now(key).stands
    first = client.post(f"/yards/{key}/facts", data=NEW | {"colonies": "14", "stands": stands})
    assert "Changed." in first.text
    late = client.post(f"/yards/{key}/facts", data=NEW | {"colonies": "10", "stands": stands})
    assert late.status_code == 422
    assert "changed since this page was opened: colonies 14" in late.text
    assert 'name="colonies" value="10"' in late.text
    again = re.search(r'name="stands" value="([^"]+)"', late.text)[1]
    assert "Changed." in client.post(
        f"/yards/{key}/facts", data=NEW | {"colonies": "10", "stands": again}
    ).text  # fmt: skip
    with looking(open_book(book.path)) as session:
        told = yards.fact_history(session, yards.yards(session)[0].id)
    assert [one.colonies for one in told] == [12, 14, 10]


def test_bloom_that_begins_by_warmth_and_the_notes_of_a_file_stay(client, book):
    book.add_yard(read_yard(FIRST_YARD / "yard.toml"))
    (key,) = book.keys_by_name().values()
    before, _ = known(book, key)
    now = book.facts_now(key)
    assert not book.say_facts(key, now.typed, now.stands)
    assert book.say_facts(key, dict(now.typed) | {"colonies": "30"}, now.stands)
    after, _ = known(book, key)
    assert after.colonies == 30
    assert (after.bloom, after.notes, after.goal, after.place) == (
        before.bloom, before.notes, before.goal, before.place,
    )  # fmt: skip


def test_a_look_without_bread_is_held_against_the_outlook_and_one_taken_back_counts_no_more(client, book):
    key = book.new_yard(NEW)
    book.say_look(key, LOOK)
    later = {"on": "2026-01-20", "frames_of_bees": "6", "frame_means": "one_layer", "deep": "1"}
    assert "Written down." in client.post(f"/yards/{key}/look", data=later).text
    yard, _ = known(book, key)
    assert (yard.count.frames_of_bees, [one.frames_of_bees for one in yard.inspections]) == (5.5, [6.0])
    newest = book.looks(key)[0]
    refused = client.post(f"/yards/{key}/look/take-back", data={"look": newest.id})
    assert "Why it was wrong: is missing." in refused.text
    gone = client.post(f"/yards/{key}/look/take-back", data={"look": newest.id, "because": "another yard"})
    assert "Taken back." in gone.text
    assert known(book, key)[0].inspections == ()


@pytest.mark.browser
def test_in_a_browser_without_script_and_after_going_back_what_was_typed_is_there(browser, book):
    with serving(create_app(book.path, None, lambda: TODAY)) as where:
        context = browser.new_context(viewport={"width": 390, "height": 844}, java_script_enabled=False)
        page = context.new_page()
        page.goto(where)
        page.get_by_role("link", name="Type it in").click()
        page.wait_for_url("**/yards/new")
        for label, typed in (("Name", "Hazel Bank"), ("Colonies", "12"), ("Latitude", "33,9")):
            page.get_by_label(label, exact=False).first.fill(typed)
        page.get_by_role("button", name="Write the yard down").click()
        page.get_by_role("alert").first.wait_for()
        assert page.locator("#latitude").input_value() == "33,9"
        page.locator("#latitude").fill("33.9")
        page.get_by_role("button", name="Write the yard down").click()
        page.wait_for_url("**/look?told=new")
        page.go_back()  # to the page that refused it
        page.get_by_role("alert").first.wait_for()
        assert page.locator("#name").input_value() == "Hazel Bank"
        page.get_by_role("button", name="Write the yard down").click()
        page.wait_for_url("**/look?told=new")
        context.close()
    assert book.yard_names() == ("Hazel Bank",)


def test_a_field_that_a_page_of_another_version_did_not_have_stays_as_it_is(client, book):
    full = NEW | {"first_reliable_pollen": "2026-02-01", "wants_feed_because": "a dry spring",
                  "bloom-0-strength": "0.5"}  # fmt: skip
    key = client.post("/yards/new", data=full).url.path.split("/")[2]
    older = {name: text for name, text in full.items() if name not in
             ("first_reliable_pollen", "wants_feed_because", "bloom-0-strength")}  # fmt: skip
    stands = {"stands": book.facts_now(key).stands}
    before = book.facts_now(key).typed
    assert "Changed." in client.post(f"/yards/{key}/facts", data=older | {"colonies": "14"} | stands).text
    assert book.facts_now(key).typed == before | {"colonies": "14"}
    stands = {"stands": book.facts_now(key).stands}
    client.post(f"/yards/{key}/facts", data=full | {"wants_feed_because": ""} | stands)
    assert book.facts_now(key).typed["wants_feed_because"] == "", "what is sent empty is taken out"
    stands = {"stands": book.facts_now(key).stands}
    without = {name: text for name, text in full.items() if not name.startswith("bloom-")}
    client.post(f"/yards/{key}/facts", data=without | stands)
    assert book.facts_now(key).typed["bloom-0-name"] == "Red maple", "a page that has no list of bloom"
    stands = {"stands": book.facts_now(key).stands}
    client.post(f"/yards/{key}/facts", data=without | stands | {"bloom-0-name": ""})
    assert "bloom-0-name" not in book.facts_now(key).typed, "a line that was cleared"
