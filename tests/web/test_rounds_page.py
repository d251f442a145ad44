"""The page of rounds over a real book: asked, searched, chosen, printed. All invented."""

from __future__ import annotations

import html
import re
from dataclasses import replace
from datetime import date
from functools import partial
from urllib.parse import urlencode

import pytest
from starlette.testclient import TestClient

from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.plan_kept import PlanKept
from breadline.jobs.recipe_book import RecipeBook
from breadline.jobs.recipe_file import read_recipe
from breadline.jobs.rounds import Way
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.yard_file import read_yard
from breadline.language import LANGUAGES, PRETENDED
from breadline.web.app import create_app
from breadline.web.pages import rounds as pages
from house import tree
from web.conftest import HERE
from web.served import found, served
from web.test_evidence_page import plain
from web.test_languages import bare

FOLDER = tree.ROOT / "examples" / "first-rounds"
TODAY = date(2026, 1, 20)
FEED = (
    "[[feed]]" + (FOLDER / "rounds.toml").read_text("utf-8").partition("[[feed]]")[2].partition("[work]")[0]
)
TYPED = {
    "kind": "frames", "target.on": "2026-03-25", "target.grade": "8", "target.fee": "190",
    "target.paid": "hive_by_hive", "feed.name": "Patty", "feed.price": "1.45", "feed.per": "lb",
    "feed.patty_lb": "1", "work.minutes_colony": "2", "work.wage": "20", "money": "US$", "year": "2026",
}  # fmt: skip


MISSPELT = (FOLDER / "rounds.toml").read_text("utf-8").replace("grade = 8", "grad = 8")


@pytest.fixture(scope="module", autouse=True)
def few_draws():
    """What the pages say does not hang on how many seasons were run."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pages, "Way", partial(Way, draws=20))
        yield


@pytest.fixture(scope="module")
def there(tmp_path_factory):
    """The pages of a book with one yard, its key, and the book's path."""
    path = tmp_path_factory.mktemp("rounds") / "book.sqlite"
    book = Book(path, TODAY)
    book.open_operation("Sorrel Bend Bees (invented)")
    key = book.add_yard(read_yard(FOLDER / "yard.toml"), FIRST_YARD / "weather.csv")
    RecipeBook(path).keep(read_recipe(tree.ROOT / "examples" / "first-recipe" / "recipe.toml"))
    app = create_app(path, lambda p: Book(p, TODAY))
    return TestClient(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False), key, path


def test_the_yards_are_listed_and_one_can_be_asked(there):
    client, key, _ = there
    assert f'href="/rounds/{key}"' in client.get("/rounds").text
    text = client.get(f"/rounds/{key}").text
    assert 'value="2026-03-25"' in text, "the yard's own goal is there"
    assert "Fee for a colony that makes it" in text
    assert "Frames of brood for one split" in client.get(f"/rounds/{key}?kind=splits").text


def test_break_even_stands_first_and_doing_nothing_on_top_of_the_plans(there):
    client, key, _ = there
    answer = found(client, key, TYPED)
    assert answer.status_code == 200
    text = plain(answer.text)
    assert re.search(r"pays if \d+ more in a hundred colonies make grade, at US\$190", text)
    assert text.index("pays if") < text.index("in 100")
    names = re.findall(r'<span class="name">([^<]+)</span>', answer.text)
    assert names[0] == "Do nothing"
    assert "What turns the answer" in text


@pytest.mark.parametrize(
    ("field", "value", "says"),
    [
        ("target.on", "2026-01-02", "not ahead of today"),
        ("target.fee", "0", "0 is not a price"),
        ("target.fee", "188,50", "decimal comma"),
        ("feed.price", "", "no feed is chosen"),
        ("feed.price", "145", "in cents, write 1.45"),
        ("target.grade", "15000", "divide by what a frame means"),
        ("target.paid", "", "is left out"),
        ("syrup.price", "0.40", "is left out"),
        ("year", "", "not of which year"),
        ("work.minutes_colony", "120", "divide by 60"),
        ("file", "[target", "not TOML"),
        ("file", MISSPELT, "Did you mean &#34;grade&#34;?"),
    ],
)
def test_bad_input_is_named_and_nothing_typed_is_lost(there, field, value, says):
    client, key, _ = there
    answer = client.get(f"/rounds/{key}/plans?{urlencode(TYPED | {field: value})}")
    assert answer.status_code == 422
    assert says in plain(answer.text)
    if field != "file":
        assert answer.text.count('class="wrong-here"') == 1, "beside its own field, and no other"
        assert "[[" not in plain(answer.text), "a form has no blocks"
    assert field == "file" or "your plan, line" not in plain(answer.text).lower(), "a form has no lines"
    for kept, typed in (TYPED | {field: value}).items():
        if kept not in ("kind", "target.paid", "feed.per", "file") and typed:
            assert f'value="{typed}"' in answer.text, kept


