"""Visits, dry feed and the freezer on the pages, over a real book. All invented."""

from __future__ import annotations

import re
from datetime import date
from urllib.parse import urlencode

import pytest
from starlette.testclient import TestClient

from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.freezer import FreezerBook, freezer_document
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.yard_file import read_yard
from breadline.web.app import create_app
from breadline.web.views import STYLES
from house import tree
from web.conftest import HERE
from web.test_evidence_page import plain

TODAY = date(2026, 1, 20)
VISIT = {"piece": "0.5", "left": "50", "days": "10", "maggots": "few", "frames": "6"}


@pytest.fixture(scope="module")
def there(tmp_path_factory):
    """The pages of a book with one yard, its key, and the book's path."""
    path = tmp_path_factory.mktemp("stock") / "book.sqlite"
    book = Book(path, TODAY)
    book.open_operation("Sorrel Bend Bees (invented)")
    yard = read_yard(tree.ROOT / "examples" / "first-rounds" / "yard.toml")
    key = book.add_yard(yard, FIRST_YARD / "weather.csv")
    app = create_app(path, lambda p: Book(p, TODAY))
    return TestClient(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False), key, path


def beside(text: str, field: str) -> str:
    """What stands beside a field that is refused; empty where it is not."""
    found = re.search(
        rf'name="{field}"[^>]*aria-invalid.*?<span class="wrong-here"[^>]*>(.*?)</span>', text, re.S
    )
    return plain(found[1]).replace("Is ", "is ") if found else ""


def test_a_visit_is_told_with_its_reasons_and_the_piece_that_follows(there):
    client, key, _ = there
    empty = client.get(f"/rounds/{key}/visit")
    assert empty.status_code == 200
    assert "Next piece" not in empty.text
    text = plain(client.get(f"/rounds/{key}/visit?{urlencode(VISIT)}").text)
    assert "Next piece: ¼ patty (¼ lb)" in text
    assert "Leftovers out" in text
    assert "Is it hard or dry?" in text
    assert "Nobody said how warm it was" in text
    many = plain(client.get(f"/rounds/{key}/visit?{urlencode(VISIT | {'maggots': 'many'})}").text)
    assert "No new piece on this hive for now" in many
    assert "Never feed a slurry" in many


@pytest.mark.parametrize(
    ("field", "value", "says"),
    [
        ("left", "0.5", "If you mean a share, enter 50"),
        ("left", "", "is missing"),
        ("days", "ten", "is not a number"),
        ("piece", "0,5", "decimal point"),
        ("frames", "600", "cannot be"),
        ("outside", "warm", "no unit that is known"),
        ("outside", "300", "300 °F cannot be. Expected −76 to 131 °F"),
        ("outside", "93 C", "93 C cannot be. Expected −76 to 131 °F"),
        ("patty_lb", "16", "cannot be"),
    ],
)
def test_what_is_wrong_with_a_visit_stands_beside_its_field(there, field, value, says):
    client, key, _ = there
    answer = client.get(f"/rounds/{key}/visit?{urlencode(VISIT | {field: value})}")
    assert answer.status_code == 422
    assert says in beside(answer.text, field)
    assert 'value="10"' in answer.text or field == "days", "nothing typed is lost"


def test_a_form_is_read_in_the_units_it_was_shown_in_whatever_was_chosen_since(there):
    client, key, _ = there
    warm = f"/rounds/{key}/visit?{urlencode(VISIT | {'outside': '86'})}"
    metric = {"cookie": "measures=g"}
    assert 'name="measures" value="lb"' in client.get(warm).text
    chosen = client.get(warm, headers=metric)
    assert chosen.status_code == 422
    assert "86 °C cannot be" in beside(chosen.text, "outside")
    shown_before = client.get(f"{warm}&measures=lb", headers=metric)
    assert shown_before.status_code == 200
    assert "Mean warmth outside, °F" in shown_before.text


