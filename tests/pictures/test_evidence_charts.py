"""The pictures of the evidence: every comparison drawn once, in its place, and nothing over anything."""

from __future__ import annotations

import math
import re
from dataclasses import asdict
from itertools import pairwise

import pytest

from breadline.jobs.evidence import evidence_told
from breadline.knowledge.evidence import comparisons, voting
from breadline.knowledge.shelf import load
from breadline.language import speaking
from breadline.pictures.belief_chart import Reading, Situated, belief_chart
from breadline.pictures.evidence_sheet import UNSAID, packed, per_cent, side_of
from breadline.pictures.frame import Size
from breadline.pictures.palette import GREY, SCREEN, Palette
from breadline.pictures.printed_chart import by_outcome, printed_chart, times
from breadline.pictures.verdict_chart import counts, verdict_chart
from pictures.reading import overlaps, root_of, view_box, written

SIZES: tuple[Size, ...] = ("wide", "phone", "print")
WIDTHS = {"wide": 832, "phone": 364, "print": 664}


def drawings(size: Size) -> dict[str, str]:
    told = evidence_told(load())
    return {
        "verdicts": verdict_chart(told.votes, size),
        "printed": printed_chart(told.rows, size),
        "belief": belief_chart(tuple(one.situated for one in told.believed), size),
    }


@pytest.mark.parametrize("tongue", ["en", "es"])
@pytest.mark.parametrize("size", SIZES)
def test_no_letter_covers_another_or_leaves_the_sheet(size: Size, tongue: str) -> None:
    with speaking(tongue):
        drawn = drawings(size)
    for svg in drawn.values():
        lines, sheet = written(svg), view_box(svg)
        assert sheet.right - sheet.left == WIDTHS[size]
        assert overlaps(lines) == []
        assert not [line.text for line in lines if not sheet.holds(line.box)]


@pytest.mark.parametrize("tongue", ["en", "es"])
@pytest.mark.parametrize("size", SIZES)
def test_the_heads_of_the_verdicts_stand_apart(size: Size, tongue: str) -> None:
    with speaking(tongue):
        heads = written(drawings(size)["verdicts"])[:3]
    boxes = sorted((line.box for line in heads), key=lambda box: box.left)
    assert all(after.left - before.right >= 8 for before, after in pairwise(boxes))


@pytest.mark.parametrize("size", SIZES)
def test_paper_has_its_own_grey_and_no_letter_is_too_small(size: Size) -> None:
    for svg in drawings(size).values():
        sizes = [float(v) for v in re.findall(r'font-size="([\d.]+)px"', svg)]
        assert min(sizes) >= (11 if size == "print" else 12)
        if size == "print":
            assert not re.search(r"#4A5451|#1E2523", svg)


@pytest.mark.parametrize(("size", "palette"), [("wide", SCREEN), ("phone", SCREEN), ("print", GREY)])
def test_every_colour_is_one_of_the_house(size: Size, palette: Palette) -> None:
    ours = {str(v).upper() for v in asdict(palette).values()}
    for svg in drawings(size).values():
        assert {colour.upper() for colour in re.findall(r"#[0-9A-Fa-f]{6}", svg)} <= ours


def test_a_screen_reader_hears_the_same_numbers() -> None:
    label = root_of(verdict_chart(voting(), "wide")).attrib["aria-label"]
    assert f"Verdicts of {len(voting())} comparisons" in label
    for forage, each in counts(voting()).items():
        assert f"more where fed in {each['positive']}, no difference in {each['neutral']}" in label, forage
    label = root_of(drawings("wide")["belief"]).attrib["aria-label"]
    assert "what Breadline believes: +25 %, from −10 % to +73 %" in label


def test_every_comparison_has_its_square() -> None:
    rows = voting()
    svg = verdict_chart(rows, "wide")
    drawn = [path for path in re.findall(r'<path [^>]*d="M[^"]*h[^"]*"[^>]*>', svg) if "#4A5451" in path]
    keys = 4
    assert len(drawn) == len(rows) + keys


def test_the_area_of_a_square_is_its_colonies() -> None:
    assert side_of(40, "wide") ** 2 / side_of(10, "wide") ** 2 == pytest.approx(4.0)
    assert side_of(None, "wide") == side_of(UNSAID, "wide")


@pytest.mark.parametrize("width", [60.0, 120.0, 300.0])
def test_packed_squares_never_meet_and_stay_within_the_width(width: float) -> None:
    colonies = [row.fed_colonies for row in voting() if row.verdict == "positive"]
    squares, height = packed(colonies, width, "wide")
    assert len(squares) == len(colonies)
    for i, a in enumerate(squares):
        assert a.x + a.side <= max(width, a.side) + 1e-9
        assert a.y + a.side <= height + 1e-9
        for b in squares[i + 1 :]:
            apart = a.x + a.side <= b.x or b.x + b.side <= a.x or a.y + a.side <= b.y or b.y + b.side <= a.y
            assert apart


def test_printed_numbers_stand_alone_by_outcome() -> None:
    groups = by_outcome(comparisons())
    assert [outcome for outcome, _ in groups] == ["bees", "brood", "honey", "wintering", "flights"]
    assert sum(len(each) for _, each in groups) == 14
    for _, each in groups:
        assert [times(row) for row in each] == sorted(times(row) for row in each)
    assert "pooled" not in printed_chart(comparisons(), "wide")


def test_a_belief_that_runs_off_the_axis_is_held_at_its_end() -> None:
    far = Situated("Made up", (Reading("what you believe", -2.0, 0.0, 2.0, belief=True),))
    svg = belief_chart((far,), "wide")
    assert view_box(svg).right > 0
    assert (
        f"from {per_cent(math.exp(-2.0))} to {per_cent(math.exp(2.0))}" in root_of(svg).attrib["aria-label"]
    )


def test_per_cent_says_equal_in_words() -> None:
    assert [per_cent(v) for v in (0.7, 1.0, 1.002, 1.25)] == ["−30 %", "as many", "as many", "+25 %"]


def test_nothing_read_draws_an_empty_table() -> None:
    assert counts(()) == {}
    assert "Verdicts of 0 comparisons" in root_of(verdict_chart((), "phone")).attrib["aria-label"]


@pytest.mark.parametrize(("size", "palette"), [("wide", SCREEN), ("phone", SCREEN), ("print", GREY)])
def test_an_own_trial_is_a_dot_and_the_belief_before_it_an_open_diamond(size: Size, palette: Palette) -> None:
    told = Situated(
        "No pollen",
        (
            Reading("your trial", -0.1, 0.1, 0.3, kind="own"),
            Reading("believed before", -0.2, 0.2, 0.5, kind="before"),
            Reading("believed now", -0.1, 0.2, 0.4, belief=True),
        ),
    )
    marks = {
        (mark.get("fill"), mark.get("stroke"))
        for mark in root_of(belief_chart((told,), size)).iter("{http://www.w3.org/2000/svg}path")
    }
    assert (palette.crust, palette.crust) in marks, "the dot of an own trial"
    assert (palette.paper, palette.ink) in marks, "the open diamond of the belief before"
    assert (palette.ink, palette.ink) in marks, "the filled diamond of the belief that is used"