def test_a_recipe_and_a_bought_feed_of_the_book_are_compared(there):
    client, key, _ = there
    assert "Sorrel Bend ready patty (bought)" in client.get(f"/rounds/{key}").text
    feeds = {"feed.known": "recipe:Sorrel Bend spring patty", "feed2.known": "label:Sorrel Bend ready patty"}
    typed = {k: v for k, v in TYPED.items() if not k.startswith("feed.")} | feeds
    text = plain(found(client, key, typed).text)
    assert "Sorrel Bend spring patty, by your recipe, version 1" in text
    assert "Sorrel Bend ready patty, by its label: at least 15 % protein as fed" in text
    changed = client.get(f"/rounds/{key}/change?{urlencode(typed)}").text
    assert changed.count(" selected>") == 3, "both feeds, and how it is paid"
    wrong = client.get(f"/rounds/{key}/plans?{urlencode(typed | {'feed2.known': 'label:Gone'})}")
    assert wrong.status_code == 422
    assert re.search(r'name="feed2.known" aria-invalid', wrong.text)
    assert not re.search(r'name="feed.known" aria-invalid', wrong.text)


def test_an_impossible_appetite_is_told_after_the_search_began(there):
    client, key, _ = there
    text = (FOLDER / "rounds.toml").read_text("utf-8").replace("[rounds]", "[rounds]\nappetite_mg = 400")
    answer = found(client, key, {"kind": "frames", "file": text})
    assert answer.status_code == 422
    assert "not possible" in plain(answer.text)
    assert "appetite_mg = 400" in answer.text, "nothing typed is lost"


def shown_with(page):
    """The plan that a list of plans says it was shown with."""
    (seen,) = re.findall(r'name="seen" value="([^"]+)"', page.text)
    return seen


def test_a_chosen_plan_is_kept_and_has_its_paper(there):
    client, key, path = there
    text = (FOLDER / "rounds.toml").read_text("utf-8")
    page = found(client, key, {"kind": "frames", "file": text})
    assert re.search(r"<textarea[^>]*>(.*?)</textarea>", page.text, re.S) is not None
    assert 'name="threshold" value="25"' in page.text, "the shelf's, where the plan file has none"
    asked = {"asked": text, "at": "1", "threshold": "0.3"}
    assert "write 30" in plain(client.post(f"/rounds/{key}/choose", data=asked).text)
    refused = client.post(f"/rounds/{key}/choose", data=asked)
    assert refused.status_code == 422
    assert re.search(r'name="threshold" value="0.3"[^>]* aria-invalid', refused.text), "beside its own field"
    assert "Plans worth a look" in refused.text
    asked["threshold"] = "30"
    sent = client.post(f"/rounds/{key}/choose", data=asked, follow_redirects=False)
    assert sent.status_code == 303
    kept = RoundsBook(path, TODAY).plan(key)
    assert kept is not None
    assert kept.sentence.startswith("As last year: 2 rounds")
    assert kept.belief["situation"] == "poor_spring"
    assert kept.prices["feed_year"] == 2026
    again = found(client, key, {"kind": "frames", "file": text}).text
    assert 'name="threshold" value="30"' in again, "who asks again keeps to the threshold"
    shown = client.get(f"/rounds/{key}").text
    assert "As last year: 2 rounds" in shown
    assert "Since it was chosen" not in shown
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(RoundsBook, "changed", lambda *_: "Since it was chosen this changed: the counts.")
        said = plain(client.get(f"/rounds/{key}").text)
        assert "this changed: the counts. The sheets below are those of the plan as it was chosen." in said
    assert "You stop once 30 in 100 bees" in plain(shown)
    counted = plain(client.get(f"/rounds/{key}?bees_in=200&with_pollen=50").text)
    assert "the threshold is 30, kept with the plan of 20 January 2026" in counted
    assert "If you typed a share, write 30" in plain(client.get(f"/rounds/{key}?threshold=0.3").text)
    papers = re.findall(rf'href="(/rounds/{key}/paper/[^"]+)"', shown)
    assert len([one for one in papers if "?" not in one]) == 6
    assert len(papers) == 6 + 3 * 5, "each sheet on Letter, on A4 and in the other language"
    with pytest.MonkeyPatch.context() as patch:
        patch.delattr(pages, "searched")  # as it was chosen: no plan is looked for again
        for address in papers:
            made = client.get(address)
            assert made.status_code == 200, made.text
            assert made.content.startswith(b"BEGIN:VCALENDAR" if address.endswith("ics") else b"%PDF")
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(PlanKept, "sheets", None)  # an older book kept nothing to print from
        assert client.get(papers[0]).content.startswith(b"%PDF")
    assert client.get(f"/rounds/{key}/paper/none.pdf").status_code == 422


