"""What a label says becomes ranges; what it leaves out or gets wrong is named. All labels are invented."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.errors import RecipeError
from breadline.knowledge.data import sources
from breadline.knowledge.ingredient import Content
from breadline.knowledge.label import Label, from_label
from breadline.knowledge.label_text import Said, said


def label(says, basis="as fed", factor=6.25, key="my_feed"):
    return Label(key, "My feed", says, basis, factor)


def test_guarantees_become_ranges():
    feed = from_label(
        label({"Crude protein": "min 40 %", "Moisture": "max 8 %", "Crude fat": "2 %", "Ash": "5-6 %"})
    )
    assert feed.content("water") == Content(0.0, 8.0)
    assert feed.content("fat") == Content(2.0, 2.0)
    assert feed.content("ash") == Content(5.0, 6.0)
    assert feed.protein.low == 40.0
    assert feed.content("sugars") is None
    assert feed.source in sources()


def test_a_floor_of_protein_runs_up_to_the_room_that_is_left():
    feed = from_label(label({"protein": "min 40 %", "water": "20 %", "fat": "10 %", "sugars": "min 30 %"}))
    # 100 - 20 - 10 - 30 = 40 g of protein, which at N × 5.70 are 43.86 on N × 6.25
    assert feed.protein == Content(40.0, pytest.approx(40.0 * 6.25 / 5.70))
    # 100 - 20 - 10 - 40 × 5.70 / 6.25
    assert feed.content("sugars") == Content(30.0, pytest.approx(33.52))


def test_a_floor_of_a_fatty_acid_runs_up_to_the_fat():
    feed = from_label(label({"protein": "40 %", "fat": "max 6 %", "linoleic": "min 1 %"}))
    assert feed.content("linoleic") == Content(1.0, 6.0)


def test_minerals_come_in_milligrams():
    feed = from_label(label({"protein": "40 %", "sodium": "0.12 %", "zinc": "50 ppm", "calcium": "2 g/kg"}))
    assert feed.content("sodium") == Content(pytest.approx(120.0), pytest.approx(120.0))
    assert feed.content("zinc") == Content(pytest.approx(5.0), pytest.approx(5.0))
    assert feed.content("calcium") == Content(pytest.approx(200.0), pytest.approx(200.0))


def test_dry_matter_is_turned_into_as_fed():
    feed = from_label(label({"protein": "50 %", "moisture": "max 10 %", "lysine": "3 %"}, basis="dry matter"))
    assert feed.protein == Content(pytest.approx(45.0), pytest.approx(50.0))
    assert feed.content("water") == Content(0.0, 10.0)
    assert feed.amino_acids["lys"] == Content(pytest.approx(2.7), pytest.approx(3.0))


@pytest.mark.parametrize(("says", "words"), [
    ({"protein": "40"}, "has no unit"),
    ({"protein": "140 %"}, "is over 100 %"),
    ({"protein": "-4 %"}, "is below 0"),
    ({"protein": "45-40 %"}, "runs backwards"),
    ({"protein": "8,5 %"}, "Write 8.5 %"),
    ({"protein": "plenty"}, "does not begin with a number"),
    ({"protein": "40 lb"}, "is not a unit of a label"),
    ({"fat": "4 %"}, "says nothing of protein"),
    ({"protein": "40 %", "crude protein": "41 %"}, "is there twice"),
    ({"protein": "40 %", "vitamins": "1 %"}, "is not a line that is known"),
    ({"protein": "40 %", "sugars": "70 %"}, "sum to at least 106.5 %"),
    ({"protein": "40 %", "fat": "2 %", "linoleic": "5 %"}, "more than all its fat"),
    ({"protein": "40 %", "sugars": "2 %", "lactose": "5 %"}, "more than all its sugars"),
    ({"protein": "40 %", "ash": "1 %", "sodium": "1.2 %"}, "more than all its ash"),
    ({"protein": "40 %", "lysine": "min 2 %"}, "only a min or a max"),
])  # fmt: skip
def test_a_line_that_cannot_be_is_named(says, words):
    with pytest.raises(RecipeError, match=words):
        from_label(label(says))


@pytest.mark.parametrize(("kept", "words"), [
    ({"basis": ""}, "states no basis"),
    ({"basis": "wet"}, '"wet" is no basis'),
    ({"basis": "dry matter"}, "says nothing of the most moisture"),
    ({"factor": None}, "does not say how protein was worked out"),
    ({"factor": 0.0625}, "a nitrogen factor of 0.0625 is none"),
    ({"key": "My Feed"}, '"My Feed" is no key'),
])  # fmt: skip
def test_an_unstated_basis_is_asked_for(kept, words):
    with pytest.raises(RecipeError, match=words):
        from_label(label({"protein": "40 %"}, **kept))


def test_a_feed_without_a_name_is_refused():
    with pytest.raises(RecipeError, match="the name on the bag"):
        from_label(Label("x", " ", {"protein": "40 %"}, "as fed", 6.25))


def test_soy_on_6_25_may_print_more_than_100():
    # the crude protein of shipped soy flour, its water, fat, ash, fibre and sugars print 102.5 together
    says = {
        "protein": "51.46 %",
        "water": "7.25 %",
        "fat": "1.22 %",
        "ash": "6.15 %",
        "fibre": "17.5 %",
        "sugars": "18.88 %",
    }
    assert from_label(label(says)).protein == Content(51.46, 51.46)


@pytest.mark.parametrize(
    "text", ["min 40 %", "40 % min", "at least 40%", "≥ 40 %", "Minimum: 40 %", "min. 40 %"]
)
def test_ways_of_writing_a_floor(text):
    assert (said("protein", text).low, said("protein", text).high) == (40.0, None)


@pytest.mark.parametrize("text", ["max 8 %", "8 % max", "at most 8%", "< 8 %", "up to 8 %"])
def test_ways_of_writing_a_ceiling(text):
    assert (said("moisture", text).low, said("moisture", text).high) == (None, 8.0)


@given(st.floats(0, 45), st.floats(0, 20), st.floats(0, 20), st.booleans())
def test_a_range_always_holds_what_was_printed(protein, water, fat, floor):
    mark = "min " if floor else ""
    feed = from_label(
        label({"protein": f"{mark}{protein:.2f} %", "water": f"max {water:.2f} %", "fat": f"{fat:.2f} %"})
    )
    assert feed.protein.low == pytest.approx(protein, abs=0.006)
    assert feed.protein.low <= feed.protein.high <= 100.0
    assert feed.protein.exact or floor


def test_lines_already_read_are_held_to_the_same_bounds():
    read = from_label(label({"protein": Said(40.0, None), "water": Said(None, 8.0)}))
    assert read == from_label(label({"protein": "min 40 %", "water": "max 8 %"}))
    for odd in (Said(-1.0, 2.0), Said(5.0, 4.0), Said(1.0, 101.0)):
        with pytest.raises(RecipeError, match="fat"):
            from_label(label({"protein": "40 %", "fat": odd}))