def test_dry_feed_goes_out_on_flying_days_and_bars_a_check_group_once_it_stands(there):
    client, key, path = there
    typed = {
        "high_1": "58",
        "rain_1": "0",
        "humidity_1": "60",
        "high_2": "45 F",
        "around": "100",
        "sheltered": "yes",
    }
    text = plain(client.get(f"/rounds/{key}/dry-feed?{urlencode(typed)}").text)
    assert "1 flying day of the 2 ahead" in text
    assert "not over 50 °F (10 °C)" in text
    assert "About 4 parts in 10 go to your own" in text
    wrong = client.get(f"/rounds/{key}/dry-feed?{urlencode(typed | {'humidity_1': '0.6'})}")
    assert wrong.status_code == 422
    assert "enter 60" in beside(wrong.text, "humidity_1")
    few = client.get(f"/rounds/{key}/dry-feed?{urlencode(typed | {'around': '10'})}")
    assert "your own among them" in beside(few.text, "around")
    assert "No check group inside" not in client.get(f"/rounds/{key}").text
    sent = client.post(f"/rounds/{key}/dry-feed", data=typed, follow_redirects=False)
    assert sent.status_code == 303
    after = plain(client.get(sent.headers["location"]).text)
    assert "Written down: no check group" in after
    assert "1 flying day of the 2 ahead" in after, "what to do on which day stays on the page"
    assert "It stands there: write it down" not in after
    assert "Written down by mistake? Take it back" in after
    assert "No check group inside this flight range" in client.get(f"/rounds/{key}").text
    later = RoundsBook(path, date(2027, 1, 5))
    assert later.barred()[0].since == TODAY


def test_a_form_without_its_fields_writes_no_dry_feed_down(there):
    client, key, path = there
    before = RoundsBook(path, TODAY).barred()
    sent = client.post(f"/rounds/{key}/dry-feed", data={}, follow_redirects=False)
    assert sent.status_code == 422
    assert RoundsBook(path, TODAY).barred() == before


def test_dry_feed_written_down_by_mistake_is_taken_back_with_a_reason(there):
    client, key, path = there
    taking = f"/rounds/{key}/dry-feed/never-stood"
    client.post(f"/rounds/{key}/dry-feed", data={"around": "100"})
    assert taking in client.get(f"/rounds/{key}/dry-feed").text
    wrong = client.post(taking, data={"because": " "})
    assert wrong.status_code == 422
    assert "is left out" in beside(wrong.text, "because")
    assert "The reason: is left out. Say in a few words" in plain(wrong.text)
    assert re.search(r'<details class="no-paper" open><summary>Written down by mistake', wrong.text)
    assert RoundsBook(path, TODAY).barred()
    sent = client.post(taking, data={"because": "It stood at another yard"}, follow_redirects=True)
    assert "Taken back: no dry feed stood" in plain(sent.text)
    assert taking not in sent.text, "nothing is left to take back"
    assert "No check group inside" not in client.get(f"/rounds/{key}").text
    assert RoundsBook(path, TODAY).barred() == ()


def test_frames_go_in_and_out_the_oldest_first_and_never_from_a_sick_yard(there):
    client, _, path = there
    for yard, frames, free, on in (("Ford", "4", "yes", "2026-01-10"), ("Mill", "3", "yes", "2026-01-02"),
                                   ("Hollow", "2", "", "")):  # fmt: skip
        put = {"yard": yard, "frames": frames, "disease_free": free, "on": on, "elsewhere": "yes"}
        assert client.post("/rounds/freezer/put", data=put, follow_redirects=False).status_code == 303
    page = client.get("/rounds/freezer?need_g=15&freezer=0").text
    assert re.search(r'name="on"[^>]*placeholder="2026-01-20"', page), "the day that it takes if left out"
    text = plain(page)
    assert "In the freezer: 7 frames of pollen that may be used. 7 frames of bread: worth" in text
    assert "to one colony, at 15 g a day" in text
    ounces = client.get("/rounds/freezer?need_oz=0.5&freezer=0").text
    assert "to one colony, at 0.5 oz a day" in plain(ounces)
    assert re.search(r"or so many ounces a day.{0,80}name=\"need_oz\"[^>]*value=\"0.5\"", ounces, re.S)
    assert "or so many grams a day" in page, "what was typed in grams stays in a field of grams"
    assert "need_oz" not in page
    assert "or so many grams a day" in client.get("/rounds/freezer", headers={"cookie": "measures=g"}).text
    assert "or so many ounces a day" in client.get("/rounds/freezer").text
    too_much = client.get("/rounds/freezer?need_oz=40")
    assert "0.01 to 18 oz a colony and day" in beside(too_much.text, "need_oz")
    assert "Set aside: 2 frames of pollen" in text
    assert "72 hours against wax moth and hive beetle" in text
    assert "never the spores of foulbrood" in text
    sent = client.post("/rounds/freezer/take", data={"take": "5"}, follow_redirects=True)
    said = plain(sent.text)
    assert said.index("Take 3 frames of pollen from Mill") < said.index("Take 2 frames of pollen from Ford")
    spanish = plain(client.get(str(sent.url), headers={"cookie": "language=es"}).text)
    assert "Tome 3" in spanish
    assert "Take 3 frames" not in spanish
    more = client.post("/rounds/freezer/take", data={"take": "5"})
    assert more.status_code == 422
    assert "5 frames of 2 that may be used" in beside(more.text, "take")
    client.post("/rounds/freezer/take", data={"take": "1", "to_yard": "Redbud"})
    sick = client.post("/rounds/freezer/disease", data={"sick_yard": "Ford", "why": "ropy larvae"},
                       follow_redirects=True)  # fmt: skip
    told = plain(sick.text)
    assert "1 lot from Ford is set aside. " in told
    assert "1 frame of pollen from Ford went to Redbud on 20 January 2026: ask your" in told
    assert "2 frames of pollen from Ford went out on 20 January 2026, to which yard was not written" in told
    assert "pollen from Mill" not in told, "nothing was found there"
    spanish = plain(client.get(str(sick.url), headers={"cookie": "language=es"}).text)
    assert "1 lote de Ford queda aparte." in spanish
    assert "lot from Ford" not in spanish
    assert "nothing that may be used" in client.get("/rounds/freezer").text
    told = FreezerBook(path, TODAY).told({"need_g": "15"})
    assert {lot.disease_free for lot in told.freezer.lots} == {False, None}
    assert (
        [one["key"] for one in freezer_document(told)["figures"]] == [one.key for one in told.figures] != []
    )
    again = {"yard": "Ford", "frames": "2", "disease_free": "yes", "elsewhere": "yes"}
    assert "Disease was found at Ford" not in client.get("/rounds/freezer").text
    client.post("/rounds/freezer/put", data=again)
    assert "Disease was found at Ford, and 2 frames of pollen" in client.get("/rounds/freezer").text


