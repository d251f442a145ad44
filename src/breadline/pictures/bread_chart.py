"""The bread chart: a yard's season of pollen, bread and bees in one picture."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

import numpy as np

from breadline.language import say
from breadline.measures import Units
from breadline.need.outlook import Outlook
from breadline.need.words import short_day
from breadline.need.yard import Given, Goal
from breadline.pictures.axes import draw_end, draw_grid, draw_title, draw_today
from breadline.pictures.canvas import Canvas
from breadline.pictures.chart_words import heads, sentence
from breadline.pictures.frame import LABEL_ROOM, MEASURES, RIGHT_ROOM, Box, Panel, PanelName, Size
from breadline.pictures.layout import TITLE_SIZE, layout_of
from breadline.pictures.letters import TEXT_STACK, text_width
from breadline.pictures.panels import draw_bread, draw_frames, draw_rounds
from breadline.pictures.place import LINE_HEIGHT, Label, Placed, placed
from breadline.pictures.pollen_panel import draw_pollen
from breadline.pictures.render import svg_of
from breadline.pictures.scene import Drawn, Scene
from breadline.pictures.series import series_of

DRAW: dict[PanelName, Callable[[Scene, Panel], Drawn]] = {
    "pollen": draw_pollen,
    "rounds": draw_rounds,
    "bread": draw_bread,
    "frames": draw_frames,
}


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
    shown = title if show_title else ""
    layout = layout_of(outlook, series, measure, (shown, TITLE_SIZE[size]), goal, bool(given))
    canvas = Canvas(measure.plot, layout.height, layout.span)
    scene = Scene(outlook, series, measure, canvas, today, units, goal, given)
    draw_title(scene, layout, TITLE_SIZE[size])
    draw_grid(scene, layout)
    for panel in layout.panels.values():
        _draw_panel(scene, panel)
    draw_today(scene, layout)
    draw_end(scene, layout)
    padding = {"left": LABEL_ROOM, "right": RIGHT_ROOM, "top": 0, "bottom": 0}
    spec = canvas.spec(padding, TEXT_STACK, measure.palette.paper)
    return svg_of(spec, sentence(title, outlook, series, goal, units))


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


def _today_label(scene: Scene, x: float, box: Box) -> Label:
    at = np.array([[x, box.top + scene.measure.label * k] for k in (0.9, 2.0, 3.2, 4.5, 6.0)])
    texts = (say("today, {day}", day=short_day(scene.today)), say("today"))
    return scene.label(texts, at, ("right", "left"), scene.measure.palette.ink)


def _draw_head(scene: Scene, panel: Panel) -> None:
    m, c = scene.measure, scene.canvas
    titles, unders = heads(panel, scene)
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
