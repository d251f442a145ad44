"""Recipe files: what is read is what was written, and a file written back says the same."""

from __future__ import annotations

from math import inf
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breadline.errors import RecipeError
from breadline.jobs.recipe_file import read_recipe, recipe_from_text, recipe_to_toml
from breadline.jobs.recipe_ingredients import all_ingredients, ingredient_of
from breadline.jobs.recipe_written import (
    Aim,
    Amount,
    BoughtFeed,
    Known,
    Label,
    Mixing,
    OwnIngredient,
    PollenPapers,
    Quote,
    RecipeFile,
    Solving,
)
from breadline.knowledge.ingredient import AMINO_ACIDS, NUTRIENTS, Content
from breadline.knowledge.ingredients import ingredients

EXAMPLE = Path(__file__).parents[2] / "examples" / "first-recipe" / "recipe.toml"
POUND_G, BUCKET_L = 453.59237, 17.0
BASES, CENT = st.sampled_from(["as fed", "dry matter"]), st.floats(0, 100)
ABOVE_0 = st.floats(0.001, 9000)
LOST = st.just(0.0) | st.floats(0.1, 50)
LEASTS = st.floats(0, 60).map(lambda least: Content(least, inf))
WORDS = st.text(st.characters(exclude_categories=("Cs",), exclude_characters="\r"), max_size=20)
NAMES = st.text(st.characters(categories=("L", "N")), min_size=1, max_size=12)


def maybe(some):
    return st.none() | some


def spans(most: float):
    return st.tuples(st.floats(0, most), st.floats(0, most)).map(lambda two: Content(min(two), max(two)))


@st.composite
def labels(draw) -> Label:
    contents = draw(
        st.dictionaries(st.sampled_from([k for k, u in NUTRIENTS.items() if u == "mg"]), spans(9e4))
    )
    water = draw(spans(20))
    return Label(
        draw(BASES), draw(spans(60) | LEASTS), draw(st.floats(5, 6.5)), {**contents, "water": water},
        draw(st.dictionaries(st.sampled_from(AMINO_ACIDS), st.floats(0, 5), max_size=3)),
        draw(st.sampled_from([(), ("yeast",), ("pollen", "powder")])), draw(maybe(st.floats(0.1, 2))),
    )  # fmt: skip


@st.composite
def amounts(draw, key: str) -> Amount:
    if draw(st.booleans()):
        return Amount(key, draw(ABOVE_0), "buckets", draw(st.floats(1, 40)), draw(st.floats(0.1, 2)))
    return Amount(key, draw(ABOVE_0), draw(st.sampled_from(["g", "kg", "lb", "oz"])))


@st.composite
def quotes(draw, of: str) -> Quote:
    per = draw(st.sampled_from(["kg", "lb", "t", "bag"]))
    bag = draw(ABOVE_0) if per == "bag" else draw(maybe(ABOVE_0))
    unit = None if bag is None else draw(st.sampled_from(["kg", "lb"]))
    return Quote(of, draw(ABOVE_0), per, "NZ$", draw(st.integers(2000, 2099)), bag, unit)


PROTEIN_ON = st.sampled_from(["N x 6.25", "own factor"])
AIMS = st.one_of(
    st.builds(Aim, st.just("protein"), CENT, st.none(), st.just("%"), BASES, PROTEIN_ON),
    st.builds(Aim, st.just("sodium"), st.none(), st.floats(0, 9000), st.just("mg/100 g"), BASES),
    st.builds(Aim, st.just("linoleic"), st.none(), st.floats(1, 9), st.just("to 1"), to=st.just("linolenic")),
    st.builds(Aim, st.just("pollen"), CENT, st.none(), st.just("%"), st.just("as fed")),
    st.builds(Aim, st.just("lys"), st.floats(0, 9), st.none(), st.just("g/100 g of protein"), st.none(),
              st.just("N x 6.25"), st.just("protein")),
)  # fmt: skip
PAPERS = st.builds(
    PollenPapers, st.sampled_from(["own", "bought", "unknown"]), st.booleans(),
    maybe(st.sampled_from(["gamma", "electron beam"])), maybe(st.floats(1, 100)), NAMES, st.booleans(),
)  # fmt: skip
KNOWNS = st.builds(
    Known, maybe(st.booleans()), maybe(CENT), maybe(CENT), maybe(CENT), maybe(CENT), maybe(st.floats(0, 52)),
    st.booleans(),
)  # fmt: skip
FEEDS = st.builds(
    BoughtFeed, NAMES, BASES, st.floats(1, 60), maybe(CENT), maybe(CENT), maybe(CENT), maybe(CENT),
    maybe(CENT), st.lists(WORDS, max_size=3).map(tuple), WORDS,
)  # fmt: skip

