"""The page of ingredients: the table with every source written out, and one's own from their labels."""

from __future__ import annotations

import html

import pytest

from breadline.knowledge.ingredients import ingredients
from breadline.web.app import create_app
from web.conftest import HERE, Reading
from web.feed_forms import form_of
from web.test_feed_pages import DAY, YEAST


@pytest.fixture
def client(feed_book):
    app = create_app(feed_book, today=lambda: DAY)
    return Reading(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)


def test_the_ingredients_show_their_sources_and_how_each_was_read(client):
    text = client.get("/feed/ingredients").text
    assert '<a href="#source-usda_sr26">' in text
    assert (
        "National Nutrient Database for Standard Reference, release 26" in text.split("<h2>Sources</h2>")[1]
    )
    assert 'id="source-ingledew1977"' in text
    assert "from memory, not checked" in text
    assert "not said" in text
    found = client.get("/feed/ingredients?find=yeast").text
    assert "Torula" in found
    assert "Honey" not in found.split('id="add"')[0].split("The table")[1]


def test_what_is_remarked_of_an_ingredient_is_told_in_the_language_of_the_reader(client):
    text = client.get("/feed/ingredients?language=es").text
    notes = [one.note for one in ingredients().values() if one.note]
    assert len(set(notes)) > 20
    assert not [note for note in notes if html.escape(note, quote=False) in text]
    assert "La miel puede llevar esporas de loque." in text
    found = client.get("/feed/ingredients?language=es&find=esporas").text
    assert "esporas de loque" in found
    assert "Casi sin proteína" not in found


def test_an_ingredient_from_its_label_can_go_into_every_recipe(client):
    answer = client.post("/feed/ingredients", data=YEAST)
    assert answer.status_code == 200
    assert "44 to 47 %" in answer.text
    own = answer.text.split('id="own"')[1].split("The table")[0]
    assert "its label" in own
    assert "read in the source" not in own  # nobody but its buyer has read it
    new = client.get("/feed/new").text
    assert '<option value="our_yeast">Our yeast</option>' in new
    sent = {"name": "Yeast cake", "part-0-ingredient": "our_yeast", "part-0-amount": "1", "part-0-unit": "kg"}
    assert "45" in client.post("/feed/new", data=sent).text


YEASTS_SPOILT = {
    "no basis": ({"ingredient-0-basis": ""}, "ingredient-0-basis", "is left out"),
    "no factor": ({"ingredient-0-protein_factor": ""}, "ingredient-0-protein_factor", "is left out"),
    "over a hundred": ({"ingredient-0-water_pct": "107"}, "ingredient-0-water_pct", "more than the whole"),
    "the wrong way round": ({"ingredient-0-protein_pct": "47 to 44"}, "ingredient-0-protein_pct", "above"),
    "a price below nought": ({"price-0-price": "-1"}, "price-0-price", "cannot be"),
    "no name": ({"ingredient-0-name": ""}, "ingredient-0-name", "no name"),
    "a name there is": ({"ingredient-0-name": "Honey"}, "ingredient-0-name", "called so already"),
    "pollen not called so": ({"ingredient-0-name": "Our pollen"}, "ingredient-0-traits", "pollen"),
}  # fmt: skip


@pytest.mark.parametrize("case", YEASTS_SPOILT)
def test_what_is_wrong_in_an_ingredient_is_told_and_nothing_typed_is_lost(client, case):
    changed, field, said = YEASTS_SPOILT[case]
    sent = YEAST | changed
    answer = client.post("/feed/ingredients", data=sent)
    assert answer.status_code == 422
    assert said in answer.text
    assert f'id="wrong-{field}"' in answer.text or field.endswith("traits")
    back = form_of(answer.text)
    assert {key: back[key][0] for key in sent} == sent
