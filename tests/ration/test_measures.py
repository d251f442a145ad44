"""Weights and volumes are read with their unit and said as a scale shows them."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.ration.measures import (
    GALLON_L,
    GRAMS,
    LB_G,
    rounded_weight,
    step_for,
    volume_said,
    weight_said,
)

QUARTERS = {"": 0.0, "¼": 0.25, "½": 0.5, "¾": 0.75}
LB = 453.59237  # the pound of 1959, in grams by definition
INCH_L = 0.016387064  # cubic inch in litres by definition; a US gallon is 231 of them


def test_pound_and_gallon_are_those_of_the_definition():
    assert LB_G == LB
    assert pytest.approx(231 * INCH_L, rel=1e-12) == GALLON_L


@pytest.mark.parametrize(
    ("grams", "system", "said"),
    [(100 * LB_G, "lb", "100 lb"), (83.4 * LB_G, "lb", "83½ lb"), (1.25 * LB_G, "lb", "1 lb 4 oz"),
     (LB_G, "lb", "1 lb"), (LB_G / 2, "lb", "8 oz"), (4.0, "lb", "4 g"), (1500 * LB_G, "lb", "1,500 lb"),
     (37_649, "kg", "37.6 kg"), (37_960, "kg", "38 kg"), (250, "kg", "250 g"), (1230, "kg", "1.23 kg")],
)  # fmt: skip
def test_a_weight_is_said_as_a_practitioner_does(grams, system, said):
    assert weight_said(grams, system) == said


def test_a_volume_is_said_roughly():
    assert volume_said(GALLON_L * 1.3, "lb") == "1¼ gal"
    assert volume_said(GALLON_L / 4, "lb") == "2 pt"
    assert volume_said(4.1, "kg") == "4 L"
    assert volume_said(0.251, "kg") == "250 mL"


@given(grams=st.floats(0.05, 2e6), system=st.sampled_from(["lb", "kg"]), finer=st.integers(0, 4))
def test_rounding_stays_within_half_a_step_and_never_rounds_away(grams, system, finer):
    step, rounded = step_for(grams, system, finer), rounded_weight(grams, system, finer)
    assert rounded > 0
    assert abs(rounded - grams) <= step / 2 * (1 + 1e-9) or rounded == step


@given(grams=st.floats(2.0, 2e6), system=st.sampled_from(["lb", "kg"]), finer=st.integers(0, 2))
def test_what_is_said_reads_back_as_what_was_rounded(grams, system, finer):
    rounded = rounded_weight(grams, system, finer)
    said = weight_said(rounded, system, step_for(grams, system, finer))
    pieces = re.findall(r"([\d,]*\.?\d*)([¼½¾]?)\s?(lb|oz|kg|g)\b", said)
    read = sum((float(n.replace(",", "") or 0) + QUARTERS[part]) * GRAMS[unit] for n, part, unit in pieces)
    assert read == pytest.approx(rounded, rel=1e-6, abs=0.06)
