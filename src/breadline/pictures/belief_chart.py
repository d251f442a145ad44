"""The belief in each forage situation beside what the verdicts say, on one scale of bees."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from breadline.language import say
from breadline.pictures.evidence_sheet import AXIS_FOOT, Plot, RatioAxis, per_cent
from breadline.pictures.frame import Size

ROOM: dict[Size, float] = {"wide": 250.0, "phone": 0.0, "print": 200.0}  # px for the names of the lines
AXIS = RatioAxis(0.62, 3.0, {tick: per_cent(tick) for tick in (0.7, 1.0, 1.25, 1.5, 2.0, 2.75)}, ROOM)


@dataclass(frozen=True)
class Reading:
    """Fed over check, with its 90 % range, on the log scale it was worked out on. [log ratio]"""

    name: str
    low: float
    middle: float
    high: float
    belief: bool = False  # the one that is used
    kind: Literal["", "own", "before"] = ""  # a trial of one's own; the belief before it


@dataclass(frozen=True)
class Situated:
    """The readings of one forage situation."""

    head: str
    readings: tuple[Reading, ...]


def belief_chart(situations: tuple[Situated, ...], size: Size) -> str:
    """Every reading of each situation, the belief with a heavy rule, as SVG text.

    One's own trial is a dot, the belief before it an open diamond, the belief that is used a filled one.

    Parameters
    ----------
    situations
        In the order in which they are drawn.
    size
        ``wide`` 832 px, ``phone`` 364 px, ``print`` 664 px and in grey.
    """
    foot = _draw(Plot(size, 1.0), situations)
    plot = Plot(size, foot + AXIS_FOOT)
    _draw(plot, situations, foot)
    return plot.svg(belief_sentence(situations))


def belief_sentence(situations: tuple[Situated, ...]) -> str:
    """What the picture shows, for screen readers."""
    said = []
    for one in situations:
        parts = [
            say("{name}: {middle}, from {low} to {high}", name=r.name, middle=_said(r.middle),
                low=_said(r.low), high=_said(r.high))
            for r in one.readings
        ]  # fmt: skip
        said.append(f"{one.head}. {'; '.join(parts)}.")
    return f"{say('Bees of fed colonies against check, with 90 % ranges.')} {' '.join(said)}"


def _said(value: float) -> str:
    return per_cent(math.exp(value))


def _draw(plot: Plot, situations: tuple[Situated, ...], foot: float = 0.0) -> float:
    """Draws from the top; returns where the numbers of the axis stand [px], which the next pass is told."""
    line, y = AXIS.line_height(plot), plot.label * 1.1
    if ROOM[plot.size]:
        AXIS.rules(plot, y + plot.label, foot - plot.label)
    for one in situations:
        plot.text(0, y, one.head, colour=plot.palette.ink, fontWeight=600)
        y += plot.label * 1.75
        for reading in one.readings:
            _draw_reading(plot, reading, y)
            y += line
        y += plot.label * 0.5
    AXIS.numbers(plot, y)
    return y


def _draw_reading(plot: Plot, r: Reading, y: float) -> None:
    ink, soft, middle = plot.palette.ink, plot.palette.soft, AXIS.middle(plot, y)
    crust = plot.palette.crust
    heavy = {"colour": ink, "fontWeight": 600} if r.belief else {"colour": crust} if r.kind == "own" else {}
    plot.text(0, y, r.name, size=plot.axis, **heavy)
    if not ROOM[plot.size]:
        AXIS.rules(plot, middle - plot.label * 0.6, middle + plot.label * 0.6)
    low, at, high = (AXIS.x(plot, math.exp(v)) for v in (r.low, r.middle, r.high))
    plot.rule(
        low,
        middle,
        (high, middle),
        over=True,
        stroke=crust if r.kind == "own" else ink if r.belief or r.kind else soft,
        strokeWidth=5 if r.belief else 3 if r.kind == "own" else 2,
    )
    if r.belief:
        plot.diamond(at, middle)
    elif r.kind == "own":
        plot.own(at, middle)
    elif r.kind == "before":
        plot.before(at, middle)
    else:
        plot.rule(at, middle - 6, (at, middle + 6), over=True, stroke=soft, strokeWidth=3)
