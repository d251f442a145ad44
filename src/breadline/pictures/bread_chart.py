"""The bread chart: a yard's season of pollen, bread and bees in one picture."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date

import numpy as np

from breadline.need.outlook import Outlook
from breadline.need.yard import Given, Goal
from breadline.pictures.canvas import Canvas, Row
from breadline.pictures.chart_words import heads, sentence, short_reason
from breadline.pictures.frame import (
    LABEL_ROOM,
    MEASURES,
    RIGHT_ROOM,
    Box,
    Measure,
    Panel,
    PanelName,
    Size,
    stacked,
)
from breadline.pictures.letters import DISPLAY, DISPLAY_STACK, TEXT_STACK, shortened, text_width, wrapped
from breadline.pictures.panels import Drawn, Scene, draw_bread, draw_frames, draw_pollen, draw_rounds
from breadline.pictures.place import LINE_HEIGHT, Label, Placed, placed
from breadline.pictures.render import svg_of
from breadline.pictures.series import Series, series_of
from breadline.pictures.timeline import time_marks
from breadline.pictures.wording import Units, plain, short_date, ticks

DRAW: dict[PanelName, Callable[[Scene, Panel], Drawn]] = {
    "pollen": draw_pollen,
    "rounds": draw_rounds,
    "bread": draw_bread,
    "frames": draw_frames,
}
TITLE_SIZE: dict[Size, int] = {"wide": 24, "phone": 20, "print": 18}
MOST_BREAD = 40.0  # days at which the bread panel stops, so that ten days stay readable
BAND_CUT = 2.5  # the pollen band is cut at so many times the highest line
FRAME_STEPS = (1.0, 2.0, 4.0, 5.0, 10.0)
BEYOND = 0.5  # a goal so far past the end, as a share of the outlook, still gets its place


@dataclass(frozen=True)
class Layout:
    """Panels and the height of the whole plot [px]."""

    panels: dict[PanelName, Panel]
    title_lines: tuple[str, ...]
    note_lines: tuple[str, ...]
    height: float


def bread_chart(
    outlook: Outlook,
    *,
    title: str,
    size: Size,
    units: Units,
    today: date,
    goal: Goal | None,
    given: tuple[Given, ...],
    show_title: bool = False,
) -> str:
    """The bread chart as SVG text.

    Parameters
    ----------
    outlook
        The season's answer; shapes and units as in :class:`breadline.need.outlook.Outlook`.
    title
        The sentence that the picture proves. It opens the label for screen readers, and is drawn
        above the picture only with ``show_title`` (a page says it in HTML).
    size
        ``wide`` 832 px, ``phone`` 364 px, ``print`` 664 px and in grey.
    units
        Pollen in pounds or grams a week.
    today, goal, given
        Dotted line; rule and square; triangles (the row of rounds is left out if there is none).

    Errors
    ------
    OurFault
        If the outlook is empty, ragged or holds a value that is not a number.
    """
    series, measure = series_of(outlook, units), MEASURES[size]
    span = _span(series, goal)
    shown = title if show_title else ""
    layout = _layout(outlook, series, measure, span, (shown, TITLE_SIZE[size]), goal, bool(given))
    canvas = Canvas(measure.plot, layout.height, span)
    scene = Scene(outlook, series, measure, canvas, today, units, goal, given)
    _draw_title(scene, layout, TITLE_SIZE[size])
    _draw_grid(scene, layout)
    for panel in layout.panels.values():
        _draw_panel(scene, panel)
    _draw_today(scene, layout)
    _draw_end(scene, layout)
    padding = {"left": LABEL_ROOM, "right": RIGHT_ROOM, "top": 0, "bottom": 0}
    spec = canvas.spec(padding, TEXT_STACK, measure.palette.paper)
    return svg_of(spec, sentence(title, outlook, series, goal, units))


def _span(series: Series, goal: Goal | None) -> float:
    """Days across the plot: to the last day, or on to a goal not far beyond it."""
    last = float(len(series.dates) - 1)
    if goal is not None and goal.on is not None and goal.frames is not None:
        on = float((goal.on - series.dates[0]).days)
        if last < on <= last * (1 + BEYOND):
            return on * 1.02
    return max(last, 1.0)


def _layout(
    outlook: Outlook,
    series: Series,
    measure: Measure,
    span: float,
    title: tuple[str, int],
    goal: Goal | None,
    rounds: bool = False,
) -> Layout:
    names: tuple[PanelName, ...] = ("pollen", "rounds", "bread", "frames")
    names = names if rounds else ("pollen", "bread", "frames")
    lines = tuple(wrapped(title[0], measure.plot, title[1], 500, DISPLAY)) if title[0] else ()
    first = len(lines) * title[1] * 1.3 + (10 if lines else 0)
    boxes = stacked(measure, names, first)
    tops = {
        "pollen": _pollen_top(series),
        "rounds": 1.0,
        "bread": _bread_top(series),
        "frames": _frames_top(series, goal),
    }
    panels = {name: Panel(name, boxes[name], span, tops[name]) for name in names}
    note = f"outlook ends {short_date(series.dates[-1])}: {short_reason(outlook.stops_because)}"
    notes = wrapped(note, measure.plot, measure.axis)
    if len(notes) > 2:
        notes = [notes[0], shortened(" ".join(notes[1:]), measure.plot, measure.axis)]
    bottom = boxes["frames"].bottom + measure.axis * (2.3 + 1.35 * len(notes))
    return Layout(panels, lines, tuple(notes), round(bottom))


def _pollen_top(series: Series) -> float:
    line = max(float(series.need.middle.max()), float(series.income.middle.max()))
    band = float(series.income.high.max())
    top = max(line * 1.12, min(band, line * BAND_CUT)) if line > 0 else band
    return ticks(top, 4)[-1]


def _bread_top(series: Series) -> float:
    highest = float(np.max(series.bread_days.high))
    return 20.0 if highest <= 20 else 30.0 if highest <= 30 else MOST_BREAD


def _frames_top(series: Series, goal: Goal | None) -> float:
    fans = [series.frames] + ([series.frames_fed] if series.frames_fed else [])
    wanted = goal.frames if goal is not None and goal.frames is not None else 0.0
    return ticks(max(*(float(f.high.max()) for f in fans), wanted * 1.15, 1.0), 4, FRAME_STEPS)[-1]


def _draw_title(scene: Scene, layout: Layout, size: int) -> None:
    for i, line in enumerate(layout.title_lines):
        y = (i + 0.75) * size * 1.3
        colour = scene.measure.palette.ink
        scene.canvas.text(0, y, line, colour=colour, size=size, font=DISPLAY_STACK, fontWeight=500)


def _draw_grid(scene: Scene, layout: Layout) -> None:
    """Months through every panel, and the rules and numbers of each axis of values."""
    m, c = scene.measure, scene.canvas
    first, last = scene.series.dates[0], layout.panels["frames"]
    marks = time_marks(first, last.span, m.plot, m.axis)
    rules: list[Row] = []
    for panel in layout.panels.values():
        for mark in marks:
            if mark.rule or panel.name != "rounds":
                rules.append(_upright(mark.day, panel))
        if panel.name == "rounds":
            continue
        for value in _axis(panel):
            y = panel.y(value)
            rules.append({"d": 0, "e": panel.span, "v": y, "w": y})
            c.text(-8, y, plain(value), colour=m.palette.soft, size=m.axis, align="right")
    c.rule(c.ground, rules, stroke=m.palette.hair, strokeWidth=1)
    floors = [p.box.bottom for p in layout.panels.values() if p.name != "rounds"]
    zeros = [{"d": 0, "e": last.span, "v": y, "w": y} for y in floors]
    c.rule(c.ground, zeros, stroke=m.palette.line, strokeWidth=1)
    for mark in (k for k in marks if k.name):
        x = last.x(mark.day) + (3 if mark.rule else 0)
        c.text(x, last.box.bottom + m.axis * 1.1, mark.name, colour=m.palette.soft, size=m.axis)


def _axis(panel: Panel) -> list[float]:
    if panel.name == "bread":
        return [0.0, 20.0] if panel.top_value < MOST_BREAD else [0.0, 20.0, 40.0]
    return ticks(panel.top_value, 4, FRAME_STEPS) if panel.name == "frames" else ticks(panel.top_value, 4)


def _upright(day: float, panel: Panel) -> dict[str, float]:
    return {"d": day, "e": day, "v": panel.box.top, "w": panel.box.bottom}


def _draw_panel(scene: Scene, panel: Panel) -> None:
    m = scene.measure
    drawn = DRAW[panel.name](scene, panel)
    labels, lines = list(drawn.labels), list(drawn.lines)
    day, end = scene.day(scene.today), len(scene.series.dates) - 1
    if end < panel.span:
        lines.append(np.array([[panel.x(end), panel.box.top], [panel.x(end), panel.box.bottom]]))
    if 0 <= day <= panel.span:
        lines.append(np.array([[panel.x(day), panel.box.top], [panel.x(day), panel.box.bottom]]))
        if panel.name == "pollen":
            labels.insert(0, _today_label(scene, panel.x(day), panel.box))
    _draw_head(scene, panel)
    for place in placed(labels, Box(2, panel.box.top + 1, m.plot, panel.box.bottom - 1), lines):
        _draw_label(scene, place)


def _draw_today(scene: Scene, layout: Layout) -> None:
    ink, day = scene.measure.palette.ink, scene.day(scene.today)
    rows = [_upright(day, panel) for panel in layout.panels.values() if 0 <= day <= panel.span]
    scene.canvas.rule(scene.canvas.front, rows, stroke=ink, strokeWidth=2, strokeDash=[2, 3])


def _today_label(scene: Scene, x: float, box: Box) -> Label:
    at = np.array([[x, box.top + scene.measure.label * k] for k in (0.9, 2.0, 3.2, 4.5, 6.0)])
    texts = (f"today, {short_date(scene.today)}", "today")
    return scene.label(texts, at, ("right", "left"), scene.measure.palette.ink)


def _draw_head(scene: Scene, panel: Panel) -> None:
    m, c = scene.measure, scene.canvas
    titles, unders = heads(panel.name, scene)
    fitting = next((t for t in titles if text_width(t, m.label, 600) <= m.plot), titles[-1])
    y = panel.box.top - m.label * (0.85 if not unders else 2.15)
    c.text(0, y, fitting, colour=m.palette.ink, size=m.label, fontWeight=600)
    if unders:
        under = next((t for t in unders if text_width(t, m.axis) <= m.plot), unders[-1])
        c.text(0, panel.box.top - m.label * 1.0, under, colour=m.palette.soft, size=m.axis)


def _draw_label(scene: Scene, place: Placed) -> None:
    """Text in its box; on a patch of paper where a line would run through it."""
    label, box, c = place.label, place.box, scene.canvas
    if place.crossed:
        scale = c.span / c.width
        row = {"d": (box.left - 2) * scale, "e": (box.right + 2) * scale, "v": box.top, "w": box.bottom}
        c.rect(c.front, [row], fill=scene.measure.palette.paper, fillOpacity=0.86)
    for i, line in enumerate(place.text.split("\n")):
        y = box.top + (i + 0.5) * label.size * LINE_HEIGHT
        c.text(box.left, y, line, colour=label.colour, size=label.size, fontWeight=label.weight)


def _draw_end(scene: Scene, layout: Layout) -> None:
    """Where the outlook ends: a rule if the axis goes on beyond it, and why, under the months."""
    m, c = scene.measure, scene.canvas
    last = layout.panels["frames"]
    end = float(len(scene.series.dates) - 1)
    rows = [_upright(end, panel) for panel in layout.panels.values()] if end < last.span else []
    y = last.box.bottom
    c.rule(c.front, [*rows, {"d": end, "e": end, "v": y, "w": y + 6}], stroke=m.palette.soft, strokeWidth=1.5)
    right = max(last.x(end), max(text_width(t, m.axis) for t in layout.note_lines))
    side = {"align": "right"} if len(layout.note_lines) == 1 else {}
    for i, line in enumerate(layout.note_lines):
        c.text(
            right if side else 0,
            y + m.axis * (2.6 + 1.35 * i),
            line,
            colour=m.palette.soft,
            size=m.axis,
            **side,
        )
