"""From when yards are short: a line a yard on one time axis."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from breadline.language import say
from breadline.need.words import short_month
from breadline.pictures.evidence_sheet import AXIS_FOOT, LINES, WIDTHS, Plot, Square
from breadline.pictures.frame import Size
from breadline.pictures.letters import shortened, text_width

ROOM: dict[Size, float] = {"wide": 290.0, "phone": 0.0, "print": 240.0}  # px for the names of the yards
SIDE = 8.0  # px of the middle's square


@dataclass(frozen=True)
class ShortLine:
    """A yard: its name, first, middle and last day of 8 seasons in 10, and the same in words.

    Parameters
    ----------
    first, middle, last
        None where no day can be named; ``last`` alone where some seasons are not short at all.
    """

    name: str
    first: date | None
    middle: date | None
    last: date | None
    words: str


def short_from_chart(lines: tuple[ShortLine, ...], span: tuple[date, date], size: Size) -> str:
    """Every yard once, from the first to the last day of ``span``, as SVG text.

    Parameters
    ----------
    lines
        In the order in which they are drawn.
    size
        ``wide`` 832 px, ``phone`` 364 px, ``print`` 664 px and in grey.
    """
    label = Plot(size, 1.0).label
    step = label * LINES[size] * (1.0 if ROOM[size] else 1.25)
    foot = label * 1.2 + step * len(lines)
    plot = Plot(size, foot + label + AXIS_FOOT)
    _months(plot, span, foot)
    for n, one in enumerate(lines):
        _drawn(plot, one, span, label * 1.1 + step * n)
    return plot.svg(short_from_sentence(lines))


def short_from_sentence(lines: tuple[ShortLine, ...]) -> str:
    """What the picture shows, for screen readers."""
    each = "; ".join(f"{one.name}: {one.words}" for one in lines)
    return f"{say('When each yard is short of bread.')} {each}."


def _x(plot: Plot, day: date, span: tuple[date, date]) -> float:
    left = ROOM[plot.size] + 12.0
    share = (day - span[0]).days / max(1, (span[1] - span[0]).days)
    return left + min(1.0, max(0.0, share)) * (WIDTHS[plot.size] - left - 8.0)


def _months(plot: Plot, span: tuple[date, date], foot: float) -> None:
    day, free = span[0].replace(day=1), -1e9
    while day <= span[1]:
        if day >= span[0]:
            x = _x(plot, day, span)
            plot.rule(x, plot.label * 0.2, (x, foot), stroke=plot.palette.hair, strokeWidth=1.0)
            words = short_month(day.month)
            if x > free and x + text_width(words, plot.axis) < WIDTHS[plot.size]:
                plot.text(x, foot + plot.label * 0.6, words, size=plot.axis)
                free = x + text_width(words, plot.axis) + 8
        day = (day + timedelta(days=32)).replace(day=1)


def _drawn(plot: Plot, one: ShortLine, span: tuple[date, date], y: float) -> None:
    room = ROOM[plot.size] or WIDTHS[plot.size]
    plot.text(0, y, shortened(one.name, room, plot.axis), size=plot.axis, colour=plot.palette.ink)
    middle = y if ROOM[plot.size] else y + plot.label * 1.2
    if one.first is None:
        plot.text(ROOM[plot.size] + 12.0, middle, one.words, size=plot.axis)
        return
    left, right = _x(plot, one.first, span), _x(plot, one.last or span[1], span)
    dash = {} if one.last else {"strokeDash": (5, 3)}
    plot.rule(
        left,
        middle,
        (max(right, left + 2), middle),
        over=True,
        stroke=plot.palette.crust,
        strokeWidth=3,
        **dash,
    )
    if one.middle is not None:
        at = _x(plot, one.middle, span)
        plot.squares([Square(at - SIDE / 2, middle - SIDE / 2, SIDE, True)], plot.palette.crust)