def test_a_chosen_move_shows_its_calendar_and_no_sheets(there):
    client, key, _ = there
    move = '[move]\non = 2026-02-01\nlatitude = 33.9\nregion = "georgia-piedmont"\nload_cost = 1200\n'
    text = f"{(FOLDER / 'rounds.toml').read_text('utf-8')}\n{move}load_colonies = 400\n"
    page = found(client, key, {"kind": "frames", "file": text})
    at = re.findall(r'name="at" value="(\d+)">Choose<span class="unseen"> ([^<]+)', page.text)
    (number,) = [n for n, name in at if name.startswith("Move")]
    data = {"asked": text, "at": number, "seen": shown_with(page)}
    assert client.post(f"/rounds/{key}/choose", data=data).status_code == 200
    shown = client.get(f"/rounds/{key}").text
    assert re.findall(rf'href="(/rounds/{key}/paper/[^"]+)"', shown) == [f"/rounds/{key}/paper/rounds.ics"]
    assert b"DTSTART;VALUE=DATE:20260201" in client.get(f"/rounds/{key}/paper/rounds.ics").content


def test_a_plan_that_stands_above_the_best_is_explained_under_the_list(there):
    _, key, path = there
    told = RoundsBook(path, TODAY).rounds(key, (FOLDER / "rounds.toml").read_text("utf-8"), Way(draws=20))
    best, over = told.answer.found.best, told.taken(1)
    assert best.plan.pieces
    above = replace(over, money=best.money + 3.0, gain=best.gain + 3.0, chance=1.0)
    found = replace(told.answer.found, last_year=above)
    shown = pages.answered("Sorrel Bend", key, replace(told, answer=replace(told.answer, found=found)), "")
    text = plain(bytes(shown.body).decode())
    assert "As last year: 2 rounds of 1 patty (1 lb) stands above the best by about US$3 a colony" in text
    assert text.index("Plans worth a look") < text.index("stands above the best") < text.index("Why")
    level = replace(above, money=best.money - 1.0, gain=best.gain - 1.0)
    few = replace(told.answer.found, last_year=level, frontier=(best,))
    shown = pages.answered("Sorrel Bend", key, replace(told, answer=replace(told.answer, found=few)), "")
    assert "stands above the best" not in plain(bytes(shown.body).decode())


def test_a_number_that_is_no_plan_is_refused(there):
    client, key, _ = there
    text = (FOLDER / "rounds.toml").read_text("utf-8")
    for at in ("99", "x", ""):
        assert client.post(f"/rounds/{key}/choose", data={"asked": text, "at": at}).status_code == 422


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (
            {"bees_in": "220", "with_pollen": "110", "arcs": "6", "looked": "6"},
            "Stop for now: pollen is coming in",
        ),
        ({"bees_in": "220", "with_pollen": "2", "arcs": "0", "looked": "6"}, "Go on"),
        ({"bees_in": "20", "with_pollen": "30"}, "30 with pollen of 20 bees"),
        ({"bees_in": "220"}, "is missing"),
        ({"bees_in": "many", "with_pollen": "2"}, "Bees that came in:"),
        ({"arcs": "7", "looked": "6"}, "7 of 6 looked in"),
    ],
)
def test_the_count_at_the_entrance_decides_or_says_what_is_wrong(there, typed, says):
    client, key, _ = there
    answer = client.get(f"/rounds/{key}?{urlencode(typed)}")
    assert answer.status_code == 200
    assert says in plain(answer.text)
    assert all(f'value="{value}"' in answer.text for value in typed.values())


def test_a_yard_that_is_not_there_is_said_so(there):
    client, _, _ = there
    assert client.get("/rounds/nothing").status_code == 422


@pytest.fixture(scope="module")
def address(there):
    """The same book served to a browser."""
    _, _, path = there
    with served(_opener(path), TODAY) as where:
        yield where


def _opener(path):
    """What ``served`` takes: something that opens the book."""

    class Opened:
        def opened(self, _):
            return Book(path, TODAY)

    return Opened()


