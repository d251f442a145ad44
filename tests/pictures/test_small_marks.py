"""Slices, state marks, the mark of Breadline, letters and fonts."""

from __future__ import annotations

import hashlib
from itertools import combinations
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from breadline.errors import OurFault
from breadline.need.outlook import Range
from breadline.pictures.letters import font_folder, shortened, text_width, wrapped
from breadline.pictures.palette import SCREEN
from breadline.pictures.slices import slices
from breadline.pictures.states import State, logo, state_mark
from breadline.pictures.wording import ticks
from pictures.reading import root_of, stroked_moves

BROWSER_FONTS = Path(__file__).resolve().parents[2] / "src" / "breadline" / "web" / "static" / "fonts"


@pytest.mark.parametrize(("middle", "strokes"), [(0.0, 0), (4.6, 5), (28.0, 28), (90.0, 28)])
def test_one_stroke_a_day_of_bread(middle: float, strokes: int) -> None:
    svg = slices(Range(0.0, middle, middle + 2))
    assert stroked_moves(svg, SCREEN.crust, "2.4") == strokes
    assert stroked_moves(svg, SCREEN.crust, "2.4") + stroked_moves(svg, SCREEN.hair, "2.4") == 28


def test_slices_say_their_range_in_words() -> None:
    assert root_of(slices(Range(3.2, 5.0, 8.4))).attrib["aria-label"] == "Bread for about 5 days, 3 to 8"
    for days, said in (
        (Range(12.0, 20.0, 60.0), "Bread for about 20 days, 12 to more than 28"),
        (Range(20.0, 40.0, 60.0), "Bread for more than 28 days, 20 at the least"),
        (Range(40.0, float("inf"), float("inf")), "Bread for more than 28 days"),
    ):
        assert root_of(slices(days)).attrib["aria-label"] == said


@pytest.mark.parametrize(
    ("days", "arrows"),
    [(Range(3, 5, 28), 0), (Range(3, 5, 29), 1), (Range(3, 40, 50), 2), (Range(40, 50, float("inf")), 2)],
)
def test_slices_that_run_off_their_strip_end_in_an_arrow(days: Range, arrows: int) -> None:
    assert slices(days).count("runs-off") == arrows


@pytest.mark.parametrize("days", [Range(5, 4, 6), Range(-1, 2, 3), Range(float("nan"), 2, 3)])
def test_slices_refuse_what_is_no_range_of_days(days: Range) -> None:
    with pytest.raises(OurFault, match="not a range of days"):
        slices(days)


def test_every_state_has_a_shape_of_its_own() -> None:
    states = get_args(State)
    marks = [state_mark(state).replace(state, "") for state in states]
    for mark in marks:
        root_of(mark)
    assert all(a != b for a, b in combinations(marks, 2))


def test_the_mark_loses_two_slices_when_small() -> None:
    assert logo(16).count("V15") == logo(32).count("V15") - 2
    assert root_of(logo(32, "Breadline")).attrib["aria-label"] == "Breadline"


@given(top=st.floats(0.01, 500.0))
@example(top=2.001)
def test_an_axis_that_was_rounded_up_keeps_its_own_ticks(top: float) -> None:
    last = ticks(top, 4)[-1]
    assert last >= top * (1 - 1e-6)
    assert ticks(last, 4)[-1] == last, "a higher one would stand above its panel"
    assert len(ticks(top, 4)) <= 5


def test_long_text_is_wrapped_and_cut_between_words() -> None:
    text = "the last brood before winter is raised about then"
    lines = wrapped(text, 120.0, 13.0)
    assert " ".join(lines) == text
    assert all(text_width(line, 13.0) <= 120.0 for line in lines)
    short = shortened(text, 120.0, 13.0)
    assert short.endswith(" …")
    assert text_width(short, 13.0) <= 120.0


@pytest.mark.parametrize("folder", [font_folder(), BROWSER_FONTS], ids=["server", "browser"])
def test_fonts_are_the_ones_that_were_made_and_carry_their_licence(folder: Path) -> None:
    kept = {}
    for line in (folder / "CHECKSUMS").read_text("utf-8").splitlines():
        digest, name = line.split("  ")
        kept[name] = digest
        assert hashlib.sha256((folder / name).read_bytes()).hexdigest() == digest
    fonts = {p.name for p in folder.iterdir() if p.suffix in (".ttf", ".woff2")}
    assert len(fonts) == 5
    assert fonts <= set(kept)
    for face in ("text", "display"):
        assert "SIL Open Font License" in (folder / f"OFL-breadline-{face}.txt").read_text("utf-8")
