"""The first panel: pollen coming in against need, and the gap between them."""

from __future__ import annotations

import numpy as np

from breadline.language import say, say_as
from breadline.pictures.frame import Panel
from breadline.pictures.gap import gap_rows, open_end, stripe_rows, widest
from breadline.pictures.place import Label, Try, tries
from breadline.pictures.scene import Drawn, Scene, band_rows, line_rows, pixel_line, spread
from breadline.span import FloatArray

ARROW = "M0,-0.9L0.75,0L0,0.9Z"  # begins on the last day and points out of the picture


def draw_pollen(scene: Scene, panel: Panel) -> Drawn:
    """Pollen coming in against need, the gap solid from the comb and striped where bread is missing."""
    s, c, colours = scene.series, scene.canvas, scene.measure.palette
    stripes = stripe_rows(s, panel.x(1.0), scene.measure.stripe_gap)
    c.area(panel, band_rows(s.income, panel.top_value), fill=colours.sky_pale)
    if s.tells_short:
        c.area(panel, gap_rows(s, missing=False), fill=colours.crumb)
        c.area(panel, gap_rows(s, missing=True), fill=colours.crumb_pale)
    c.rule(panel, stripes, stroke=colours.crust, strokeWidth=1.7)
    c.point(panel, open_end(s), shape=ARROW, size=90, fill=colours.crust, stroke=None)
    c.line(panel, line_rows(s.income.middle), stroke=colours.sky, strokeWidth=2)
    c.line(panel, line_rows(s.need.middle), stroke=colours.ink, strokeWidth=2.8)
    need, income = pixel_line(panel, s.need.middle), pixel_line(panel, s.income.middle)
    lines = [need, income]  # a label may stand on the pale band's edge, which is no line
    for row in stripes:
        x = panel.x(row["d"])
        lines.append(np.array([[x, panel.y(row["v"])], [x, panel.y(row["w"])]]))
    return Drawn(_pollen_labels(scene, panel), lines)


def _pollen_labels(scene: Scene, panel: Panel) -> list[Label]:
    s, colours = scene.series, scene.measure.palette
    need, income = pixel_line(panel, s.need.middle), pixel_line(panel, s.income.middle)
    low, high = pixel_line(panel, s.income.low), pixel_line(panel, s.income.high)
    gap = np.maximum(s.need.middle - s.income.middle, 0.0)
    labels = []
    gone = widest(gap, s.missing & (gap > 0))
    comb = ~s.missing & (gap > 0) & s.tells_short
    if gone:
        part = slice(gone[0], gone[1] + 1)
        along = np.vstack([spread(need[part], 0.6), spread(income[part], 0.6)])
        texts: tuple[str, ...] = (say("bread missing"), say_as("chart", "missing"))
        if s.open_end and gone[1] == len(gap) - 1:
            texts = (say("bread missing, to the end"), say("missing to the end"), *texts)
        labels.append(scene.label(texts, along, ("above", "below"), colours.crust))
    labels.append(_need_label(scene, need))
    if comb.any():
        labels.append(_comb_label(scene, need[comb], income[comb]))
    labels.append(_pollen_label(scene, income, low, high))
    return labels


def _pollen_label(scene: Scene, income: FloatArray, low: FloatArray, high: FloatArray) -> Label:
    """Along its line, else within its pale band, else above it; where the band is highest first."""
    order = np.argsort(high[:, 1], kind="stable")[:: max(1, len(high) // 40)]
    best = order[: max(1, len(order) // 3)]  # elsewhere the words would hang over another line
    inside = np.vstack([(share * income + (1 - share) * low)[best] for share in (0.5, 0.3, 0.7)])
    places: list[Try] = []
    for text in (say("pollen coming in"), say("pollen\ncoming in"), say_as("chart", "pollen")):
        places += [Try(text, income[best], ("above", "below")), Try(text, inside, ("on",))]
        places.append(Try(text, high[order], ("above", "left", "right")))
    return Label(tuple(places), scene.measure.palette.sky, size=scene.measure.label)


def _need_label(scene: Scene, need: FloatArray) -> Label:
    """Above its line wherever that is possible: below it lies the line of pollen."""
    texts, along = (say("need of brood and nurses"), say_as("chart", "need")), spread(need, 0.3)
    places = (*tries(texts, along, ("above",)), *tries(texts, along, ("below",)))
    return Label(places, scene.measure.palette.ink, size=scene.measure.label)


def _comb_label(scene: Scene, need: FloatArray, income: FloatArray) -> Label:
    """Inside the solid piece where it fits there, else above it."""
    order = np.argsort(need[:, 1] - income[:, 1], kind="stable")  # pixels grow downward: thickest first
    low, high = income[order], need[order]
    inside = np.vstack([low + (high - low) * share for share in (0.5, 0.4, 0.6)])
    within = tries((say("from the comb"), say("from\nthe comb")), inside, ("on",))
    above = Try(say("from the comb"), high[:60], ("above",))
    short = tries((say_as("chart", "comb"),), inside, ("on",))
    ink, size = scene.measure.palette.ink, scene.measure.label
    return Label((*within, *short, above), ink, size=size, only_clear=True)
