"""Trials under each other, fed over check; their average, and where a further one would lie."""

from __future__ import annotations

import math
from dataclasses import dataclass

from breadline.language import say
from breadline.pictures.evidence_sheet import AXIS_FOOT, WIDTHS, Plot, RatioAxis, Square, per_cent, side_of
from breadline.pictures.frame import Size
from breadline.pictures.letters import shortened, wrapped

ROOM: dict[Size, float] = {"wide": 290.0, "phone": 0.0, "print": 240.0}  # px for the names of the trials
TICKS = (0.35, 0.5, 0.7, 1.0, 1.5, 2.0, 2.75)
CLOSE_TICKS = (0.7, 0.85, 1.0, 1.2, 1.5)  # where the axis is short enough for them
SHORT_AXIS = 1.0  # [log ratio]
LEAST, MOST = 0.7, 1.5  # of the axis where all lies within [ratio]


@dataclass(frozen=True)
class Shown:
    """One trial: fed over check with its 90 % range.

    Parameters
    ----------
    name
        As it stands beside the mark.
    low, middle, high
        None where it is left out and nothing was worked out. [log ratio]
    colonies
        Started in its smaller group, which says most about its weight.
    left_out
        Why it is in no average; "" where it is.
    own
        Whether it is one's own.
    """

    name: str
    low: float | None
    middle: float | None
    high: float | None
    colonies: int
    left_out: str = ""
    own: bool = False


@dataclass(frozen=True)
class Stand:
    """The trials of one situation, and what they say together.

    Parameters
    ----------
    head
        What they are of.
    trials
        In the order in which they are drawn.
    mean
        Low, middle and high of the average; None with one trial. [log ratio]
    further
        Low and high of a further trial; None with fewer than three. [log ratio]
    """

    head: str
    trials: tuple[Shown, ...]
    mean: tuple[float, float, float] | None
    further: tuple[float, float] | None


def forest_chart(stands: tuple[Stand, ...], left_out: tuple[Shown, ...], size: Size) -> str:
    """Every trial once, those left out at the foot, as SVG text.

    Parameters
    ----------
    stands
        Of each situation.
    left_out
        Those in no average; each says why.
    size
        ``wide`` 832 px, ``phone`` 364 px, ``print`` 664 px and in grey.
    """
    axis = _axis(stands, left_out)
    foot = _draw(Plot(size, 1.0), axis, stands, left_out)
    plot = Plot(size, foot + AXIS_FOOT)
    _draw(plot, axis, stands, left_out, foot)
    return plot.svg(forest_sentence(stands, left_out))


def forest_sentence(stands: tuple[Stand, ...], left_out: tuple[Shown, ...]) -> str:
    """What the picture shows, for screen readers."""
    said = []
    for stand in stands:
        parts = [f"{one.name}: {_range(one.low, one.middle, one.high)}" for one in stand.trials]
        if stand.mean is not None:
            parts.append(say("together: {range}", range=_range(*stand.mean)))
        if stand.further is not None:
            low, high = (_said(value) for value in stand.further)
            parts.append(say("true difference in a further trial: from {low} to {high}", low=low, high=high))
        said.append(f"{stand.head}. {'; '.join(parts)}.")
    said += [say("Left out: {name}, {why}.", name=one.name, why=one.left_out) for one in left_out]
    return f"{say('Fed colonies against check, with 90 % ranges.')} {' '.join(said)}"


def _range(low: float | None, middle: float | None, high: float | None) -> str:
    if low is None or middle is None or high is None:
        return say("nothing worked out")
    return say("{middle}, from {low} to {high}", middle=_said(middle), low=_said(low), high=_said(high))


def _said(value: float) -> str:
    return per_cent(math.exp(value))


def _axis(stands: tuple[Stand, ...], left_out: tuple[Shown, ...]) -> RatioAxis:
    """As wide as the marks need, within what can be read."""
    ends = [math.log(LEAST), math.log(MOST)]
    for stand in stands:
        ends += [*(stand.mean or ()), *(stand.further or ())]
    shown = [one for stand in stands for one in stand.trials] + list(left_out)
    ends += [v for one in shown for v in (one.low, one.high) if v is not None]
    least, most = max(min(ends) - 0.05, math.log(0.33)), min(max(ends) + 0.05, math.log(3.0))
    steps = CLOSE_TICKS if most - least < SHORT_AXIS else TICKS
    ticks = {t: per_cent(t) for t in steps if least <= math.log(t) <= most}
    return RatioAxis(math.exp(least), math.exp(most), ticks, ROOM)


