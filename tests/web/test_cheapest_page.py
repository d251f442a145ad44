"""The page of the cheapest mix over a real book: prices, targets, words, searches."""

from __future__ import annotations

import re
import time
from dataclasses import replace

import pytest

from breadline.jobs import cheapest_search
from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.recipe_written import Aim
from breadline.ration.problem import Making
from breadline.ration.solver import Conflict, cheapest
from breadline.ration.standing import PriceRange, standing
from breadline.web.app import create_app
from breadline.web.mix_words import part_lines, range_lines, search_words
from tests.ration import larder
from web.conftest import HERE, Reading
from web.feed_forms import CHEAPEST, RECIPE, form_of, typed
from web.test_feed_pages import DAY

PIECE = {"hx-request": "true"}
NOT_TYPED = ("as", "mixes", "price-6-of", "target-5-of")
WHOLE = {
    "solve-whole_bags": ["soy_flour_defatted", "sorrel_yeast", "sugar_granulated"],
    "solve-at_most_ingredients": ["5"], "solve-seconds": ["0.6"], "solve-fill_least_pct": ["85"],
}  # fmt: skip

LONG = {"solve-seconds": ["60"]}  # it goes on for as long as a test looks at it


@pytest.fixture
def client(feed_book, monkeypatch):
    monkeypatch.setattr(cheapest_search, "FIRST_S", 0.2)  # what is found is not the point here
    monkeypatch.setattr(cheapest_search, "STANDING_S", 0.1)
    app = create_app(feed_book, today=lambda: DAY)
    made = Reading(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)
    made.book = feed_book
    yield made
    for search in searches_of(made):
        search.stop()


def said(answer) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", answer.text).split())


def test_the_mix_comes_with_what_holds_it_up_where_it_stands_and_the_next_best(client):
    text = said(client.get(CHEAPEST))
    assert re.search(r"US\$0\.\d\d a pound: ", text)
    assert "Crude protein (N × 6.25, as fed), at least 15 %" in text
    assert "Would save" in text
    assert "comes in below" in text
    assert "Next best Without" in text


def test_what_is_a_hair_too_dear_is_told_so_that_it_can_be_seen():
    found = cheapest(larder.problem())
    close = PriceRange("yeast", False, 1.0042, 1.0018, float("inf"))
    line = range_lines(found, replace(standing(found), price_ranges=(close,)), "kg")[0]
    assert (line.now, line.stands) == ("US$1.004", "comes in below US$1.002")


def test_an_end_far_from_the_price_of_now_is_told_in_two_figures():
    found = cheapest(larder.problem())
    far = PriceRange("bean", True, 2.0, 1.011, 26.951)
    (line,) = range_lines(found, replace(standing(found), price_ranges=(far,)), "kg")
    assert line.stands == "US$1.01 to US$27"


@pytest.mark.parametrize(
    ("making", "says"),
    [
        (Making(), "at these prices and targets."),
        (Making(140.0, 0.9, frozenset({"sugar"})), "at these prices, targets and whole bags."),
        (Making(most_ingredients=5), "at these prices, targets and limits."),
    ],
)
def test_what_none_is_cheaper_under_is_what_was_asked(making, says):
    assert search_words(cheapest(larder.problem(making=making))) == f"None is cheaper {says}"


def test_a_dearer_soy_makes_a_dearer_mix_and_a_cheap_one_another_mix(client):
    page = client.get(CHEAPEST).text
    costs = []
    for price in ("38", "60", "90"):
        piece = client.post(CHEAPEST, data=typed(page, price_0_price=price), headers=PIECE)
        assert "<html" not in piece.text
        costs.append(float(re.search(r"US\$(\d+\.\d\d) a pound", piece.text)[1]))
    assert costs[0] < costs[1] <= costs[2]
    cheap = said(client.post(CHEAPEST, data=typed(page, price_1_price="20"), headers=PIECE))
    assert re.search(r"% Yeast of the Sorrel Bend mill", cheap.partition("Next best")[0])