def test_frames_sent_twice_by_one_form_go_in_and_out_once_and_by_another_form_again(there):
    client, _, _ = there

    def sent(what: str, **typed: str) -> str:
        return plain(client.post(f"/rounds/freezer/{what}", data=typed).text)

    def form() -> str:
        keys = set(re.findall(r'name="form" value="([^"]+)"', client.get("/rounds/freezer").text))
        assert len(keys) == 1
        return keys.pop()

    def lie_there(page: str) -> float:
        found = re.search(r"In the freezer: (\d+) frames", page)
        return float(found[1]) if found else 0.0

    before, one = lie_there(plain(client.get("/rounds/freezer").text)), form()
    put = {"yard": "Copper Ford", "frames": "4", "disease_free": "yes"}
    for twice in (False, True):
        page = sent("put", **put, form=one)
        assert ("That form was sent twice and is written down once." in page) == twice
        assert lie_there(page) == before + 4
        assert "Written down: 4 frames of pollen from Copper Ford." in page
    changed = sent("put", **put | {"frames": "2"}, form=one)
    assert lie_there(changed) == before + 6, "gone back to, and filled in anew"
    assert lie_there(sent("put", **put, form=form())) == before + 10
    one = form()
    for _ in range(2):
        out = sent("take", take="3", form=one)
        assert "Take " in out
        assert lie_there(out) == before + 7


@pytest.mark.parametrize(
    ("what", "typed", "field", "says"),
    [
        ("put", {"yard": "Ford", "frames": ""}, "frames", "is missing"),
        ("put", {"yard": "", "frames": "2"}, "yard", "is missing"),
        ("put", {"yard": "Coper Ford", "frames": "2"}, "yard", "no yard of the book. Expected Copper Ford."),
        ("put", {"yard": "copper ford", "frames": "2", "on": "2026-02-30"}, "on", "is no date"),
        ("put", {"yard": "Copper Ford", "frames": "2", "on": "2027-02-10"}, "on", "ahead of today"),
        ("disease", {"sick_yard": ""}, "sick_yard", "is missing"),
    ],
)
def test_what_is_wrong_stands_beside_its_field_in_the_freezer_too(there, what, typed, field, says):
    client, _, _ = there
    answer = client.post(f"/rounds/freezer/{what}", data=typed)
    assert answer.status_code == 422
    assert says in beside(answer.text, field)
    warm = client.get("/rounds/freezer?freezer=20")
    assert "does not kill hive beetle" in beside(warm.text, "freezer")


@pytest.mark.browser
@pytest.mark.parametrize("width", [320, 1280])
def test_every_page_fits_its_width(browser, there, width, tmp_path):
    client, key, _ = there
    page = browser.new_context(viewport={"width": width, "height": 844}).new_page()
    styles = "".join(client.get(f"/static/{name}").text for name in STYLES)
    for path in (
        "/rounds/freezer",
        f"/rounds/{key}/visit?{urlencode(VISIT)}",
        f"/rounds/{key}/dry-feed?high_1=58",
    ):
        page.set_content(client.get(path).text)
        page.add_style_tag(content=styles)
        assert page.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 0, path
    page.context.close()
