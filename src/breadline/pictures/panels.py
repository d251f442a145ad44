"""The panels under the first: rounds, bread days left, frames of bees."""

from __future__ import annotations

import numpy as np

from breadline.language import say
from breadline.need.outlook import Band
from breadline.need.words import day, half_frames, short_day
from breadline.pictures.canvas import Row
from breadline.pictures.frame import Panel
from breadline.pictures.gap import runs, widest
from breadline.pictures.place import Label, Side, tries
from breadline.pictures.scene import Drawn, Scene, band_rows, line_rows, pixel_line, spread
from breadline.span import FloatArray

HEIGHTS = (0.5, 0.35, 0.65, 0.2, 0.8)  # of the panel, where a label may stand [share]
OFF_FLOOR = 5.0  # how high a dashed edge has to run to be seen as one [px]
BREAD_RULE = 10.0  # days of bread at which the dotted rule is drawn [days]


def draw_rounds(scene: Scene, panel: Panel) -> Drawn:
    """Rounds of protein feed: filled where done, open where planned."""
    c, colours = scene.canvas, scene.measure.palette
    c.rule(panel, [{"d": 0, "e": panel.span, "v": 0.5, "w": 0.5}], stroke=colours.line, strokeWidth=1.2)
    for done in (True, False):
        rows: list[Row] = [
            {"d": scene.day(g.on), "v": 0.5}
            for g in scene.given
            if (g.on <= scene.today) == done and 0 <= scene.day(g.on) <= panel.span
        ]
        fill = colours.crust if done else colours.paper
        c.point(panel, rows, shape="triangle-down", size=110, fill=fill, stroke=colours.crust, strokeWidth=2)
    return Drawn([], [])


def draw_bread(scene: Scene, panel: Panel) -> Drawn:
    """Bread days left, with the dotted rule at ten days."""
    c, colours, days = scene.canvas, scene.measure.palette, scene.series.bread_days
    c.area(panel, band_rows(Band(days.middle, days.middle, days.high), panel.top_value), fill=colours.crumb)
    stored = Band(np.zeros_like(days.middle), days.middle, days.middle)
    c.area(panel, band_rows(stored, panel.top_value), fill=colours.stored)
    low = line_rows(days.low, panel.top_value)
    risen = (
        panel.box.bottom - pixel_line(panel, days.low)[:, 1] > OFF_FLOOR
    )  # below, it would be crumbs on the floor
    parts = enumerate(runs(risen))
    low_edge = [{**row, "run": i} for i, (first, last) in parts for row in low[first : last + 1]]
    c.line(panel, low_edge, stroke=colours.paper, strokeWidth=1.3, strokeDash=[3, 3])
    c.line(panel, line_rows(days.middle, panel.top_value), stroke=colours.crust, strokeWidth=2)
    rule = {"d": 0, "e": panel.span, "v": BREAD_RULE, "w": BREAD_RULE}
    c.rule(panel, [rule], stroke=colours.soft, strokeWidth=1.2, strokeDash=[1, 3])
    middle, high = pixel_line(panel, days.middle), pixel_line(panel, days.high)
    ten = np.array([[0.0, panel.y(BREAD_RULE)], [panel.box.right, panel.y(BREAD_RULE)]])
    return Drawn(_bread_labels(scene, panel), [middle, high, ten])


def _bread_labels(scene: Scene, panel: Panel) -> list[Label]:
    days, m = scene.series.bread_days, scene.measure
    empty = widest(np.ones(len(days.high)), days.high < 0.5)
    if not scene.series.tells_short or empty is None or empty[1] == empty[0]:
        return []
    along = spread(pixel_line(panel, days.middle)[empty[0] : empty[1] + 1])
    texts = tries((say("none in the comb"), say("none")), along, ("above",))
    return [Label(texts, m.palette.soft, weight=400, size=m.label, only_clear=True)]


