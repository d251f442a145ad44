"""The picture of how many to leave unfed: no word over another, the proposal on both curves. Invented."""

from __future__ import annotations

import re
from dataclasses import asdict, replace

import pytest

from breadline.language import speaking
from breadline.pictures.check_group_chart import OneSize, Sizes, chart_sentence, check_group_chart
from breadline.pictures.frame import Size
from breadline.pictures.palette import GREY, SCREEN
from pictures.reading import overlaps, view_box, written

SIZES: tuple[Size, ...] = ("wide", "phone", "print")
MANY = Sizes(
    tuple(OneSize(n, 9.0 / n**0.5, 5.8 * n, 4300.0 * n / (n + 4)) for n in (4, 6, 10, 20, 40, 80, 160)),
    4, 1.3, "frames of bees", "colonies", "US$",
)  # fmt: skip
SAVES = replace(MANY, sizes=tuple(replace(one, cost=-9.0 * one.unfed) for one in MANY.sizes), best=6)
ALIKE = replace(MANY, sizes=tuple(replace(one, worth=one.cost + 40.0) for one in MANY.sizes), break_even=0.7)
BAND = replace(MANY, most=3.7, sizes=tuple(replace(one, between=(-12.0 * one.unfed, 24.0 * one.unfed))
                                           for one in MANY.sizes))  # fmt: skip
TOLD_IF = replace(BAND, sizes=tuple(replace(one, told_if=(0.72 * one.told, 1.2 * one.told) if n else None)
                                    for n, one in enumerate(BAND.sizes)))  # fmt: skip
SMALL = Sizes((OneSize(3, 0.12, 0.4, 0.9), OneSize(4, 0.1, 0.5, 1.0), OneSize(5, 0.09, 0.6, 1.1)), 1, 0.05,
              "kg of honey", "yards", "€")  # fmt: skip


@pytest.mark.parametrize("tongue", ["en", "es"])
@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize(
    "shown",
    [MANY, SAVES, ALIKE, SMALL, BAND, TOLD_IF],
    ids=["many", "saves", "alike", "small", "band", "told if"],
)
def test_no_letter_covers_another_or_leaves_the_sheet_and_every_colour_is_of_the_house(
    shown: Sizes, size: Size, tongue: str
) -> None:
    with speaking(tongue):
        svg = check_group_chart(shown, size)
    lines, sheet = written(svg), view_box(svg)
    assert overlaps(lines) == []
    assert not [line.text for line in lines if not sheet.holds(line.box)]
    palette = GREY if size == "print" else SCREEN
    colours = {str(value).upper() for value in asdict(palette).values()}
    assert {c.upper() for c in re.findall(r"#[0-9A-Fa-f]{6}", svg)} <= colours
    words = [line.text for line in lines]
    if tongue == "en":
        assert f"proposed: {shown.sizes[shown.best].unfed} unfed" in words
        assert f"{shown.noun} left unfed" in words


@pytest.mark.parametrize("size", SIZES)
def test_where_the_check_group_gets_something_the_picture_calls_nobody_unfed(size: Size) -> None:
    shown = replace(TOLD_IF, fed_less=True)
    svg = check_group_chart(shown, size)
    words = [line.text for line in written(svg)]
    assert f"proposed: {shown.sizes[shown.best].unfed} check" in words
    assert "colonies in the check group" in words
    assert overlaps(written(svg)) == []
    assert "unfed" not in chart_sentence(shown)


def test_it_says_itself_what_it_shows() -> None:
    assert chart_sentence(SAVES) == (
        "With 160 colonies left unfed the smallest benefit told is 0.7 frames of bees; it costs −US$1,440 "
        "and the answer is worth US$4,195. Feeding pays from 1.3 frames of bees."
    )
    assert 'role="img"' in check_group_chart(MANY, "phone")


def test_what_is_told_if_colonies_differ_less_or_more_is_tinted_and_said() -> None:
    assert "smallest benefit told is 1.4 frames of bees (1.0 to 1.7 if colonies differ" in chart_sentence(
        replace(TOLD_IF, best=4)
    )
    for size in SIZES:
        pale = (GREY if size == "print" else SCREEN).sky_pale
        assert pale in check_group_chart(TOLD_IF, size)
        assert pale not in check_group_chart(BAND, size)