def test_without_script_the_whole_page_comes_back_with_what_was_typed(client):
    page = client.get(CHEAPEST).text
    answer = client.post(CHEAPEST, data=typed(page, price_0_price="44.5"))
    assert "<html" in answer.text
    assert form_of(answer.text)["price-0-price"] == ["44.5"]


def test_targets_at_odds_are_told_in_words_with_the_nearest_mix(client):
    page = client.get(CHEAPEST).text
    answer = client.post(CHEAPEST, data=typed(page, target_0_at_least="60"), headers=PIECE)
    text = said(answer)
    assert answer.status_code == 200
    assert "crude protein (N × 6.25, as fed), at least 60 %".lower() in text.lower()
    assert "instead of 60 %" in text
    assert "The nearest mix" in text


SPOILT = {
    "a price of nought": ({"price_0_price": "0"}, "price-0-price", "cannot be"),
    "a negative price": ({"price_0_price": "-1"}, "price-0-price", "cannot be"),
    "no price at all": ({"price_0_price": ""}, "price-0-price", "not known"),
    "a unit left out": ({"price_0_per": ""}, "price-0-per", "is left out"),
    "a target over a hundred": ({"target_0_at_least": "115"}, "target-0-at_least", "more than the whole"),
    "protein on no basis": ({"target_0_on": ""}, "target-0-on", "is left out"),
    "least above most": ({"target_1_at_least": "9"}, "target-1-at_least", "above"),
    "a ratio to nought": ({"target_2_at_most": "5:0"}, "target-2-at_most", "denominator"),
    "a price of nothing": ({"price_6_price": "9", "price_6_per": "lb"}, "price-6-of", "Is missing"),
    "no money": ({"money": ""}, "", "left out"),
    "half an ingredient": (
        {"solve-at_most_ingredients": "2.5"}, "solve-at_most_ingredients", "not a whole number",
    ),
    "bags of no weight": ({"solve-whole_bags": "canola_oil"}, "", "bag"),
}  # fmt: skip


@pytest.mark.parametrize("case", SPOILT)
def test_what_is_wrong_stands_beside_its_field_and_nothing_typed_is_lost(client, case):
    changed, field, told = SPOILT[case]
    sent = typed(client.get(CHEAPEST).text, **changed)
    answer = client.post(CHEAPEST, data=sent)
    assert answer.status_code == 422
    assert told in answer.text
    assert not field or f'id="wrong-{field}"' in answer.text
    back = form_of(answer.text)
    lost = {k: v for k, v in sent.items() if back.get(k) != v and k not in NOT_TYPED}
    assert not lost
    piece = client.post(CHEAPEST, data=sent, headers=PIECE)
    assert piece.status_code == 200, "half a number is no failure that a browser has to note"
    assert 'role="alert"' in piece.text


def test_nothing_ticked_is_told(client):
    sent = form_of(client.get(CHEAPEST).text)
    sent.pop("solve-ingredients")
    answer = client.post(CHEAPEST, data=sent)
    assert answer.status_code == 422
    assert "nothing is ticked" in answer.text


def test_no_target_is_told(client):
    sent = {k: v for k, v in form_of(client.get(CHEAPEST).text).items() if not k.startswith("target-")}
    answer = client.post(CHEAPEST, data=sent)
    assert answer.status_code == 422
    assert "cheapest ingredient" in answer.text


def test_pollen_without_papers_may_not_be_offered(client):
    sent = typed(client.get(CHEAPEST).text, price_6_of="bee_pollen", price_6_price="9", price_6_per="lb")
    answer = client.post(CHEAPEST, data=sent, headers=PIECE)
    assert 'class="mixed"' not in answer.text
    assert "foulbrood" in answer.text


def test_another_ingredient_with_a_price_comes_into_the_question(client):
    sent = typed(
        client.get(CHEAPEST).text, price_6_of="corn_gluten_meal", price_6_price="0.2", price_6_per="lb"
    )
    text = said(client.post(CHEAPEST, data=sent, headers=PIECE))
    assert "Corn gluten meal" in text.partition("Next best")[0]
    sure = text.partition("How sure the contents are")[2]
    assert "From memory, not checked: what is in Corn gluten meal" in sure