def draw_frames(scene: Scene, panel: Panel) -> Drawn:
    """Frames of bees: the fan without feed, the fan with feed if there is one, and the goal."""
    c, colours, s = scene.canvas, scene.measure.palette, scene.series
    lines: list[FloatArray] = []
    labels: list[Label] = []
    if s.frames_fed is not None:
        c.area(panel, band_rows(s.frames_fed), fill=colours.crumb, fillOpacity=0.8)
    c.area(panel, band_rows(s.frames), fill=colours.sky_pale, fillOpacity=colours.unfed_fill)
    for fan, colour, dashes in ((s.frames_fed, colours.crust, False), (s.frames, colours.sky, True)):
        if fan is None:
            continue
        edges = [{**row, "run": i} for i, edge in enumerate((fan.low, fan.high)) for row in line_rows(edge)]
        thin, thick = ({"strokeDash": d} if dashes else {} for d in ([3, 3], [7, 4]))
        c.line(panel, edges, stroke=colour, strokeWidth=1.3, **thin)
        c.line(panel, line_rows(fan.middle), stroke=colour, strokeWidth=3, **thick)
        lines += [pixel_line(panel, a) for a in (fan.low, fan.middle, fan.high)]
        if s.frames_fed is not None:
            labels.append(_fan_label(scene, panel, fan, dashes))
    return Drawn([*_draw_goal(scene, panel, lines), *_draw_stop(scene, panel, lines), *labels], lines)


def _draw_stop(scene: Scene, panel: Panel, lines: list[FloatArray]) -> list[Label]:
    """A rule where bees are foretold no further than here, and the words beside it."""
    end = scene.outlook.frames_end
    if end is None:
        return []
    at, soft = scene.day(end.on), scene.measure.palette.soft
    scene.canvas.rule(panel, [{"d": at, "e": at, "v": 0, "w": panel.top_value}], stroke=soft, strokeWidth=1.5)
    upright = np.array([[panel.x(at), panel.y(share * panel.top_value)] for share in HEIGHTS])
    lines.append(np.array([[panel.x(at), panel.box.top], [panel.x(at), panel.box.bottom]]))
    on = short_day(end.on, scene.today)
    texts = (
        say("pollen dearth: none foretold after {on}", on=on),
        say("none foretold after {on}", on=on),
        say("none after {on}", on=on),
    )
    return [scene.label(texts, upright, ("right", "left"), soft)]


def _fan_label(scene: Scene, panel: Panel, fan: Band, unfed: bool) -> Label:
    colours = scene.measure.palette
    edge = pixel_line(panel, fan.low if unfed else fan.high)
    side: Side = "below" if unfed else "above"
    text = say("without feed") if unfed else say("with feed")
    return scene.label((text,), spread(edge, 0.65), (side,), colours.sky if unfed else colours.crust)


def _draw_goal(scene: Scene, panel: Panel, lines: list[FloatArray]) -> list[Label]:
    goal, c, ink = scene.goal, scene.canvas, scene.measure.palette.ink
    if goal is None or goal.frames is None:
        return []
    end = panel.span if goal.on is None else float(scene.day(goal.on))
    inside = goal.on is not None and 0 <= end <= panel.span
    end = end if inside else panel.span
    rows: list[Row] = [{"d": 0, "e": end, "v": goal.frames, "w": goal.frames}]
    if inside:
        rows.append({"d": end, "e": end, "v": 0, "w": goal.frames})
        c.point(
            panel,
            [{"d": end, "v": goal.frames}],
            shape="square",
            size=110,
            fill=ink,
            stroke=ink,
            strokeWidth=0,
        )
    c.rule(panel, rows, stroke=ink, strokeWidth=1.7)
    across = np.array([[0.0, panel.y(goal.frames)], [panel.x(end), panel.y(goal.frames)]])
    lines += [across, np.array([across[1], [panel.x(end), panel.box.bottom]])]
    count = (
        say("1 frame")
        if goal.frames == 1
        else say("{half_frames} frames", half_frames=half_frames(goal.frames))
    )
    texts: tuple[str, ...] = (
        say("goal: {frames}", frames=count),
        say("goal: {frames}", frames=half_frames(goal.frames)),
    )
    if goal.on is not None:
        texts = (
            say("goal: {frames} on {day}", frames=count, day=day(goal.on, scene.today)),
            say(
                "goal: {frames} on {day}",
                frames=half_frames(goal.frames),
                day=short_day(goal.on, scene.today),
            ),
            *texts,
        )
    along = np.column_stack([np.linspace(0, panel.x(end), 40), np.full(40, across[0, 1])])
    return [scene.label(texts, along[[4, 6, 8, 12, 16, 20, 24, 28, 32, 36]], ("above", "below"), ink)]
