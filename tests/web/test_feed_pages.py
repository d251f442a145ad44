"""The pages about feed over a real book: list, recipe, labels, ingredients, files and batch sheet."""

from __future__ import annotations

import re
from datetime import date
from io import BytesIO
from pathlib import Path

import pytest
from pypdf import PdfReader

from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.recipe_file import read_recipe, recipe_from_text
from breadline.jobs.recipe_written import Amount, RecipeFile
from breadline.records.engine import open_book, writing
from breadline.records.recipes import keep_recipe
from breadline.web.app import create_app
from web.conftest import FIRST_RECIPE, HERE, Reading
from web.feed_forms import BATCH, RECIPE, RECIPE_PAGE, form_of, shown_in, typed

DAY = date(2026, 8, 22)
VIEWS = ["/feed", "/feed/new", RECIPE_PAGE, RECIPE_PAGE.replace("recipe", "cheapest", 1), BATCH,
         "/feed/bought", "/feed/bought/Sorrel%20Bend%20ready%20patty", "/feed/ingredients"]  # fmt: skip
YEAST = {
    "ingredient-0-name": "Our yeast", "ingredient-0-basis": "as fed", "ingredient-0-protein_pct": "44 to 47",
    "ingredient-0-protein_factor": "6.25", "ingredient-0-water_pct": "7", "ingredient-0-traits": "yeast",
    "price-0-price": "60", "price-0-per": "bag", "price-0-bag": "50", "price-0-bag_unit": "lb",
    "money": "US$", "year": "2026", "into": RECIPE,
}  # fmt: skip


@pytest.fixture
def book(feed_book):
    return feed_book


@pytest.fixture
def client(book):
    app = create_app(book, today=lambda: DAY)
    return Reading(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)


@pytest.mark.parametrize("path", VIEWS)
def test_every_view_answers_in_plain_html_with_only_its_own_script(client, path):
    answer = client.get(path)
    assert answer.status_code == 200
    scripts = re.findall(r"<script[^>]*>", answer.text)
    own = ['<script src="/static/batch.js" defer>'] if "/batch/" in path else []
    assert scripts == ['<script src="/static/vendor/htmx.min.js" defer>', *own]
    assert not re.search(r"\son[a-z]+=|<style|\sstyle=", answer.text)
    policy = answer.headers["content-security-policy"]
    assert "script-src 'self'" in policy
    assert "unsafe" not in policy


@pytest.mark.parametrize("path", VIEWS)
def test_every_field_has_a_label_and_every_id_stands_once(client, path):
    text = client.get(path).text
    ids = re.findall(r'\sid="([^"]+)"', text)
    assert sorted(ids) == sorted(set(ids))
    for tag in re.findall(r"<(?:input|select)[^>]*>", text):
        if 'type="hidden"' in tag or "aria-label=" in tag:
            continue
        at = text.index(tag)
        assert text.rfind("<label", 0, at) > text.rfind("</label>", 0, at), tag


def test_the_list_sets_recipes_and_bought_feeds_side_by_side_by_name(client):
    text = client.get("/feed").text
    assert text.index("Sorrel Bend ready patty") < text.index(RECIPE)
    assert "own recipe" in text
    assert "bought feed" in text
    assert "no feed is ranked" in text
    assert "2026 price" in text
    assert "at most US$14.00" in text, "US$2.10 over a guaranteed least of 15 %"
    assert re.search(r">at least 15 %</td>\s*<td[^>]*>at least 15 %<", text), "up to 18 % of water adds none"
    by_cost = client.get("/feed?by=cost").text
    assert by_cost.index(RECIPE) < by_cost.index("Sorrel Bend ready patty")
    assert "Sorted by cost" in by_cost


def test_a_cost_that_is_known_in_part_is_held_against_no_other(client, book):
    parts = (Amount("soy_flour_defatted", 1.0, "kg"), Amount("vinegar", 9.0, "kg"))
    FeedDesk(book).keep(RecipeFile("A half priced one", parts))
    text = client.get("/feed?by=cost").text
    assert "at least US$0.08" in text, "a tenth of soy at US$0.76 a pound; the vinegar has no price"
    assert text.index("Sorrel Bend ready patty") < text.index("A half priced one")
    assert "A pound costs from US$0.81 to US$2.10." in text


def test_an_empty_book_says_what_to_do(tmp_path):
    client = Reading(create_app(tmp_path / "new.sqlite"), base_url=HERE, headers={"origin": HERE})
    text = client.get("/feed").text
    assert "No feed yet" in text
    assert client.get("/feed/ingredients").status_code == 200