@pytest.mark.browser
def test_in_a_browser_without_script_a_plan_is_asked_watched_chosen_and_printed(browser, address):
    context = browser.new_context(viewport={"width": 390, "height": 844}, java_script_enabled=False)
    page = context.new_page()
    page.goto(address + "/rounds")
    with page.expect_navigation():
        page.get_by_role("link", name="Copper Ford", exact=True).click()
    for closed in page.locator("#ask summary", has_text="Ask for other plans").all():
        closed.click()
    for key, value in TYPED.items():
        field = page.locator(f'[name="{key}"]')
        if key in ("target.paid", "feed.per"):
            field.select_option(value)
        elif key != "kind":
            field.fill(value)
    page.locator("textarea[name=file]").evaluate("area => { area.value = '' }")
    page.get_by_role("button", name="Show plans").click()
    page.wait_for_selector("table.plans", timeout=60_000)
    assert page.locator(".plans tbody tr").first.inner_text().startswith("Do nothing")
    page.locator("[name=threshold]").press("Enter")
    assert "/plans?" in page.url, "Enter in the field of the threshold chooses no plan"
    page.get_by_role("button", name="Choose Do nothing").click()
    page.wait_for_selector("#chosen")
    assert "The plan is to do nothing" in page.locator("#chosen").inner_text()
    context.close()


@pytest.mark.browser
@pytest.mark.parametrize("width", [320, 390, 1280])
def test_every_page_of_rounds_fits_its_width(browser, address, there, width):
    _, key, _ = there
    page = browser.new_context(viewport={"width": width, "height": 844}).new_page()
    for path in (
        "/rounds",
        f"/rounds/{key}",
        f"/rounds/{key}?kind=splits",
        f"/rounds/{key}/plans?{urlencode(TYPED)}",
    ):
        page.goto(address + path)
        page.wait_for_selector("h1")
        if "plans?" in path:
            page.wait_for_selector("table.plans", timeout=60_000)
        assert page.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 0, path
    page.context.close()


def test_yards_are_picked_for_one_truck_in_the_order_of_their_numbers(there):
    client, first, path = there
    book = Book(path, TODAY)
    yard = read_yard(FOLDER / "yard.toml")
    second = book.add_yard(replace(yard, name="Upper Sluice", colonies=24), FIRST_YARD / "weather.csv")
    text = (
        (FOLDER / "rounds.toml")
        .read_text("utf-8")
        .replace(FEED, '[[feed]]\nrecipe = "Sorrel Bend spring patty"\n\n')
    )
    for key in (first, second):
        data = {
            "asked": text,
            "at": "1",
            "seen": shown_with(found(client, key, {"kind": "frames", "file": text})),
        }
        assert client.post(f"/rounds/{key}/choose", data=data, follow_redirects=False).status_code == 303
    shown = client.get(f"/rounds/{first}").text
    assert "Batch sheet, round 1" in shown
    (sheet,) = re.findall(r'href="(/rounds/[^"]+/paper/batch-01[^"?]+)"', shown)
    assert client.get(sheet).content.startswith(b"%PDF")
    assert f'name="yard" value="{second}"' in client.get("/rounds").text
    query = urlencode([("yard", first), ("yard", second), (f"order_{second}", "1"), ("paper", "a4")])
    page = client.get(f"/rounds/together?{query}")
    assert page.status_code == 200, page.text
    text = plain(page.text)
    assert "2 yards together" in text
    assert "Upper Sluice, Copper Ford" in text
    for name in re.findall(r'href="(/rounds/together/paper/[^"]+)"', page.text)[:4]:
        assert client.get(html.unescape(name)).content.startswith(b"%PDF")
    every = client.get("/rounds/together")
    assert "2 yards together" in plain(every.text), "none ticked is all that are fed"
    assert client.get("/rounds/together?yard=none").status_code == 422
    wrong = client.get(f"/rounds/together?{urlencode([('yard', first), (f'order_{first}', 'last')])}")
    assert wrong.status_code == 422
    assert f'name="order_{first}" maxlength="3" value="last" aria-invalid' in wrong.text, "typed is kept"
    both = [("yard", first), ("yard", second), (f"order_{first}", "1"), (f"order_{second}", "1")]
    same = client.get(f"/rounds/together?{urlencode(both)}")
    assert "two yards have the number 1" in plain(same.text).lower()
    assert same.text.count(" checked") == 2


def test_no_sentence_of_the_plans_comes_round_the_catalogue(there, monkeypatch):
    client, key, _ = there
    theirs = ("US", read_yard(FOLDER / "yard.toml").name, "redbud and fruit trees", "Georgia Piedmont",
              "Sorrel Bend spring patty", "Sorrel Bend ready patty", "Upper Sluice",
              "Sorrel Bend Bees (invented)")  # fmt: skip
    monkeypatch.setitem(LANGUAGES, PRETENDED, "Pretended")
    with TestClient(client.app, base_url=HERE, headers={"cookie": f"language={PRETENDED}"}) as reader:
        asked = reader.get(f"/rounds/{key}/change?{urlencode(TYPED)}")
        for page in (found(reader, key, TYPED), asked, reader.get("/rounds/freezer")):
            gone = "|".join([*map(re.escape, theirs), "<textarea.*?</textarea>"])
            assert bare(re.sub(gone, "", page.text, flags=re.S)) == []