def test_prices_and_targets_are_kept_and_a_mix_becomes_a_recipe(client):
    sent = typed(client.get(CHEAPEST).text, price_0_price="41.5", do="keep")
    kept = client.post(CHEAPEST, data=sent)
    assert "kept with the recipe" in kept.text
    file = FeedDesk(client.book).version(RECIPE).file
    assert next(q.price for q in file.quotes if q.of == "soy_flour_defatted") == 41.5
    assert len(file.amounts) == 6, "the recipe itself is not touched"
    assert any(q.of == "Sorrel Bend ready patty" for q in file.quotes)
    sent = form_of(kept.text) | {"do": ["recipe"], "as": ["The cheap one"]}
    made = client.post(CHEAPEST, data=sent)
    assert "The cheap one" in made.text
    assert "Your targets: all kept" in made.text
    mix = FeedDesk(client.book).version("The cheap one").file
    weighed = {one.ingredient: one.bulk_kg_per_l for one in file.amounts}
    assert all(one.bulk_kg_per_l == weighed[one.ingredient] for one in mix.amounts), "buckets as before"
    again = client.post(CHEAPEST, data=sent)
    assert again.status_code == 422
    assert "there is a recipe called" in again.text


def test_the_nearest_mix_is_kept_as_what_it_is(client):
    file = FeedDesk(client.book).version(RECIPE).file
    far = [replace(aim, at_least=70.0) if aim.of == "protein" else aim for aim in file.aims]
    FeedDesk(client.book).keep(replace(file, aims=tuple(far)), "more protein than anything holds")
    sent = form_of(client.get(CHEAPEST).text) | {"do": ["recipe"], "as": [""]}
    made = client.post(CHEAPEST, data=sent)
    assert f"{RECIPE}, nearest mix" in made.text
    assert f"The nearest mix by the targets of {RECIPE}" in made.text


def test_a_mix_kept_under_the_name_of_a_drug_is_refused(client):
    sent = form_of(client.get(CHEAPEST).text) | {"do": ["recipe"], "as": ["Terramycin patty"]}
    answer = client.post(CHEAPEST, data=sent)
    assert answer.status_code == 422
    assert "veterinarian" in answer.text
    assert FeedDesk(client.book).names() == (RECIPE,)


def test_whole_bags_show_a_mix_at_once_and_the_search_ends_with_its_gap(client):
    page = client.get(CHEAPEST).text
    sent = form_of(page) | WHOLE
    piece = client.post(CHEAPEST, data=sent, headers=PIECE)
    assert re.search(r"\d\sbags?", piece.text)
    key = re.search(r"/feed/search/(\w+)", piece.text)[1]
    while 'class="going' in piece.text or "HX-Retarget" not in piece.headers:
        time.sleep(0.1)
        piece = client.get(f"/feed/search/{key}", headers=PIECE)
    text = said(piece)
    assert "None is cheaper" in text or re.search(r"gap of \d+\.\d %", text)
    assert "Next best" in text


def test_a_fresh_recipe_asks_for_all_that_a_first_mix_needs_on_one_page(client):
    new = form_of(client.get("/feed/new").text)
    new |= {
        "name": ["Fresh"], "money": ["€"],
        "part-0-ingredient": ["soy_flour_low_fat"], "part-0-amount": ["1"], "part-0-unit": ["kg"],
        "part-1-ingredient": ["honey"], "part-1-amount": ["2"], "part-1-unit": ["kg"],
    }  # fmt: skip
    saved = client.post("/feed/new", data=new).text
    page = client.get(re.search(r'href="(/feed/cheapest/Fresh[^"]*)"', saved)[1]).text
    form = form_of(page)
    assert (form["money"], form["year"]) == (["€"], [str(DAY.year)]), "said with the recipe, asked once"
    assert "target-2-what" in form, "protein, water and one more"
    sent = form | {
        "price-0-price": ["2,20"], "price-0-per": ["kg"], "price-1-price": ["6"], "price-1-per": ["kg"],
        "target-0-what": ["protein"], "target-0-on": ["as fed|N x 6.25"], "target-0-at_least": ["15"],
        "target-1-what": ["water"], "target-1-on": ["as fed"], "target-1-at_most": ["17"],
    }  # fmt: skip
    assert re.search(r"€\d\.\d\d a kg: ", said(client.post("/feed/cheapest/Fresh", data=sent, headers=PIECE)))