def test_a_recipe_says_its_sentence_before_its_analysis(client):
    text = client.get(RECIPE_PAGE).text
    said = text.index("crude protein as fed")
    assert said < text.index("What 100 g of it contain") < text.index("What goes in</h2>")
    assert "not reported by" in text
    assert "1953" in text


def test_a_recipe_says_of_each_target_on_which_basis_it_stands_and_whether_it_is_kept(client):
    text = client.get(RECIPE_PAGE).text
    assert "Your targets: all kept" in text
    assert "Crude protein (N × 6.25, as fed), at least 15 %: the mix has" in text


def test_the_pattern_of_amino_acids_is_told_with_what_speaks_against_it_and_no_path(client):
    text = client.get(RECIPE_PAGE).text
    assert "What speaks against the pattern" in text
    assert "tryptophan is disputed" in text
    assert "docs/" not in text


def test_a_new_recipe_begins_with_the_money_and_the_country_of_the_book(client):
    page = client.get("/feed/new").text
    assert (shown_in(page, "money"), shown_in(page, "country")) == (["US$"], ["US"])


def test_a_changed_recipe_is_a_new_version_and_another_name_another_recipe(client):
    page = client.get(RECIPE_PAGE).text
    answer = client.post(RECIPE_PAGE, data=typed(page, part_0_amount="70"))
    assert "version 2" in answer.text
    assert shown_in(answer.text, "part-0-amount") == ["70"]
    client.post(RECIPE_PAGE, data=typed(answer.text, name="Autumn patty"))
    listed = client.get("/feed").text
    assert "Autumn patty" in listed
    assert RECIPE in listed


def test_saving_a_recipe_keeps_its_targets_its_bought_feed_and_their_prices(client, book):
    before = FeedDesk(book).version(RECIPE).file
    client.post(RECIPE_PAGE, data=typed(client.get(RECIPE_PAGE).text, part_0_amount="61"))
    after = FeedDesk(book).version(RECIPE).file
    assert after.aims == before.aims
    assert after.feeds == before.feeds
    assert set(after.quotes) == set(before.quotes)
    assert after.own == before.own


SPOILT = {
    "no number": ({"part_0_amount": "a lot"}, "part-0-amount", "a lot"),
    "a negative amount": ({"part_0_amount": "-3"}, "part-0-amount", "-3"),
    "a comma": ({"part_0_amount": "2,500"}, "part-0-amount", "Is that 2 500? Write 2500."),
    "a unit left out": ({"part_0_unit": ""}, "part-0-unit", "is left out"),
    "an ingredient twice": ({"part_1_ingredient": "soy_flour_defatted"}, "part-1-ingredient", "there twice"),
    "a price of nought": ({"price_0_price": "0"}, "price-0-price", "cannot be"),
    "a negative price": ({"price_0_price": "-38"}, "price-0-price", "cannot be"),
    "a bag of no weight": ({"price_0_bag": ""}, "price-0-bag", "is left out"),
    "a year that is none": ({"price_0_year": "26"}, "price-0-year", "26"),
    "buckets nobody weighed": (
        {"part_5_unit": "buckets", "part_5_bulk_kg_per_l": ""}, "part-5-bulk_kg_per_l", "is left out",
    ),
}  # fmt: skip


@pytest.mark.parametrize("case", SPOILT)
def test_what_is_wrong_in_a_recipe_stands_beside_its_field_and_nothing_typed_is_lost(client, book, case):
    changed, field, said = SPOILT[case]
    sent = typed(client.get(RECIPE_PAGE).text, note="my own note", **changed)
    answer = client.post(RECIPE_PAGE, data=sent)
    assert answer.status_code == 422
    beside = re.search(rf'id="wrong-{field}".*?</span>', answer.text, re.S)
    assert beside, f"no message beside {field}"
    assert said in answer.text
    back = form_of(answer.text)
    assert {key: back.get(key) for key in sent if key != "year"} == {
        key: value for key, value in sent.items() if key != "year"
    }
    assert len(FeedDesk(book).versions(RECIPE)) == 1


@pytest.mark.parametrize(("shares", "said"), [(("60", "30"), "sum to 90 %"), (("0.6", "0.4"), "per cent")])
def test_shares_that_do_not_make_a_whole_are_told(client, shares, said):
    sent = {
        "name": "By shares", "part-0-ingredient": "soy_flour_defatted", "part-0-amount": shares[0],
        "part-0-unit": "%", "part-1-ingredient": "sugar_granulated", "part-1-amount": shares[1],
        "part-1-unit": "%",
    }  # fmt: skip
    answer = client.post("/feed/new", data=sent)
    assert answer.status_code == 422
    assert said in answer.text
    assert shown_in(answer.text, "part-1-amount") == [shares[1]]


