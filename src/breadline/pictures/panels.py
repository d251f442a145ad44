"""The four panels of the bread chart: what is drawn in each, and the labels that want a place."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from breadline.need.outlook import Band, Outlook
from breadline.need.yard import Given, Goal
from breadline.pictures.canvas import Canvas, Row
from breadline.pictures.frame import Measure, Panel
from breadline.pictures.gap import gap_rows, runs, stripe_rows, widest
from breadline.pictures.place import Label, Side, Try, tries
from breadline.pictures.series import Series
from breadline.pictures.wording import Units, halves, long_date, plain, short_date
from breadline.span import FloatArray

BREAD_RULE = 10.0  # days of bread at which the dotted rule is drawn [days]


@dataclass(frozen=True)
class Scene:
    """Everything a panel needs to draw itself."""

    outlook: Outlook
    series: Series
    measure: Measure
    canvas: Canvas
    today: date
    units: Units
    goal: Goal | None = None
    given: tuple[Given, ...] = ()

    def day(self, on: date) -> int:
        """Days from the first day of the picture."""
        return (on - self.series.dates[0]).days

    def label(self, texts: tuple[str, ...], along: FloatArray, sides: tuple[Side, ...], colour: str) -> Label:
        """A label in the size of this picture."""
        return Label(tries(texts, along, sides), colour, size=self.measure.label)


@dataclass(frozen=True)
class Drawn:
    """Labels that want a place, and the lines (in pixels) that they should keep clear of."""

    labels: list[Label]
    lines: list[FloatArray]


def band_rows(band: Band, top: float = np.inf) -> list[Row]:
    """Area rows from low to high, cut at ``top``."""
    low, high = np.minimum(band.low, top).round(4), np.minimum(band.high, top).round(4)
    return [
        {"d": d, "v": v, "w": w, "run": 0}
        for d, (v, w) in enumerate(zip(low.tolist(), high.tolist(), strict=True))
    ]


def line_rows(values: FloatArray, top: float = np.inf) -> list[Row]:
    """Line rows, cut at ``top``."""
    return [{"d": d, "v": v} for d, v in enumerate(np.minimum(values, top).round(4).tolist())]


def pixel_line(panel: Panel, values: FloatArray) -> FloatArray:
    """The same line in pixels, shape (days, 2)."""
    days = np.arange(len(values), dtype=float)
    y = [panel.y(min(float(v), panel.top_value)) for v in values]
    return np.column_stack([[panel.x(d) for d in days], y])


def spread(line: FloatArray, first: float = 0.5, places: int = 40) -> FloatArray:
    """Points along a line, those nearest to share ``first`` of its length leading."""
    share = np.linspace(0.02, 0.98, places)
    order = np.argsort(np.abs(share - first), kind="stable")
    chosen: FloatArray = line[np.minimum((share[order] * (len(line) - 1)).round().astype(int), len(line) - 1)]
    return chosen


def draw_pollen(scene: Scene, panel: Panel) -> Drawn:
    """Pollen coming in against need, the gap solid from the comb and striped where bread is missing."""
    s, c, colours = scene.series, scene.canvas, scene.measure.palette
    stripes = stripe_rows(s, panel.x(1.0), scene.measure.stripe_gap)
    c.area(panel, band_rows(s.income, panel.top_value), fill=colours.sky_pale)
    c.area(panel, gap_rows(s, missing=False), fill=colours.crumb)
    c.area(panel, gap_rows(s, missing=True), fill=colours.crumb_pale)
    c.rule(panel, stripes, stroke=colours.crust, strokeWidth=1.7)
    c.line(panel, line_rows(s.income.middle), stroke=colours.sky, strokeWidth=2)
    c.line(panel, line_rows(s.need.middle), stroke=colours.ink, strokeWidth=2.8)
    need, income = pixel_line(panel, s.need.middle), pixel_line(panel, s.income.middle)
    high = pixel_line(panel, s.income.high)
    seen = runs(high[:, 1] < need[:, 1] - 2)  # where the gap does not hide the band's edge
    lines = [need, income, *(high[a : b + 1] for a, b in seen)]
    for row in stripes:
        x = panel.x(row["d"])
        lines.append(np.array([[x, panel.y(row["v"])], [x, panel.y(row["w"])]]))
    return Drawn(_pollen_labels(scene, need, income, high), lines)


def _pollen_labels(scene: Scene, need: FloatArray, income: FloatArray, high: FloatArray) -> list[Label]:
    s, colours = scene.series, scene.measure.palette
    gap = np.maximum(s.need.middle - s.income.middle, 0.0)
    labels = []
    gone = widest(gap, s.missing & (gap > 0))
    comb = widest(gap, ~s.missing & (gap > 0))
    if gone:
        part = slice(gone[0], gone[1] + 1)
        along = np.vstack([spread(need[part], 0.6), spread(income[part], 0.6)])
        labels.append(scene.label(("bread missing", "missing"), along, ("above", "below"), colours.crust))
    labels.append(_need_label(scene, need))
    if comb:
        part = slice(comb[0], comb[1] + 1)
        labels.append(_comb_label(scene, need[part], income[part]))
    texts = ("pollen coming in", "pollen\ncoming in", "pollen")
    order = np.argsort(high[:, 1], kind="stable")[:: max(1, len(high) // 40)]
    along = np.vstack([income[order], high[order]])
    labels.append(scene.label(texts, along, ("above", "left", "right", "below"), colours.sky))
    return labels


def _need_label(scene: Scene, need: FloatArray) -> Label:
    """Above its line wherever that is possible: below it lies the line of pollen."""
    texts, along = ("need of brood and nurses", "need"), spread(need, 0.3)
    places = (*tries(texts, along, ("above",)), *tries(texts, along, ("below",)))
    return Label(places, scene.measure.palette.ink, size=scene.measure.label)


def _comb_label(scene: Scene, need: FloatArray, income: FloatArray) -> Label:
    """Inside the solid piece where it fits there, else above it."""
    order = np.argsort(need[:, 1] - income[:, 1], kind="stable")  # pixels grow downward: thickest first
    low, high = income[order], need[order]
    inside = np.vstack([low + (high - low) * share for share in (0.5, 0.4, 0.6)])
    within = tries(("from the comb", "from\nthe comb"), inside, ("on",))
    above = Try("from the comb", high[:60], ("above",))
    short = tries(("comb",), inside, ("on",))
    ink, size = scene.measure.palette.ink, scene.measure.label
    return Label((*within, *short, above), ink, size=size, only_clear=True)


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
    parts = enumerate(runs(days.low > 0.3))  # on the floor it would only fray the middle line
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
    if empty is None or empty[1] == empty[0]:
        return []
    along = spread(pixel_line(panel, days.middle)[empty[0] : empty[1] + 1])
    texts = tries(("none in the comb", "none"), along, ("above",))
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
    return Drawn([*_draw_goal(scene, panel, lines), *labels], lines)


def _fan_label(scene: Scene, panel: Panel, fan: Band, unfed: bool) -> Label:
    colours = scene.measure.palette
    edge = pixel_line(panel, fan.low if unfed else fan.high)
    side: Side = "below" if unfed else "above"
    text = "without feed" if unfed else "with feed"
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
    count = "1 frame" if goal.frames == 1 else f"{halves(goal.frames)} frames"
    texts: tuple[str, ...] = (f"goal: {count}", f"goal: {halves(goal.frames)}")
    if goal.on is not None:
        texts = (
            f"goal: {count} on {long_date(goal.on)}",
            f"goal: {plain(goal.frames)} on {short_date(goal.on)}",
            *texts,
        )
    along = np.column_stack([np.linspace(0, panel.x(end), 40), np.full(40, across[0, 1])])
    return [scene.label(texts, along[[4, 6, 8, 12, 16, 20, 24, 28, 32, 36]], ("above", "below"), ink)]