def test_the_mixer_that_whole_bags_are_counted_into_is_said_beside_them(client):
    desk = FeedDesk(client.book)
    kept = desk.version(RECIPE).file
    assert kept.mixing.patty_g is not None
    bare = form_of(client.get(CHEAPEST).text) | WHOLE | {"mixing-mixer_holds": [""], "mixing-batch": [""]}
    page = client.post(CHEAPEST, data=bare)
    assert "whole bags are counted into it" in page.text
    assert re.search(r'<a href="#mixing-mixer_holds">Go to it', page.text)
    assert "[mixing]" not in page.text, "a form has no such line"
    sent = bare | {"mixing-mixer_holds": ["200"], "do": ["keep"]}
    client.post(CHEAPEST, data=sent)
    mixing = desk.version(RECIPE).file.mixing
    assert mixing.batch_g == pytest.approx(200 * 453.59237)
    assert mixing == replace(kept.mixing, batch=None, mixer_holds=200), "all else stays"


def test_water_is_one_target_and_counts_as_free_where_it_has_no_price(client):
    desk = FeedDesk(client.book)
    file = desk.version(RECIPE).file
    thin = tuple(aim for aim in file.aims if aim.of == "protein")
    ingredients = ("soy_flour_defatted", "sugar_granulated", "water")
    desk.keep(replace(file, aims=thin, solving=replace(file.solving, ingredients=ingredients)), "thin")
    page = client.get(CHEAPEST).text
    assert "Water without a price counts as free." in page
    choices = re.search(r'name="target-0-what".*?</select>', page, re.DOTALL)[0]
    assert choices.count('value="water"') == 1


def searches_of(client) -> list:
    """Those that count whole things, and so may go on beside their page."""
    return [s for s in client.app.state.mix_searches.kept() if s.problem.making.counts_whole_things]


def test_a_page_loaded_again_or_gone_back_to_begins_no_second_search(client):
    client.post(CHEAPEST, data=form_of(client.get(CHEAPEST).text) | WHOLE | LONG | {"do": ["keep"]})
    pages = [client.get(CHEAPEST) for _ in range(3)]
    assert all(page.status_code == 200 for page in pages)
    assert len(searches_of(client)) == 1
    client.post(CHEAPEST, data=form_of(pages[-1].text), headers=PIECE)
    assert len(searches_of(client)) == 1, "the form asks what the page asked"
    client.post(CHEAPEST, data=typed(pages[-1].text, price_0_price="39"), headers=PIECE)
    first, second = searches_of(client)
    assert first.ended
    client.get(CHEAPEST)
    assert len(searches_of(client)) == 2
    assert not second._stop.is_set(), "a look at a page stops nothing"


def test_a_form_sent_whole_is_answered_by_an_address_that_shows_its_search_and_prices(client):
    sent = typed(client.get(CHEAPEST).text, price_0_price="41") | WHOLE | LONG
    answer = client.post(CHEAPEST, data=sent, follow_redirects=False)
    assert answer.status_code == 303
    shown = client.get(answer.headers["location"])
    assert form_of(shown.text)["price-0-price"] == ["41"]
    assert len(searches_of(client)) == 1
    assert client.post(CHEAPEST, data=sent, headers=PIECE).headers.get("HX-Replace-Url", "") in (
        "", answer.headers["location"],
    )  # fmt: skip


def test_how_protein_is_counted_is_no_word_of_fat_or_pollen(client):
    page = client.get(CHEAPEST).text
    fields, on = form_of(page), {}
    for n in range(5):
        on[fields[f"target-{n}-what"][0]] = fields[f"target-{n}-on"][0]
    assert on["protein"] == "as fed|N x 6.25"
    assert on["fat"] == on["water"] == "as fed"
    sent = typed(page, target_1_what="pollen", target_1_on="as fed|N x 6.25", target_1_at_least="", do="keep")
    client.post(CHEAPEST, data=sent)
    aim = FeedDesk(client.book).version(RECIPE).file.aims[1]
    assert (aim.of, aim.basis, aim.protein_on) == ("pollen", "as fed", None)