def _draw(
    plot: Plot, axis: RatioAxis, stands: tuple[Stand, ...], left_out: tuple[Shown, ...], foot: float = 0.0
) -> float:
    """Draws from the top; returns where the numbers of the axis stand [px], which the next pass is told."""
    y = plot.label * 1.1
    if ROOM[plot.size]:
        axis.rules(plot, y + plot.label, foot - plot.label)
    for stand in stands:
        y = _draw_stand(plot, axis, stand, y)
    if left_out:
        y = _head(plot, say("Left out of every average"), y)
        for one in left_out:
            y = _draw_left_out(plot, axis, one, y)
    axis.numbers(plot, y)
    return y


def _draw_stand(plot: Plot, axis: RatioAxis, stand: Stand, y: float) -> float:
    y = _head(plot, stand.head, y)
    for one in stand.trials:
        _name(plot, say("{name} ({n} check)", name=one.name, n=one.colonies), y)
        _draw_trial(plot, axis, one, y)
        y += axis.line_height(plot)
    if stand.mean is not None:
        _name(plot, say("Together"), y, heavy=True)
        _draw_mean(plot, axis, stand.mean, y)
        y += axis.line_height(plot)
    if stand.further is not None:
        _name(plot, say("True difference in a further trial"), y)
        low, high = (axis.x(plot, math.exp(v)) for v in stand.further)
        _line(plot, axis, y, (low, high), plot.palette.ink, 1.5)
        y += axis.line_height(plot)
    return y + plot.label * 0.5


def _head(plot: Plot, words: str, y: float) -> float:
    lines = wrapped(words, WIDTHS[plot.size], plot.label, 600)
    for n, line in enumerate(lines):
        plot.text(0, y + n * plot.label * 1.25, line, colour=plot.palette.ink, fontWeight=600)
    return y + plot.label * (1.75 + 1.25 * (len(lines) - 1))


def _name(plot: Plot, words: str, y: float, heavy: bool = False) -> None:
    style = {"colour": plot.palette.ink, "fontWeight": 600} if heavy else {}
    room = ROOM[plot.size] or WIDTHS[plot.size]
    plot.text(0, y, shortened(words, room, plot.axis), size=plot.axis, **style)


def _line(
    plot: Plot, axis: RatioAxis, y: float, ends: tuple[float, float], colour: str, width: float
) -> None:
    middle = axis.middle(plot, y)
    if not ROOM[plot.size]:
        axis.rules(plot, middle - plot.label * 0.6, middle + plot.label * 0.6)
    plot.rule(ends[0], middle, (ends[1], middle), over=True, stroke=colour, strokeWidth=width)


def _draw_trial(plot: Plot, axis: RatioAxis, one: Shown, y: float) -> None:
    if one.low is None or one.middle is None or one.high is None:
        return
    low, at, high = (axis.x(plot, math.exp(v)) for v in (one.low, one.middle, one.high))
    colour = plot.palette.crust if one.own else plot.palette.soft
    _line(plot, axis, y, (low, high), colour, 2)
    side = side_of(min(one.colonies, 60), plot.size) * 0.6
    middle = axis.middle(plot, y)
    plot.squares([Square(at - side / 2, middle - side / 2, side, True)], colour)


def _draw_mean(plot: Plot, axis: RatioAxis, mean: tuple[float, float, float], y: float) -> None:
    low, at, high = (axis.x(plot, math.exp(v)) for v in mean)
    _line(plot, axis, y, (low, high), plot.palette.ink, 5)
    plot.ring(at, axis.middle(plot, y))


def _draw_left_out(plot: Plot, axis: RatioAxis, one: Shown, y: float) -> float:
    """An open square and a dotted rule where something was worked out; the reason under its name."""
    _name(plot, one.name, y)
    if one.low is not None and one.middle is not None and one.high is not None:
        low, at, high = (axis.x(plot, math.exp(v)) for v in (one.low, one.middle, one.high))
        middle = axis.middle(plot, y)
        look = {"stroke": plot.palette.line, "strokeWidth": 1.5, "strokeDash": (2, 3)}
        plot.rule(low, middle, (high, middle), over=True, **look)
        side = side_of(min(one.colonies, 60), plot.size) * 0.6
        plot.squares([Square(at - side / 2, middle - side / 2, side, False)], plot.palette.line)
        y += plot.label * 0.3 if ROOM[plot.size] else plot.label
    room = ROOM[plot.size] or WIDTHS[plot.size]
    for words in wrapped(one.left_out, room - 24, plot.axis):
        y += plot.label * 1.15
        plot.text(12, y, words, size=plot.axis)
    return y + axis.line_height(plot) * 0.8
