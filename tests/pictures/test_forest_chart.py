"""The picture of several trials: each once, nothing over anything, the reason beside those left out."""

from __future__ import annotations

import re
from dataclasses import asdict, replace

import pytest

from breadline.pictures.forest_chart import Shown, Stand, forest_chart
from breadline.pictures.frame import Size
from breadline.pictures.palette import GREY, SCREEN
from pictures.reading import overlaps, root_of, view_box, written

STANDS = (
    Stand(
        "Bees, fed through a real pollen dearth",
        (
            Shown("Trial of autumn 2026", -0.02, 0.10, 0.22, 18, own=True),
            Shown("Neighbour, autumn 2026", 0.05, 0.30, 0.55, 6),
            Shown("Third", -0.30, 0.05, 0.40, 40),
        ),
        (-0.05, 0.14, 0.33),
        (-0.40, 0.70),
    ),
    Stand("Bees, fed while pollen comes in", (Shown("Alone", -0.2, 0.0, 0.2, 12),), None, None),
)
LEFT_OUT = (
    Shown("By hand", None, None, None, 12, "not a fair comparison: the unfed colonies were chosen by hand"),
    Shown("Half", -0.1, 0.1, 0.3, 12, "its check group had half the rate, which asks another question"),
)
SIZES: tuple[Size, ...] = ("wide", "phone", "print")


@pytest.mark.parametrize("size", SIZES)
def test_no_letter_covers_another_or_leaves_the_sheet_and_every_colour_is_of_the_house(size: Size) -> None:
    svg = forest_chart(STANDS, LEFT_OUT, size)
    lines, sheet = written(svg), view_box(svg)
    assert overlaps(lines) == []
    assert not [line.text for line in lines if not sheet.holds(line.box)]
    ours = {str(v).upper() for v in asdict(GREY if size == "print" else SCREEN).values()}
    assert {colour.upper() for colour in re.findall(r"#[0-9A-Fa-f]{6}", svg)} <= ours


@pytest.mark.parametrize("size", SIZES)
def test_a_long_heading_takes_as_many_lines_as_it_needs(size: Size) -> None:
    long = "Abejas, alimentadas durante una escasez de polen de verdad, en todos los colmenares del condado"
    svg = forest_chart((replace(STANDS[0], head=long),), (), size)
    lines = written(svg)
    assert overlaps(lines) == []
    assert not [line.text for line in lines if not view_box(svg).holds(line.box)]
    assert " ".join(line.text for line in lines).count("condado") == 1


def test_a_screen_reader_hears_every_trial_and_why_some_are_left_out() -> None:
    label = root_of(forest_chart(STANDS, LEFT_OUT, "wide")).attrib["aria-label"]
    assert "Trial of autumn 2026: +11 %, from −2 % to +25 %" in label
    assert "together: +15 %, from −5 % to +39 %;" in label
    assert "; true difference in a further trial: from −33 % to +101 %." in label
    assert "Left out: By hand, not a fair comparison: the unfed colonies were chosen by hand." in label


def test_a_range_far_out_stays_on_the_sheet() -> None:
    wild = (Stand("Bees", (Shown("Wild", -3.0, 0.5, 4.0, 3),), None, None),)
    svg = forest_chart(wild, (), "phone")
    assert not [line.text for line in written(svg) if not view_box(svg).holds(line.box)]
