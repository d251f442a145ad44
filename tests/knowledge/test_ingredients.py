"""The shipped table: what was printed adds up, blanks stay blank, and nothing is more than its whole."""

from __future__ import annotations

import re
from pathlib import Path
from typing import get_args

import pytest

from breadline.errors import OurFault
from breadline.knowledge import ingredients as module
from breadline.knowledge.data import sources
from breadline.knowledge.drug_words import kinds_named
from breadline.knowledge.figure import Read
from breadline.knowledge.ingredient import AMINO_ACIDS, NUTRIENTS, Content, Ingredient, Trait
from breadline.knowledge.ingredients import as_printed, content, in_english, ingredients, rows
from breadline.language import speaking

PAGE = (Path(__file__).parents[2] / "docs" / "method" / "ingredients.md").read_text("utf-8")
ROWS = tuple(rows())
KEYS = [row["key"] for row in ROWS]
TABLE = [pytest.param(i, id=key) for key, i in ingredients().items()]
OF_USDA = [row for row in ROWS if row["source"] == "usda_sr26"]
PRINTED = 0.011  # five numbers of two decimals


@pytest.mark.parametrize("row", OF_USDA, ids=[row["key"] for row in OF_USDA])
def test_carbohydrate_is_what_water_protein_fat_and_ash_leave_of_100(row):
    # it is printed as the difference, never below nought, so that a slip of the pen shows
    others = sum(float(row[name]) for name in ("water", "protein", "fat", "ash"))
    assert float(row["carbohydrate"]) == pytest.approx(max(0.0, 100.0 - others), abs=PRINTED)


@pytest.mark.parametrize("row", OF_USDA, ids=[row["key"] for row in OF_USDA])
def test_fibre_sugars_and_starch_fit_into_the_carbohydrate(row):
    inner = sum(float(row[name]) for name in ("fibre", "sugars", "starch") if row[name])
    assert inner <= float(row["carbohydrate"]) + PRINTED


def test_the_release_of_2013_has_27_foods_each_with_its_number():
    numbers = [row["usda"] for row in OF_USDA]
    assert len(numbers) == len(set(numbers)) == 27
    assert all(number.isdigit() for number in numbers)


@pytest.mark.parametrize("i", TABLE)
def test_fatty_acids_are_part_of_the_fat_and_minerals_of_the_ash(i: Ingredient):
    fat = i.content("fat")
    acids = [i.content(name) for name in ("linoleic", "linolenic")]
    if fat and all(acids):
        assert sum(a.low for a in acids if a) <= fat.high + PRINTED
    ash = i.content("ash")
    names = ("sodium", "potassium", "calcium", "phosphorus", "zinc")
    minerals = [found for name in names if (found := i.content(name))]
    if ash and ash.high > 0.1 and minerals:  # below, ash and minerals are both traces
        assert sum(m.low for m in minerals) / 1000.0 <= ash.high


@pytest.mark.parametrize("i", TABLE)
def test_amino_acids_are_less_than_the_protein(i: Ingredient):
    assert sum(i.acid_shares.values()) * i.nitrogen_factor <= 6.25
    assert not i.amino_acids
    assert set(i.acid_shares) <= set(AMINO_ACIDS)


@pytest.mark.parametrize("i", TABLE)
def test_what_is_reported_is_possible(i: Ingredient):
    for name, found in i.nutrients.items():
        assert 0 <= found.low <= found.high
        assert found.high <= (100.0 if NUTRIENTS[name] == "g" else 100_000.0)
    assert 0 <= i.protein.low <= i.protein.high <= 100
    if i.bulk_g_per_ml:
        assert 0.1 < i.bulk_g_per_ml.low <= i.bulk_g_per_ml.high < 2.0


@pytest.mark.parametrize("row", ROWS, ids=KEYS)
def test_a_blank_cell_is_not_reported_and_never_nought(row):
    i = ingredients()[row["key"]]
    for name in NUTRIENTS:
        if row[name] == "" and name != "lactose":
            assert i.content(name) is None
        if row[name]:
            assert i.content(name) == content(row[name])


def test_lactose_is_the_sugar_of_milk():
    for i in ingredients().values():
        lactose = i.content("lactose")
        assert lactose is not None
        if "dairy" not in i.traits:
            assert lactose == Content(0.0, 0.0)
    # printed as sugars, row by row
    assert ingredients()["milk_nonfat_dry"].content("lactose") == Content(51.98, 51.98)
    assert ingredients()["whey_sweet_dried"].content("lactose") == Content(74.46, 74.46)