FEED_LISTS = st.lists(FEEDS, max_size=2, unique_by=lambda one: one.name)


@st.composite
def recipe_files(draw) -> RecipeFile:
    keys = draw(st.lists(st.sampled_from(sorted(ingredients())), min_size=1, max_size=4, unique=True))
    own = OwnIngredient("our_own", draw(NAMES), draw(labels()), draw(WORDS))
    used = [*keys, "our_own"]
    mixing = st.builds(Mixing, st.sampled_from(["kg", "lb"]), maybe(ABOVE_0), maybe(ABOVE_0), st.just(1.5),
                       st.sampled_from(["g", "lb"]), maybe(st.floats(1, 99)), NAMES, maybe(LOST))  # fmt: skip
    solving = st.builds(Solving, st.just(tuple(keys)), maybe(st.integers(1, 9)), maybe(CENT), st.just(()),
                        maybe(st.floats(1.5, 100)),
                        st.sampled_from(["safe", "middle"]), maybe(st.floats(0.1, 60)))  # fmt: skip
    return RecipeFile(
        draw(NAMES), tuple(draw(amounts(key)) for key in used), draw(WORDS),
        draw(st.sampled_from(["", "US", "NZ"])), (own,), tuple(draw(FEED_LISTS)),
        tuple(draw(quotes(key)) for key in keys), tuple(draw(st.lists(AIMS, max_size=3))),
        draw(st.just(Solving()) | solving), draw(maybe(mixing)), draw(maybe(PAPERS)),
        draw(KNOWNS),
    )  # fmt: skip


@settings(max_examples=40, deadline=None)
@given(recipe_files())
def test_a_recipe_written_and_read_again_is_the_same(recipe: RecipeFile) -> None:
    text = recipe_to_toml(recipe)
    assert recipe_from_text(text, "written.toml") == recipe
    assert recipe_to_toml(recipe_from_text(text, "written.toml")) == text


def test_the_example_says_that_it_is_invented_and_reads_back() -> None:
    recipe = read_recipe(EXAMPLE)
    assert "invented" in EXAMPLE.read_text("utf-8").lower()
    assert recipe_from_text(recipe_to_toml(recipe), "again.toml") == recipe


def test_pounds_ounces_and_buckets_become_grams() -> None:
    assert Amount("x", 3, "lb").grams == pytest.approx(3 * POUND_G)
    assert Amount("x", 16, "oz").grams == pytest.approx(POUND_G)
    assert Amount("x", 2, "buckets", BUCKET_L, 0.5).grams == pytest.approx(17_000.0)


@pytest.mark.parametrize(
    ("quote", "per_kg"),
    [
        (Quote("x", 2.0, "lb", "US$", 2026), 2.0 / 0.45359237),
        (Quote("x", 30.0, "bag", "US$", 2026, 25, "kg"), 1.2),
        (Quote("x", 22.6796185, "bag", "US$", 2026, 50, "lb"), 1.0),
        (Quote("x", 900.0, "t", "US$", 2026), 0.9),
    ],
)
def test_a_price_is_turned_to_a_kilogram(quote: Quote, per_kg: float) -> None:
    assert quote.as_price.per_kg == pytest.approx(per_kg)
    assert quote.as_price.year == 2026