def test_a_share_over_a_hundred_is_told(client):
    sent = {"name": "X", "part-0-ingredient": "honey", "part-0-amount": "140", "part-0-unit": "%"}
    answer = client.post("/feed/new", data=sent)
    assert answer.status_code == 422
    assert "more than the whole" in answer.text


@pytest.mark.parametrize("field", ["name", "note", "pollen-certificate"])
def test_a_drug_named_anywhere_is_refused_and_never_repeated_as_advice(client, book, field):
    sent = form_of(client.get(RECIPE_PAGE).text) | {field: ["with terramycin"], "pollen-origin": ["bought"]}
    answer = client.post(RECIPE_PAGE, data=sent)
    assert answer.status_code == 422
    assert "veterinarian" in answer.text
    said = re.sub(r"<input[^>]*>", "", answer.text)
    assert "terramycin" not in said.lower()
    assert shown_in(answer.text, field) == ["with terramycin"]
    assert len(FeedDesk(book).versions(RECIPE)) == 1


def test_a_drug_as_an_ingredient_is_refused(client):
    answer = client.post("/feed/ingredients", data=YEAST | {"ingredient-0-name": "Terramycin"})
    assert answer.status_code == 422
    assert "veterinarian" in answer.text
    assert "Terramycin" not in client.get("/feed/ingredients").text


def test_pollen_without_papers_is_refused_everywhere_and_with_papers_it_is_not(client):
    page = client.get(RECIPE_PAGE).text
    sent = typed(page, part_6_ingredient="bee_pollen", part_6_amount="10", part_6_unit="lb")
    answer = client.post(RECIPE_PAGE, data=sent)
    assert "foulbrood" in answer.text
    assert "freez" in answer.text.lower()
    listed = client.get("/feed").text
    assert f"Refused as it stands: {RECIPE}" in listed
    sheet = client.get(BATCH)
    assert sheet.status_code == 422
    assert "No batch sheet" in sheet.text
    assert client.get(BATCH.replace("batch", "batch-sheet", 1)).status_code == 422
    sent = typed(answer.text) | {"pollen-origin": ["own"], "pollen-free_of_foulbrood": ["yes"]}
    answer = client.post(RECIPE_PAGE, data=sent)
    assert "crude protein as fed" in answer.text
    assert "Real pollen makes up" in answer.text
    assert client.get(BATCH).status_code == 200


def test_a_price_typed_works_out_anew_without_saving(client, book):
    sent = typed(client.get(RECIPE_PAGE).text, part_0_amount="90")
    piece = client.post("/feed/look", data=sent, headers={"hx-request": "true"})
    assert piece.status_code == 200
    assert "<html" not in piece.text
    assert "crude protein as fed" in piece.text
    assert len(FeedDesk(book).versions(RECIPE)) == 1
    spoilt = client.post("/feed/look", data=typed(client.get(RECIPE_PAGE).text, part_0_amount="x"))
    assert 'role="alert"' in spoilt.text


def test_a_recipe_file_goes_out_and_comes_in_as_the_same_recipe(client, tmp_path):
    sent = client.get(RECIPE_PAGE.replace("recipe", "file", 1))
    assert "attachment" in sent.headers["content-disposition"]
    first = read_recipe(FIRST_RECIPE)
    assert recipe_from_text(sent.text, "sent") == first
    other = Reading(create_app(tmp_path / "friend.sqlite"), base_url=HERE, headers={"origin": HERE})
    answer = other.post("/feed/file", files={"file": ("r.toml", sent.content)})
    assert "Read in from the file" in answer.text
    assert "Sorrel Bend ready patty" in other.get("/feed").text


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "empty"),
        (b"\xff\xfe\x00", "UTF-8"),
        (b"name = ", "not TOML"),
        (b'name = "x"\n', "no ingredient"),
        (b"x" * 61_000, "too long"),
        (b'name = "add terramycin"\n[[part]]\ningredient="honey"\namount=1\nunit="kg"', "veterinarian"),
    ],
)
def test_a_file_that_is_none_is_told_and_nothing_is_kept(client, content, said):
    answer = client.post("/feed/file", files={"file": ("theirs.toml", content)})
    assert answer.status_code == 422
    assert said in answer.text
    assert "1 own recipe, 1 bought feed" in answer.text


def test_a_recipe_that_was_kept_before_a_check_of_today_does_not_hide_the_others(client, book):
    with writing(open_book(book)) as session:
        keep_recipe(session, "Old patty", 'name = "Old patty"\nnote = "with terramycin"\n')
    answer = client.get("/feed")
    assert answer.status_code == 200
    assert RECIPE in answer.text
    assert "Refused as it stands: Old patty" in answer.text
    assert client.get("/feed/recipe/Old%20patty").status_code == 422


