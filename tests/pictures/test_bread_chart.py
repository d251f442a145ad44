"""The bread chart: readable by a parser, whole on its sheet, honest about what is missing."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date, timedelta

import altair as alt
import numpy as np
import pytest
from hypothesis import given as drawn_from
from hypothesis import settings
from hypothesis import strategies as st

from breadline.errors import OurFault
from breadline.need.outlook import Band, FramesEnd, Outlook, Range
from breadline.need.yard import Given, Goal
from breadline.pictures import bread_chart as module
from breadline.pictures.bread_chart import bread_chart
from breadline.pictures.frame import Size
from breadline.pictures.palette import GREY, SCREEN
from breadline.pictures.series import series_of
from pictures.made_up import made_up_outlook
from pictures.reading import filled, overlaps, root_of, stroked_moves, view_box, written

SIZES: tuple[Size, ...] = ("wide", "phone", "print")
WIDTHS: dict[Size, int] = {"wide": 832, "phone": 364, "print": 664}
STRIPE = "1.7"
GOAL = Goal("frames", date(2027, 2, 10), 8.0)
ROUNDS = (Given(date(2026, 8, 12), 454.0), Given(date(2026, 9, 1), 454.0))


def chart(outlook: Outlook, size: Size = "wide", **changed: object) -> str:
    asked = {"title": "Tarweed Flat is short from about 20 August.", "units": "lb", "today": outlook.start}
    asked |= {"goal": GOAL, "given": ()} | changed
    return bread_chart(outlook, size=size, **asked)  # type: ignore[arg-type]


def nothing() -> Outlook:
    """An outlook in which every figure is zero."""
    plain = made_up_outlook(days=40)
    none = Band(*(np.zeros(40) for _ in range(3)))
    bands = dict.fromkeys(("need_g", "income_g", "bread_g", "bread_days", "adults", "brood"), none)
    return replace(plain, short=np.zeros(40), **bands)


CASES = {
    "autumn with feed": (made_up_outlook(fed=True), {"given": ROUNDS, "today": date(2026, 8, 22)}),
    "without feed, the goal beyond the end": (
        made_up_outlook(),
        {"goal": Goal("frames", date(2027, 4, 10), 8.0)},
    ),
    "all zero": (nothing(), {}),
    "one week": (made_up_outlook(days=7), {"units": "g"}),
    "one day": (made_up_outlook(days=1), {}),
    "a whole year": (made_up_outlook(date(2026, 3, 20), 365), {"goal": None}),
    "southern hemisphere over New Year": (
        made_up_outlook(date(2026, 10, 15), 160, fed=True, years=False),
        {"goal": Goal("splits", date(2027, 1, 20), 7.5), "units": "g"},
    ),
    "with its title": (made_up_outlook(), {"show_title": True}),
}


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("name", CASES)
def test_the_picture_is_whole(name: str, size: Size) -> None:
    outlook, changed = CASES[name]
    svg = chart(outlook, size, **changed)
    root, sheet, lines = root_of(svg), view_box(svg), written(svg)
    assert root.attrib["width"] == str(WIDTHS[size])
    assert sheet.right == WIDTHS[size]
    assert root.attrib["role"] == "img"
    assert [line for line in lines if not sheet.holds(line.box)] == []
    assert overlaps(lines) == []
    assert len(svg.encode()) < 120_000
    assert "NaN" not in svg
    assert "Infinity" not in svg


@drawn_from(
    start=st.dates(date(2025, 1, 1), date(2027, 12, 31)),
    days=st.integers(3, 240),
    fed=st.booleans(),
    frames=st.one_of(st.none(), st.floats(0.5, 30.0)),
    later=st.integers(0, 300),
    size=st.sampled_from(SIZES),
)
@settings(max_examples=25, deadline=None)
def test_no_label_leaves_the_sheet_or_covers_another(
    start: date, days: int, fed: bool, frames: float | None, later: int, size: Size
) -> None:
    goal = None if frames is None else Goal("frames", start + timedelta(later), frames)
    svg = chart(made_up_outlook(start, days, fed), size, goal=goal, today=start + timedelta(days // 3))
    lines = written(svg)
    assert [line for line in lines if not view_box(svg).holds(line.box)] == []
    assert overlaps(lines) == []


def test_stripes_stand_only_where_bread_is_missing() -> None:
    outlook = made_up_outlook()
    assert stroked_moves(chart(outlook), SCREEN.crust, STRIPE) > 20
    enough = replace(outlook, short=np.zeros(len(outlook.dates)))
    assert stroked_moves(chart(enough), SCREEN.crust, STRIPE) == 0
    assert "bread missing" not in chart(enough).split(">", 1)[1]
    plenty = replace(outlook, income_g=Band(*(3.0 * outlook.need_g.high for _ in range(3))))
    assert stroked_moves(chart(plenty), SCREEN.crust, STRIPE) == 0


def test_a_shortage_that_runs_off_the_picture_is_marked_and_said() -> None:
    outlook = replace(made_up_outlook(days=60), spells=())
    nothing_in = replace(outlook, income_g=Band(*(np.zeros(60) for _ in range(3))))
    open_end = replace(nothing_in, short=np.where(np.arange(60) >= 30, 0.9, 0.1))
    closed = replace(nothing_in, short=np.where(abs(np.arange(60) - 30) < 8, 0.9, 0.1))
    lines = [line.text for line in written(chart(open_end))]
    assert "bread missing, to the end" in lines
    assert any(line.startswith("outlook ends 29 Sep, bread still missing: ") for line in lines)
    assert "still so on the last day" in root_of(chart(open_end)).attrib["aria-label"]
    assert filled(chart(open_end), SCREEN.crust) == filled(chart(closed), SCREEN.crust) + 1, "an arrow"
    assert "to the end" not in chart(closed)
    assert "still" not in chart(closed)


def test_two_spells_closer_than_a_week_are_striped_as_the_one_that_is_said() -> None:
    outlook = replace(made_up_outlook(days=60), income_g=Band(*(np.zeros(60) for _ in range(3))))
    short = np.zeros(60)
    short[[10, 17, 30]] = 0.9
    assert np.flatnonzero(series_of(replace(outlook, short=short), "g").missing).tolist() == [
        *range(10, 18),
        30,
    ]


def test_a_goal_more_than_half_a_year_ahead_carries_its_year() -> None:
    far = Goal("frames", date(2027, 2, 10), 7.5)
    assert "goal: 7½ frames on 10 February 2027" in chart(made_up_outlook(), goal=far)
    near = {"goal": Goal("frames", date(2026, 9, 10), 7.5)}
    assert "goal: 7½ frames on 10 September<" in chart(made_up_outlook(), **near)


def test_the_year_stands_with_the_first_month_that_has_room_for_it() -> None:
    names = [line.text for line in written(chart(made_up_outlook(date(2026, 1, 20), 180)))]
    assert [n for n in names if re.fullmatch(r"(Jan|Feb|Mar)( \d{4})?", n)] == ["Jan", "Feb 2026", "Mar"]


def test_the_row_of_rounds_is_there_only_with_rounds() -> None:
    outlook = made_up_outlook()
    heads = [line.text for line in written(chart(outlook, given=ROUNDS))]
    assert "Rounds: 1 lb each; filled = done, open = planned" in heads
    assert not any(line.text.startswith("Rounds") for line in written(chart(outlook)))


def test_bread_left_today_stands_in_the_head_with_its_range() -> None:
    outlook = made_up_outlook()
    assert ">Bread left today: 5 days to 2 weeks<" in chart(outlook), "as the sentence beside it says"
    none = replace(outlook, lasts_days=Range(0.0, 0.0, 0.2))
    assert ">Bread left today: none<" in chart(none)


def test_a_band_that_goes_on_above_its_panel_says_so() -> None:
    outlook = made_up_outlook()
    wild = replace(outlook, income_g=replace(outlook.income_g, high=20.0 * outlook.income_g.high))
    assert "cut at the top" in chart(wild)
    assert "cut at the top" not in chart(outlook)
    endless = replace(outlook, bread_days=replace(outlook.bread_days, high=np.full(210, np.inf)))
    assert "8 seasons in 10, cut at the top; dotted: 10 days" in chart(endless)


def test_heads_say_whether_there_is_a_fan_with_feed() -> None:
    fed, unfed = chart(made_up_outlook(fed=True)), chart(made_up_outlook())
    assert "Frames of bees, with feed and without" in fed
    assert "Frames of bees, without protein feed" in unfed
    assert ">with feed<" in fed
    assert ">with feed<" not in unfed


def test_months_follow_each_other_over_new_year() -> None:
    names = [line.text for line in written(chart(made_up_outlook(date(2026, 10, 15), 160)))]
    assert [n for n in names if re.fullmatch(r"(Oct|Nov|Dec|Jan|Feb|Mar)( \d{4})?", n)] == [
        "Oct 2026", "Nov", "Dec", "Jan 2027", "Feb", "Mar",
    ]  # fmt: skip


def test_the_label_for_readers_is_a_sentence_with_the_title_and_the_end_is_told() -> None:
    svg = chart(made_up_outlook(days=60), title='Short from "20 August" & on')
    label = root_of(svg).attrib["aria-label"]
    assert label.startswith(
        'Short from "20 August" & on. Bread chart from 1 August 2026 to 29 September 2026'
    )
    assert "outlook ends 29 Sep: the last brood before winter is raised about then" in [
        line.text for line in written(svg)
    ]


def test_paper_gets_the_grey_palette_only() -> None:
    svg = chart(made_up_outlook(fed=True), "print", given=ROUNDS)
    colours = set(re.findall(r"#[0-9A-Fa-f]{6}", svg))
    assert colours <= {v for v in vars(GREY).values() if isinstance(v, str)}
    assert all(c[1:3] == c[3:5] == c[5:7] for c in colours)


def test_two_pictures_share_no_id() -> None:
    pictures = [chart(made_up_outlook(), size) for size in SIZES]
    ids = [set(re.findall(r'\bid="([^"]+)"', svg)) for svg in pictures]
    assert all(ids)
    assert not ids[0] & ids[1]
    assert not ids[0] & ids[2]
    assert not ids[1] & ids[2]


def test_coordinates_are_rounded_to_a_tenth_of_a_pixel() -> None:
    svg = chart(made_up_outlook(fed=True), given=ROUNDS)
    geometry = " ".join(re.findall(r'\s(?:d|transform|x2|y2)="([^"]*)"', svg))
    assert re.search(r"\d+\.\d", geometry)
    assert not re.search(r"\d+\.\d\d", geometry)


@pytest.mark.parametrize("part", ["need_g", "income_g", "bread_days", "adults"])
def test_a_value_that_is_not_a_number_is_refused_with_its_day(part: str) -> None:
    outlook = made_up_outlook(days=30)
    middle = getattr(outlook, part).middle.copy()
    middle[2] = np.nan
    broken = replace(outlook, **{part: replace(getattr(outlook, part), middle=middle)})
    with pytest.raises(OurFault, match=rf"{part}\.middle is not a number on 2026-08-03"):
        chart(broken)


def frames_until(on: date, fed: bool = False) -> Outlook:
    whole = made_up_outlook(fed=fed)
    days = (on - whole.start).days + 1

    def cut(band: Band | None) -> Band | None:
        return None if band is None else Band(band.low[:days], band.middle[:days], band.high[:days])

    bands = {name: cut(getattr(whole, name)) for name in ("adults", "brood", "adults_fed", "brood_fed")}
    end = FramesEnd(on, "a pollen dearth begins", ("invented",))
    return replace(whole, frames_end=end, **bands)  # type: ignore[arg-type]


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("on", [date(2026, 8, 1), date(2026, 8, 2), date(2026, 9, 3), date(2027, 2, 26)])
@pytest.mark.parametrize("fed", [False, True])
def test_where_frames_stop_before_the_rest_it_is_drawn_and_said(size: Size, on: date, fed: bool) -> None:
    svg = chart(frames_until(on, fed), size)
    lines = written(svg)
    assert any("none foretold after" in one.text or "none after" in one.text for one in lines)
    assert "where they stop, without feed" in svg
    assert not overlaps(lines)


def test_frames_that_stop_elsewhere_than_said_are_refused() -> None:
    told = frames_until(date(2026, 9, 3))
    later = replace(told, frames_end=replace(told.frames_end, on=date(2026, 9, 4)))  # type: ignore[type-var]
    with pytest.raises(OurFault, match=r"adults\.low has shape"):
        chart(later)
    with pytest.raises(OurFault, match=r"adults\.low has shape"):
        chart(replace(told, frames_end=None))


def test_an_empty_or_ragged_outlook_is_refused() -> None:
    with pytest.raises(OurFault, match="no day"):
        chart(replace(made_up_outlook(days=5), dates=()))
    with pytest.raises(OurFault, match="short has shape"):
        chart(replace(made_up_outlook(days=5), short=np.zeros(4)))


def test_the_specification_is_good_vega_lite(monkeypatch: pytest.MonkeyPatch) -> None:
    specs: list[dict[str, object]] = []
    monkeypatch.setattr(module, "svg_of", lambda spec, label: specs.append(spec) or "")
    chart(made_up_outlook(fed=True), given=ROUNDS)
    alt.LayerChart.from_dict(specs[0], validate=True)


def test_a_text_keeps_its_width_where_another_face_is_put_in() -> None:
    svg = chart(made_up_outlook())
    for element in root_of(svg).iter("{http://www.w3.org/2000/svg}text"):
        line = next(w for w in written(svg) if w.text == element.text)
        told = float(element.attrib["textLength"])
        assert told == pytest.approx(line.box.right - line.box.left, abs=0.06)


def test_the_picture_says_whether_its_bands_come_from_a_few_years_or_from_one() -> None:
    one = made_up_outlook(years=False)
    few = replace(one, short_from=replace(one.short_from, few_years=7))
    assert "8 runs in 10 of one weather year" in chart(one, "wide")
    assert "8 seasons in 10, made from 7 years" in chart(few, "wide")
    assert "one weather year" not in chart(few, "wide")