def test_shares_are_parts_of_the_whole() -> None:
    text = 'name = "x"\n' + "".join(
        f'[[part]]\ningredient = "{key}"\namount = {share}\nunit = "%"\n'
        for key, share in {"water": 33.3, "honey": 33.3, "sugar_granulated": 33.3}.items()
    )
    recipe = recipe_from_text(text, "thirds.toml")
    shares = recipe.recipe(ingredients()).shares()
    assert list(shares.values()) == pytest.approx([1 / 3] * 3)


def test_a_label_of_dry_matter_is_turned_to_as_fed_by_its_own_water() -> None:
    water = {"water": Content(8.0, 12.0), "fat": Content(10.0, 10.0)}
    found = ingredient_of(OwnIngredient("x", "x", Label("dry matter", Content(50.0, 50.0), 6.25, water)))
    assert (found.protein.low, found.protein.high) == pytest.approx((44.0, 46.0))
    assert (found.nutrients["fat"].low, found.nutrients["fat"].high) == pytest.approx((8.8, 9.2))
    assert found.nutrients["water"] == water["water"]
    assert found.content("ash") is None, "what a label leaves out is not nought"


@pytest.mark.parametrize(
    ("label", "says"),
    [
        (Label("dry matter", Content(50, 50), 6.25), "says nothing of the most moisture"),
        (Label("as fed", None, None), "its protein is not stated"),
    ],
)
def test_a_label_that_cannot_be_reckoned_with_is_refused(label: Label, says: str) -> None:
    with pytest.raises(RecipeError, match=says):
        ingredient_of(OwnIngredient("x", "x", label))


def test_an_ingredient_may_be_called_by_its_name() -> None:
    text = 'name = "x"\n[[part]]\ningredient = "soy flour, defatted"\namount = 1\nunit = "kg"\n'
    assert recipe_from_text(text, "x.toml").amounts[0].ingredient == "soy_flour_defatted"


def test_the_own_ingredient_stands_beside_the_shipped_ones() -> None:
    known = all_ingredients(read_recipe(EXAMPLE))
    assert known["sorrel_yeast"].source == "own_label"
    assert len(known) == len(ingredients()) + 1


def test_a_text_over_several_lines_does_not_move_the_line_numbers() -> None:
    note = 'note = """\n[[part]]\namount = 3\n"""\n'
    text = f'name = "x"\n{note}[[part]]\ningredient = "water"\namount = 0\nunit = "kg"\n'
    with pytest.raises(RecipeError, match=r"line 8, \[\[part\]\] 1, amount"):
        recipe_from_text(text, "x.toml")


VALUES = st.sampled_from([
    "0", "-1", "1e308", "nan", "inf", "true", '"x"', '""', "[]", "[1, 2]", "{a = 1}", "2026-01-01", '"kg"',
    '"%"', '"min 4"', '"\\u0000"', "[[1]]", '"bee_pollen"', '"protein"', '"5:0"', "120", "9" * 20,
])  # fmt: skip
HEADS = st.sampled_from(["[[part]]", "[part]", "[[feed]]", "[pollen]", "[[mixing]]", "[known]", "[mixing.x]"])
SLIPS = st.tuples(st.floats(0, 1, exclude_max=True), st.none() | VALUES | HEADS)


@settings(max_examples=80, deadline=None)
@given(st.lists(SLIPS, min_size=1, max_size=3))
def test_whatever_is_spoilt_is_read_or_refused_with_its_place(slips) -> None:
    lines = EXAMPLE.read_text("utf-8").splitlines()
    for at, slip in slips:
        n = int(at * len(lines))
        key = lines[n].split("=")[0]
        lines[n] = "" if slip is None else slip if slip[0] == "[" and slip[-2].isalpha() else f"{key}= {slip}"
    found = read_or_refused("\n".join(lines))
    assert isinstance(found, RecipeFile) or (found.where.startswith("spoilt.toml") and found.what)


def read_or_refused(text: str) -> RecipeFile | RecipeError:
    """The recipe, or the error it is refused with; anything else fails the test."""
    try:
        return recipe_from_text(text, "spoilt.toml")
    except RecipeError as error:
        return error