def test_protein_on_both_factors():
    # 47.01 × 6.25 / 5.71 and 36.16 × 6.25 / 6.38
    assert ingredients()["soy_flour_defatted"].crude_protein.low == pytest.approx(51.46, abs=0.005)
    assert ingredients()["milk_nonfat_dry"].crude_protein.low == pytest.approx(35.42, abs=0.005)


def test_gluten_has_the_amino_acids_of_wheat_flour_share_for_share():
    gluten, flour = ingredients()["wheat_gluten"], ingredients()["wheat_flour"]
    assert gluten.proxy_of_amino_acids == flour.key
    for name in flour.acid_shares:
        share = flour.amino_acid(name).low / flour.crude_protein.low
        assert gluten.amino_acid(name).low / gluten.crude_protein.low == pytest.approx(share)


def test_amino_acids_follow_the_protein_that_they_were_reported_with():
    # remembered as 3.22 g of lysine with 45.9 g of protein
    yeast = ingredients()["yeast_brewers_dried"]
    assert yeast.acid_shares["lys"] == pytest.approx(3.22 / 45.9)
    assert yeast.amino_acid("lys").low == pytest.approx(3.22 * 36.0 / 45.9)
    assert yeast.amino_acid("lys").high == pytest.approx(3.22)
    # printed with the row's own protein: taken as it stands
    assert ingredients()["soy_flour_defatted"].amino_acid("lys").low == pytest.approx(3.129)


@pytest.mark.parametrize("row", ROWS, ids=KEYS)
def test_a_row_says_where_it_comes_from(row):
    assert row["source"] in sources()
    assert row["read"] in get_args(Read)
    assert bool(row["bulk_g_per_ml"]) == bool(row["bulk_source"]) == bool(row["bulk_read"])
    assert row["bulk_read"] in (*get_args(Read), "")
    assert set(row["traits"].split("|")) <= set(get_args(Trait))
    for key in re.findall(r"\[([a-z_]+\d*[a-z_]*)", row["note"]):
        assert key in sources(), f"{row['key']}: [{key}]"
    if row["read"] == "memory":
        assert "from memory" in row["note"].lower()


def test_keys_are_written_alike_and_stand_once():
    assert len(KEYS) == len(set(KEYS))
    assert all(re.fullmatch(r"[a-z][a-z0-9_]*", key) for key in KEYS)
    assert list(ingredients()) == KEYS


def test_the_table_is_read_once_and_cannot_be_changed():
    assert ingredients() is ingredients()
    with pytest.raises(TypeError):
        ingredients()["soy_flour_defatted"] = ingredients()["water"]  # type: ignore[index]


@pytest.mark.parametrize(
    ("cell", "value"), [("protein", ""), ("protein", "much"), ("amino_acids_of", "nobody")]
)
def test_a_damaged_table_is_our_fault(monkeypatch, cell, value):
    monkeypatch.setattr(module, "rows", lambda: [ROWS[0] | {cell: value}])
    with pytest.raises(OurFault, match="soy_flour_defatted"):
        as_printed.__wrapped__()


def _printed(found: Content, digits: int) -> str:
    ends = [f"{end:.{digits}f}" for end in (found.low, found.high)]
    return " to ".join(dict.fromkeys(ends))


@pytest.mark.parametrize("i", TABLE)
def test_the_page_on_method_lists_the_row_as_it_is(i: Ingredient):
    water, bulk = i.content("water"), i.bulk_g_per_ml
    amino = f"of {i.proxy_of_amino_acids}" if i.proxy_of_amino_acids else str(len(i.acid_shares) or "none")
    cells = (
        f"`{i.key}`", i.name, _printed(i.crude_protein, 1), f"{i.nitrogen_factor:g}", _printed(i.protein, 1),
        _printed(water, 1) if water else "", amino, _printed(bulk, 2) if bulk else "", i.read,
    )  # fmt: skip
    assert f"| {' | '.join(cells)} |" in PAGE


def test_the_names_of_another_language_name_no_drug_and_are_found_by_their_english():
    """Rules that go by words of a name, and refusals, read the table's own name in any language."""
    with speaking("es"):
        named = ingredients()
        assert named["water"].name == "Agua"
        assert [one.name for one in named.values() if kinds_named(one.name)] == []
        assert [in_english(one) for one in named.values()] == [row["name"] for row in ROWS]
    assert ingredients()["water"].name == "Water"