def test_a_look_brings_the_mix_only_where_it_is_another_and_all_of_it_at_the_end(client):
    piece = client.post(CHEAPEST, data=form_of(client.get(CHEAPEST).text) | WHOLE, headers=PIECE)
    (search,) = searches_of(client)
    until = time.monotonic() + 20
    while not search.done and time.monotonic() < until:
        time.sleep(0.05)
    search.done = search.sought = False  # as it was a moment ago
    seen = client.get(f"/feed/search/{search.key}?mixes={len(search.passed)}", headers=PIECE).text
    assert f'id="going-{search.key}"' in seen
    assert 'class="mixed"' not in seen
    new = client.get(f"/feed/search/{search.key}?mixes=0", headers=PIECE).text
    assert f'id="mix-{search.key}" hx-swap-oob="true"' in new
    assert 'class="mixed"' in new
    search.done = search.sought = True
    whole = client.get(f"/feed/search/{search.key}?mixes=1", headers=PIECE)
    assert whole.headers["HX-Retarget"] == "#answer"
    assert "Next best" in whole.text
    assert piece.status_code == 200


def test_a_mix_tells_what_it_was_before(client):
    client.post(CHEAPEST, data=form_of(client.get(CHEAPEST).text) | WHOLE, headers=PIECE)
    (search,) = searches_of(client)
    after = search.found
    before = replace(
        after, shares={k: s for k, s in after.shares.items() if k != "canola_oil"},
        bags={k: n + 1 for k, n in after.bags.items()},
    )  # fmt: skip
    was = {line.name: line.was for line in part_lines(after, "lb", before)}
    assert was["Canola oil"] == "new"
    bags = after.bags["soy_flour_defatted"]
    assert was["Soy flour, defatted"].split() == ["was", str(bags + 1), "bags"]
    gone = part_lines(before, "lb", after)[-1]
    assert (gone.name, gone.share) == ("Canola oil", "no more")


def test_a_search_can_be_stopped_and_a_forgotten_one_says_so(client, monkeypatch):
    sent = form_of(client.get(CHEAPEST).text) | WHOLE

    def until_stopped(problem, *, start=None, watch=None, stop=None):
        while not stop():
            time.sleep(0.01)
        return cheapest(problem)

    monkeypatch.setattr(cheapest_search, "cheapest", until_stopped)

    def nothing_yet(problem, *_):
        return Conflict(problem, False, (), False, (), None)

    monkeypatch.setattr(cheapest_search, "first_look", nothing_yet)
    client.post(CHEAPEST, data=sent, headers=PIECE)
    (search,) = searches_of(client)
    time.sleep(0.1)
    assert not search.ended
    client.post(f"/feed/search/{search.key}/stop", headers=PIECE)
    search.wait(10)
    assert "Next best" in client.get(f"/feed/search/{search.key}", headers=PIECE).text
    answer = client.get("/feed/search/nothing", headers=PIECE)
    assert "forgotten" in answer.text


def test_targets_of_any_kind_come_through_the_form_unchanged(client):
    desk = FeedDesk(client.book)
    file = desk.version(RECIPE).file
    aims = (
        Aim("protein", 14.0, 30.0, "%", "dry matter", "own factor"),
        Aim("met", 1.0, None, "g/100 g of protein", None, "N x 6.25", "protein"),
        Aim("sodium", None, 400.0, "mg/100 g", "as fed"),
        Aim("sodium", None, 9.0, "to 1", to="potassium"),
        Aim("honey", None, 20.0, "%", "as fed"),
        Aim("pollen", None, 10.0, "%", "as fed"),
    )
    desk.keep(replace(file, aims=aims))
    client.post(CHEAPEST, data=typed(client.get(CHEAPEST).text, do="keep"))
    assert FeedDesk(client.book).version(RECIPE).file.aims == aims