def test_a_file_of_a_name_that_is_there_says_that_the_one_before_stays(client):
    file = client.get(RECIPE_PAGE.replace("recipe", "file", 1)).text
    changed = file.replace("Invented, to show", "Changed, to show")
    answer = client.post("/feed/file", files={"file": ("r.toml", changed)})
    assert "You had a recipe of this name" in answer.text


def test_a_name_of_which_no_claim_is_made_is_not_refused(client):
    sent = form_of(client.get(RECIPE_PAGE).text) | {"name": ["Thyme honey patty"]}
    answer = client.post("/feed/new", data=sent)
    assert answer.status_code == 200
    assert "Thyme honey patty" in client.get("/feed").text


def test_a_file_with_a_mistake_is_told_by_its_name_and_line(client):
    sent = b'name = "x"\n[[part]]\ningredient = "honey"\namount = 1\n'
    answer = client.post("/feed/file", files={"file": ("from_a_friend.toml", sent)})
    assert "from_a_friend.toml, line 2, [[part]] 1, unit" in answer.text
    assert "what you typed" not in answer.text


def test_the_batch_sheet_has_a_box_for_every_bucket_and_prints_on_one_page(client):
    page = client.get(BATCH).text
    assert page.count('type="checkbox"') >= 12
    assert "Measure everything out" in page
    assert "No drugs in this batch" in page
    href = re.search(r'href="(/feed/batch-sheet/[^"]+)"', page)[1].replace("&amp;", "&")
    for paper, size in (("us-letter", (612, 792)), ("a4", (595, 842))):
        pdf = client.get(re.sub("paper=[a-z0-9-]+", f"paper={paper}", href))
        assert pdf.headers["content-type"] == "application/pdf"
        pages = PdfReader(BytesIO(pdf.content)).pages
        assert len(pages) == 1
        assert tuple(round(float(x)) for x in pages[0].mediabox[2:]) == size


def test_another_amount_is_made_out_and_written_down_under_its_number(client, book):
    page = client.get(f"{BATCH}?mixing-batch=100").text
    assert re.search(r"about <b>10\d lb</b>: 10\d pieces", page)
    answer = client.post(f"{BATCH}?mixing-batch=100")
    assert "Batch 2026-001 is written down" in answer.text
    assert [one.number for one in FeedDesk(book).batches()] == ["2026-001"]
    assert "2026-002" in client.get(BATCH).text


@pytest.mark.parametrize("amount", ["-5", "0", "many", "2,500"])
def test_an_amount_that_is_none_is_told_and_stays_in_its_field(client, amount):
    answer = client.get(BATCH, params={"mixing-batch": amount})
    assert answer.status_code == 422
    assert shown_in(answer.text, "mixing-batch") == [amount]
    assert 'id="wrong-mixing-batch"' in answer.text


@pytest.mark.parametrize("screen", ["recipe", "cheapest", "batch", "file", "bought"])
def test_a_name_that_is_not_there_is_told(client, screen):
    answer = client.get(f"/feed/{screen}/nobody")
    assert answer.status_code == 422
    assert "not in this book" in answer.text


@pytest.mark.parametrize("name", ["A/B & <i>C</i>", "Ünser 50 % Kuchen?", "../up", "a#b"])
def test_any_name_can_be_opened_again_and_is_text(client, name):
    sent = {"name": name, "part-0-ingredient": "honey", "part-0-amount": "1", "part-0-unit": "kg"}
    answer = client.post("/feed/new", data=sent)
    assert answer.status_code == 200
    assert "<i>C</i>" not in answer.text
    listed = client.get("/feed").text
    for href in re.findall(r'class="name" href="([^"]+)"', listed):
        assert client.get(href).status_code == 200


def test_a_recipe_is_taken_off_the_list(client):
    answer = client.post(RECIPE_PAGE.replace("recipe", "withdraw", 1))
    listed, _, below = answer.text.partition('id="off"')
    assert "Taken off the list" in listed
    assert RECIPE not in listed
    assert RECIPE in below


def test_the_vendored_script_is_the_one_that_was_checked():
    import hashlib

    folder = Path(__file__).parents[2] / "src" / "breadline" / "web" / "static" / "vendor"
    for line in (folder / "CHECKSUMS").read_text("utf-8").splitlines():
        digest, name = line.split()
        assert hashlib.sha256((folder / name).read_bytes()).hexdigest() == digest
