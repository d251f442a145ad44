"""The picture of all colonies: every one is a mark, the lost ones too, and the break-even line is drawn."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from breadline.language import speaking
from breadline.pictures.colonies_chart import colonies_chart, colonies_sentence
from breadline.pictures.colonies_gaps import gaps_scale
from breadline.pictures.colonies_shown import ColoniesShown, Lane, YardShown
from breadline.pictures.palette import GREY, SCREEN
from breadline.verdict.amounts import FRAMES
from pictures.reading import overlaps, view_box, written


def lane(outcomes, lost=0) -> Lane:
    return Lane(tuple(outcomes), lost, float(np.mean([*outcomes, *[0] * lost])))


def shown(**changed) -> ColoniesShown:
    north = YardShown("Tarweed Flat", lane([7, 7.5, 8]), lane([5, 6, 6.5], 2), (-0.4, 0.8, 2.1))
    south = YardShown("Old Scale", lane([6, 9], 1), lane([6, 8.5]), (-1.5, 0.1, 1.9))
    whole = {
        "yards": (north, south), "fed": lane([7, 7.5, 8, 6, 9], 1), "check": lane([5, 6, 6.5, 6, 8.5], 2),
        "gap": (0.2, 1.3, 2.4), "break_even": 0.9, "money_of": lambda effect: 18 * effect - 16.2,
        "money_unit": "$",
        "measure": FRAMES, "graded": "10 February 2027", "names": ("fed", "check"),
    }  # fmt: skip
    return ColoniesShown(**(whole | changed))


@pytest.mark.parametrize("size", ["wide", "phone", "print"])
def test_every_living_colony_is_one_mark_and_every_lost_one_a_cross(size):
    svg = colonies_chart(shown(), size)
    palette = GREY if size == "print" else SCREEN
    fed = re.findall(rf'<path [^>]*fill="{palette.crust}"', svg)
    check = re.findall(
        rf'<path [^>]*fill="{palette.paper}"[^>]*stroke="{palette.sky}"[^>]*stroke-width="1.6"', svg
    )
    assert (len(fed), len(check)) == (5, 5)
    assert all(name in svg for name in ("Tarweed Flat", "Old Scale", "1 lost", "2 lost", "pays from here"))


def test_money_stands_where_the_effect_earns_it():
    """0 left over lies on the break-even line: 18 a frame, 16.20 for feeding."""
    told = shown()
    svg = colonies_chart(told, "wide")
    x = gaps_scale(told, 520.0, 828).x(0.9)
    (at,) = re.findall(r'translate\(([\d.]+),[\d.]+\)"[^>]*>\$0<', svg)
    words = re.search(r'textLength="([\d.]+)"[^>]*>\$0<', svg)
    assert float(at) + float(words[1]) / 2 == pytest.approx(x, abs=0.2)


def test_without_a_fair_comparison_no_difference_is_drawn():
    svg = colonies_chart(shown(gap=None), "wide")
    assert "Fed less check" not in svg
    assert "pays from here" not in svg


def test_thousands_of_colonies_become_bars_and_the_lost_are_counted():
    many = lane([6.0] * 900 + [8.0] * 300, 232)
    svg = colonies_chart(shown(yards=(), fed=many), "phone")
    assert ">232<" in svg
    assert len(svg) < 20_000


def test_the_sentence_says_what_the_picture_shows():
    text = colonies_sentence(shown())
    assert "fed: 5 living and 1 lost" in text
    assert "check: 5 living and 2 lost" in text
    assert "Fed less check 1.3 frames, from 0.2 to 2.4; it pays from 0.9 frame" in text


@pytest.mark.parametrize(("gap", "line"), [((-0.6, 1.3, 2.4), 0.9), ((8.0, 16.0, 24.0), 1.8)])
def test_no_upright_line_goes_through_the_name_of_a_yard_on_a_phone(gap, line):
    svg = colonies_chart(shown(gap=gap, break_even=line), "phone")
    number = r"(-?[\d.]+)"
    upright = [
        (float(x), *sorted((float(y), float(end))))
        for x, y, to, end in re.findall(rf"M{number},{number}L{number},{number}", svg)
        if x == to
    ]
    text = rf'translate\({number},{number}\)"[^>]*textLength="{number}"[^>]*>'
    names = re.findall(text + "(Tarweed Flat|Old Scale|All yards)<", svg)
    below = [(float(x), float(y), float(wide)) for x, y, wide, _ in names if float(y) > 300]
    assert len(below) == 3
    assert len(upright) > 10
    for x, y, wide in below:
        assert not [one for one in upright if x <= one[0] <= x + wide and one[1] < y < one[2]]


@pytest.mark.parametrize("tongue", ["en", "es"])
@pytest.mark.parametrize("size", ["wide", "phone", "print"])
@pytest.mark.parametrize("line", [0.1, 0.5, 0.9])
def test_the_words_of_the_line_keep_clear_of_the_one_name_of_whole_yards(size, tongue, line):
    """Whole yards have no difference each: one row, whose name stands where the words would."""
    yards = tuple(replace(one, gap=None) for one in shown().yards)
    with speaking(tongue):
        svg = colonies_chart(shown(yards=yards, gap=(0.8, 1.6, 2.6), break_even=line), size)
    assert overlaps(written(svg)) == []


@pytest.mark.parametrize(("tongue", "day"), [("en", "30 September 2026"), ("es", "30 de septiembre de 2026")])
@pytest.mark.parametrize("others", [(), ("loaf",)])
def test_the_head_of_the_colonies_fits_on_a_phone(tongue, day, others):
    with speaking(tongue):
        svg = colonies_chart(shown(graded=day, others=others), "phone")
    heads = [line for line in written(svg) if day in line.text]
    assert heads
    assert all(view_box(svg).holds(line.box) for line in heads)


@pytest.mark.parametrize("yards", [8, 12])
def test_many_yards_go_on_paper_low_enough_for_the_whole_width(yards):
    """642 px of 664 and 372 px of height are left on a page: the smallest letters are then 11 px of it."""
    one = shown().yards[0]
    many = tuple(replace(one, name=f"Yard {n}") for n in range(yards))
    svg = colonies_chart(shown(yards=many), "print")
    width, height = map(float, re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg).groups())
    points = 11 * min(642 / width, 372 / height) * 72 / 96
    assert points >= 7.5
    assert all(f"Yard {n}" in svg for n in range(yards))


@pytest.mark.parametrize("size", ["wide", "phone", "print"])
@pytest.mark.parametrize("yards", [True, False])
def test_no_mark_lies_under_the_name_of_its_group(size, yards):
    """The strongest check colony of the first yard, as far right as any."""
    _no_mark_under_check(size, yards, [7, 7.5], [5, 9])


@pytest.mark.parametrize("strong", [9.0, 9.5, 10.0, 10.5])
def test_no_stack_of_fed_colonies_reaches_the_name_of_the_check_group(strong):
    """The strongest of all stand in a yard farther down, where no name is."""
    south = YardShown("Old Scale", lane([11, 11]), lane([6, 8]), None)
    _no_mark_under_check("phone", True, [7, strong, strong, strong], [5, 6], south)


def _no_mark_under_check(size, yards, fed, check, *more):
    first = YardShown("Tarweed Flat", lane(fed), lane(check), None)
    every = [*fed, *(value for yard in more for value in yard.fed.living)]
    told = shown(fed=lane(every), check=lane(check), yards=(first, *more) if yards else ())
    svg = colonies_chart(told, size)
    palette = GREY if size == "print" else SCREEN
    at = r'<path transform="translate\(([\d.]+),[\d.]+\)" [^>]*'
    marks = re.findall(rf'{at}fill="{palette.paper}" stroke="{palette.sky}" stroke-width="1.6"', svg)
    dots = re.findall(rf'{at}fill="{palette.crust}"', svg)
    names = re.findall(r'translate\(([\d.]+),[\d.]+\)"[^>]*>check<', svg)
    assert marks
    assert names
    assert dots
    reach = [*map(float, marks), *(map(float, dots[: len(fed)]) if max(fed) > max(check) else ())]
    assert max(reach) + 4 < max(map(float, names))


@pytest.mark.parametrize("size", ["wide", "phone", "print"])
def test_where_prices_now_come_to_another_line_both_are_drawn_and_named(size):
    svg = colonies_chart(shown(break_even_now=0.3), size)
    assert "pays from here" not in svg
    named = ["dashed: judged here · dotted: pays now"] if size == "phone" else [">judged here<", ">pays now<"]
    assert all(words in svg for words in named)
    assert svg.count('stroke-dasharray="6,3"') == svg.count('stroke-dasharray="2,3"') == 1
