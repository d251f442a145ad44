"""Trials whose means were printed: a mark each, by outcome, and nothing drawn together from them."""

from __future__ import annotations

import math
from itertools import groupby

from breadline.knowledge.evidence import Comparison, Measures
from breadline.language import noted, say
from breadline.pictures.evidence_sheet import AXIS_FOOT, WIDTHS, Plot, RatioAxis, Square, side_of
from breadline.pictures.frame import Size
from breadline.pictures.letters import shortened

OUTCOMES: dict[Measures, str] = {
    "bees": noted("Adult bees"),
    "brood": noted("Brood"),
    "both": noted("Bees and brood"),
    "honey": noted("Honey"),
    "wintering": noted("Colonies or bees kept over winter, as printed"),
    "survival": noted("Survival"),
    "lifespan": noted("Length of life"),
    "flights": noted("Bees flying out"),
}
ROOM: dict[Size, float] = {"wide": 330.0, "phone": 0.0, "print": 270.0}  # px for the names of the trials
TICKS = {1.0: noted("as many"), 1.5: "× 1.5", 2.0: "× 2", 3.0: "× 3", 5.0: "× 5", 8.0: "× 8"}
AXIS = RatioAxis(0.85, 9.5, TICKS, ROOM)


def printed_chart(rows: tuple[Comparison, ...], size: Size) -> str:
    """Fed over check of every comparison whose two means were printed, as SVG text.

    Parameters
    ----------
    rows
        Any comparisons; those without both means are left out.
    size
        ``wide`` 832 px, ``phone`` 364 px, ``print`` 664 px and in grey.
    """
    foot = _draw(Plot(size, 1.0), rows)
    plot = Plot(size, foot + AXIS_FOOT)
    _draw(plot, rows, foot)
    return plot.svg(printed_sentence(rows))


def by_outcome(rows: tuple[Comparison, ...]) -> list[tuple[Measures, list[Comparison]]]:
    """Comparisons with both means, by outcome, the smallest ratio first."""
    order = list(OUTCOMES)
    printed = [row for row in rows if row.log_ratio is not None]
    printed.sort(key=lambda row: (order.index(row.measures), row.log_ratio or 0.0))
    return [(outcome, list(each)) for outcome, each in groupby(printed, key=lambda row: row.measures)]


def times(row: Comparison) -> float:
    """Fed over check."""
    return math.exp(row.log_ratio or 0.0)


def printed_sentence(rows: tuple[Comparison, ...]) -> str:
    """What the picture shows, for screen readers."""
    parts = [
        f"{say(OUTCOMES[outcome])}: {', '.join(f'{times(row):.1f}' for row in each)}"
        for outcome, each in by_outcome(rows)
    ]
    of = say("Fed colonies over check colonies, a number for each trial that printed both.")
    return f"{of} {'. '.join(parts)}."


def _draw(plot: Plot, rows: tuple[Comparison, ...], foot: float = 0.0) -> float:
    """Draws from the top; returns where the numbers of the axis stand [px], which the next pass is told."""
    line, y = AXIS.line_height(plot), plot.label * 1.1
    if ROOM[plot.size]:
        AXIS.rules(plot, y + plot.label, foot - plot.label)
    for outcome, each in by_outcome(rows):
        plot.text(0, y, say(OUTCOMES[outcome]), colour=plot.palette.ink, fontWeight=600)
        y += plot.label * 1.7
        for row in each:
            _draw_row(plot, row, y)
            y += line
        y += plot.label * 0.4
    AXIS.numbers(plot, y)
    return y


def _draw_row(plot: Plot, row: Comparison, y: float) -> None:
    room, middle = ROOM[plot.size], AXIS.middle(plot, y)
    words = f"{row.study} {row.year}, {row.outcome if row.measures == 'flights' else row.feed}"
    plot.text(0, y, shortened(words, room or WIDTHS[plot.size], plot.axis), size=plot.axis)
    if not room:
        AXIS.rules(plot, middle - plot.label * 0.6, middle + plot.label * 0.6)
    side = side_of(row.fed_colonies, plot.size)
    square = Square(
        AXIS.x(plot, times(row)) - side / 2, middle - side / 2, side, row.fed_colonies is not None
    )
    plot.squares([square], plot.palette.soft)
