"""Buckets of a recipe's form in gallons and pounds, read in what it was shown in. All invented."""

from __future__ import annotations

import re

import pytest

from breadline.web.app import create_app
from breadline.web.recipe_form import Typed
from breadline.web.recipe_units import in_units
from web.conftest import HERE, Reading
from web.feed_forms import RECIPE, RECIPE_PAGE, shown_in, typed
from web.test_feed_pages import DAY

POUNDS, KILOGRAMS = {"cookie": "measures=lb"}, {"cookie": "measures=kg"}
BULK = "part-0-bulk_kg_per_l"


def read(sent, field):
    return Typed(sent)._value(field, field.rpartition("-")[2], sent[field])


def test_a_gallon_of_water_weighs_8_345_pounds_and_5_gallons_are_18_93_litres():
    # NIST Handbook 44, appendix C: 1 gallon is 3.785 411 784 L, 1 pound 0.453 592 37 kg.
    shown = in_units({BULK: "1", "mixing-bucket_l": "18.927"}, "lb")
    assert shown[BULK] == "8.345"
    assert shown["mixing-bucket_l"] == "5"
    assert in_units({BULK: "1"}, "kg") == {BULK: "1"}


@pytest.mark.parametrize(("text", "kilograms_a_litre"), [("3.9", 0.4673), ("3,9", 0.4673), ("8.345", 1.0)])
def test_what_is_typed_in_pounds_a_gallon_is_kept_in_kilograms_a_litre(text, kilograms_a_litre):
    sent = in_units({BULK: "0.85"}, "lb") | {BULK: text}
    assert read(sent, BULK) == pytest.approx(kilograms_a_litre, rel=1e-4)


@pytest.mark.parametrize("there", ["0.47", "0.8512345", "1.2", "0.11983"])
def test_what_was_shown_and_not_changed_stays_to_the_last_digit(there):
    sent = in_units({BULK: there, "mixing-bucket_l": "16.9"}, "lb")
    assert read(sent, BULK) == float(there)
    assert read(sent, "mixing-bucket_l") == 16.9


def test_without_the_word_of_its_units_a_form_is_read_as_the_file_is_written():
    assert read({BULK: "0.47"}, BULK) == 0.47
    assert read(in_units({BULK: "0.47"}, "lb") | {BULK: "a cup"}, BULK) == "a cup", "refused by the reader"


@pytest.fixture
def client(feed_book):
    app = create_app(feed_book, today=lambda: DAY)
    return Reading(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)


def test_the_page_asks_and_reads_in_the_units_of_its_reader(client):
    metric, american = (client.get(RECIPE_PAGE, headers=one).text for one in (KILOGRAMS, POUNDS))
    assert "A litre weighs, kg" in metric
    assert "A gallon weighs, lb" not in metric
    assert "Your bucket, filled, gallons" in american
    assert "litre" not in re.sub(r"<[^>]+>", " ", american.partition('id="goes-in"')[2])
    field = next(name for name in (f"part-{n}-bulk_kg_per_l" for n in range(9)) if shown_in(metric, name)[0])
    was, shown = float(shown_in(metric, field)[0]), float(shown_in(american, field)[0])
    assert shown == pytest.approx(was * 8.3454, rel=1e-3)
    saved = client.post(RECIPE_PAGE, data=typed(american, note="another note"), headers=POUNDS)
    assert saved.status_code == 200
    assert shown_in(client.get(RECIPE_PAGE, headers=KILOGRAMS).text, field) == [f"{was:g}"], RECIPE
    client.post(RECIPE_PAGE, data=typed(american) | {field: ["4.17"]}, headers=POUNDS)
    assert shown_in(client.get(RECIPE_PAGE, headers=KILOGRAMS).text, field) == ["0.4997"]
