"""Syrup and sugar as a crew pours and weighs them: what each gets, and what is loaded for all."""

from __future__ import annotations

from dataclasses import replace

import pytest

from breadline.plan.cuts import GRAMS_A_POUND
from breadline.ration.measures import GALLON_L
from breadline.sheets.syrup_words import poured, syrup_each_said, weighed
from breadline.sheets.truck_sheet import truck_sheet
from plan.loads import POUND, load
from sheets.read_back import words


@pytest.mark.parametrize(
    ("litres", "units", "said", "amount"),
    [
        (0.31, "lb", "¼ qt", GALLON_L / 16),  # 10 fl oz: a quart has 32
        (0.60, "lb", "¾ qt", 3 * GALLON_L / 16),
        (3.3, "lb", "3½ qt", 14 * GALLON_L / 16),
        (4.0, "lb", "1 gal", GALLON_L),
        (5.9, "lb", "1½ gal", 1.5 * GALLON_L),
        (0.31, "g", "0.3 L", 0.3),
        (1.97, "g", "2 L", 2.0),
        (2.6, "g", "2½ L", 2.5),
    ],
)
def test_what_one_colony_gets_is_said_as_it_is_counted_in_the_load(litres, units, said, amount):
    assert syrup_each_said(litres, units) == said
    assert poured(litres, units) == pytest.approx(amount)
    assert syrup_each_said(poured(litres, units), units) == said


def test_nothing_is_nothing():
    assert poured(0.0, "lb") == weighed(0.0, "g") == 0.0


@pytest.mark.parametrize(
    ("grams", "units", "amount"),
    [(1000.0, "lb", 2.25 * GRAMS_A_POUND), (1700.0, "lb", 4 * GRAMS_A_POUND), (840.0, "g", 800.0),
     (2340.0, "g", 2500.0)],
)  # fmt: skip
def test_dry_sugar_too(grams, units, amount):
    assert weighed(grams, units) == pytest.approx(amount)


def test_a_little_for_each_is_no_quarter_gallon_on_the_truck_sheet():
    """0.31 L each was told as ¼ gal, three times what was loaded."""
    on_truck = load(1, POUND)
    little = tuple(
        replace(v, light=v.colonies, syrup_each_l=poured(0.31, "lb"), dry_sugar_each_g=0.0)
        for v in on_truck.visits
    )
    text = words(truck_sheet(replace(on_truck, visits=little), "us-letter"))
    assert "Syrup: ¼ qt to each of" in text
    assert "¼ gal to each" not in text
