"""What all panels share: title, months, numbers of the axes, today, and where the outlook ends."""

from __future__ import annotations

from breadline.pictures.canvas import Row
from breadline.pictures.frame import Panel
from breadline.pictures.layout import FRAME_STEPS, MOST_BREAD, TITLE_LINE, Layout
from breadline.pictures.letters import DISPLAY_STACK, text_width
from breadline.pictures.scene import Scene
from breadline.pictures.timeline import time_marks
from breadline.pictures.wording import plain, ticks


def draw_title(scene: Scene, layout: Layout, size: int) -> None:
    for i, line in enumerate(layout.title_lines):
        y = (i + 0.75) * size * TITLE_LINE
        colour = scene.measure.palette.ink
        scene.canvas.text(0, y, line, colour=colour, size=size, font=DISPLAY_STACK, fontWeight=500)


def draw_grid(scene: Scene, layout: Layout) -> None:
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


def draw_today(scene: Scene, layout: Layout) -> None:
    ink, day = scene.measure.palette.ink, scene.day(scene.today)
    rows = [_upright(day, panel) for panel in layout.panels.values() if 0 <= day <= panel.span]
    scene.canvas.rule(scene.canvas.front, rows, stroke=ink, strokeWidth=2, strokeDash=[2, 3])


def draw_end(scene: Scene, layout: Layout) -> None:
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
