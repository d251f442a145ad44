"""Fed less check: a rule for each yard, a heavy one for all, and the line from which it pays."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

from breadline.language import say
from breadline.pictures.colonies_plot import ColoniesPlot
from breadline.pictures.colonies_shown import ColoniesShown, Gap
from breadline.pictures.letters import shortened, text_width
from breadline.trial.design import group_name
from breadline.verdict.amounts import money

_STEPS = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 5000.0, 10000.0)
TICKS = 6  # at most so many on an axis


@dataclass(frozen=True)
class GapScale:
    """From the unit of the outcome to pixels of the right panel."""

    left: float
    right: float
    low: float  # [unit of the outcome]
    high: float  # [unit of the outcome]

    def x(self, value: float) -> float:
        """Pixel of a difference; what runs off is held at the end."""
        share = (min(max(value, self.low), self.high) - self.low) / (self.high - self.low)
        return self.left + share * (self.right - self.left)

    def ticks(self) -> list[float]:
        """Round numbers on the axis."""
        step = next((s for s in _STEPS if (self.high - self.low) / s <= TICKS), _STEPS[-1])
        first, last = int(self.low // step) + 1, int(self.high // step)
        return [k * step for k in range(first, last + 1)]


@dataclass(frozen=True)
class Names:
    """Names at the left end of the panel's rows, of which upright lines and words keep clear."""

    plot: ColoniesPlot
    rows: tuple[float, ...]
    widths: tuple[float, ...]  # [px]
    left: float

    @property
    def clear(self) -> float:
        """Where words of the first row begin right of its name; 0 where it has none [px]."""
        return self.left + self.widths[0] + 6 if self.widths[0] else 0.0

    def past(self, x: float) -> list[tuple[float, float]]:
        """An upright line in parts, so that it goes through the letters of no row's name."""
        parts: list[tuple[float, float]] = []
        for (top, foot), width in zip(pairwise(self.rows), self.widths, strict=True):
            start = top + self.plot.label * 1.5 if width and x < self.left + width + 3 else top
            if parts and parts[-1][1] == start:
                start = parts.pop()[0]
            parts.append((start, foot))
        return parts


def gaps_scale(shown: ColoniesShown, left: float, right: float) -> GapScale:
    """A scale that holds the answer, 0, the break-even and most of what single yards show."""
    ends = [0.0, shown.break_even, *([] if shown.break_even_now is None else [shown.break_even_now])]
    if shown.gap is not None:
        low, middle, high = shown.gap
        far = 4.0 * max(high - middle, middle - low)
        for gap in (shown.gap, *(yard.gap for yard in shown.yards if yard.gap is not None)):
            ends += [max(gap[0], middle - far), min(gap[2], middle + far)]
    air = 0.06 * (max(ends) - min(ends) or 1.0)
    return GapScale(left + 6, right - 6, min(ends) - air, max(ends) + air)


def draw_gaps(
    plot: ColoniesPlot, shown: ColoniesShown, scale: GapScale, top: float, rows: tuple[float, ...] | None
) -> float:
    """The panel from ``top`` down; returns where it ends [px].

    ``rows`` are the upper ends of the yards' rows and the last one's lower end, where the panel
    stands beside them; None where it stands below and makes its own. Where no yard has a
    difference of its own, as with one check colony each, there is the row of all yards only.
    """
    beside = rows is not None
    yards = shown.yards if any(yard.gap is not None for yard in shown.yards) else ()
    head = plot.label if beside else top
    fed, check = (group_name(name) for name in shown.names)
    title = _big(say("{fed} less {check}", fed=fed, check=check))
    title = shortened(title, scale.right - scale.left + 12, plot.label, 600)
    plot.text(scale.left - 6, head, title, colour=plot.palette.ink, fontWeight=600)
    unit = say(shown.measure.many)
    words = (
        say("{unit} below, {money} a colony above; 90 % range", unit=unit, money=shown.money_unit)
        if shown.money_of
        else say("{unit} below; 90 % range", unit=unit)
    )
    plot.text(scale.left - 6, head + plot.label * 1.35, words, size=plot.axis)
    if rows is None:
        first = top + plot.label * (4.0 if shown.money_of else 2.6)
        rows = _own_rows(plot, len(yards), first)
    elif not yards:
        rows = (rows[0], rows[0] + plot.label * 4.0)
    names = ["" if beside else shortened(yard.name, scale.right - scale.left, plot.label) for yard in yards]
    names += [""] * (len(rows) - 2 - len(names))
    widths = [text_width(name, plot.label) for name in names]
    _ground(plot, shown, scale, rows, (*widths, text_width(_together(shown), plot.label, 600)))
    for place, yard in enumerate(yards):
        middle = (rows[place] + rows[place + 1]) / 2 + (0 if beside else plot.label * 0.5)
        if names[place]:
            plot.text(scale.left, rows[place] + plot.label * 0.8, names[place])
        if yard.gap is not None:
            _gap(plot, scale, yard.gap, middle)
        plot.rule(scale.left - 6, rows[place + 1], (scale.right + 6, rows[place + 1]),
                  stroke=plot.palette.line, strokeWidth=1)  # fmt: skip
    assert shown.gap is not None
    _all(plot, scale, shown.gap, (rows[-2] + rows[-1]) / 2 + plot.label * 0.5)
    plot.text(scale.left, rows[-2] + plot.label * 0.8, _together(shown),
              colour=plot.palette.ink, fontWeight=600)  # fmt: skip
    if shown.break_even_now is None or plot.size != "phone":
        return rows[-1] + plot.axis * 2.2
    words = say("dashed: judged here · dotted: pays now")
    plot.text(scale.left - 6, rows[-1] + plot.axis * 2.4, words, size=plot.axis)
    return rows[-1] + plot.axis * 3.6


def _own_rows(plot: ColoniesPlot, yards: int, first: float) -> tuple[float, ...]:
    high = plot.label * 2.6
    return tuple(first + high * k for k in range(yards + 2))


def _gap(plot: ColoniesPlot, scale: GapScale, gap: Gap, y: float) -> None:
    low, middle, high = (scale.x(v) for v in gap)
    plot.bar(low, y, (high, y), stroke=plot.palette.soft, strokeWidth=1.8)
    plot.dot(middle, y)


def _all(plot: ColoniesPlot, scale: GapScale, gap: Gap, y: float) -> None:
    low, middle, high = (scale.x(v) for v in gap)
    plot.bar(low, y, (high, y), stroke=plot.palette.ink, strokeWidth=5)
    plot.ring(middle, y)


def _ground(
    plot: ColoniesPlot, shown: ColoniesShown, scale: GapScale, rows: tuple[float, ...],
    names: tuple[float, ...],
) -> None:  # fmt: skip
    """The ground beyond break-even, 0, the break-even line and both axes; ``names`` are widths [px]."""
    top, foot = rows[0], rows[-1]
    line = scale.x(shown.break_even)
    plot.box(line, top, (scale.right + 6, foot), fill=plot.palette.crumb_pale)
    names_at = Names(plot, rows, names, scale.left)
    for tick in scale.ticks():
        x = scale.x(tick)
        zero = abs(tick) < 1e-9
        colour, wide = (plot.palette.line, 1.4) if zero else (plot.palette.hair, 1.0)
        for start, end in names_at.past(x):
            plot.rule(x, start, (x, end), stroke=colour, strokeWidth=wide)
        words = _signed(tick)
        plot.text(x - text_width(words, plot.axis) / 2, foot + plot.axis, words, size=plot.axis)
    _lines(plot, shown, scale, names_at)
    if shown.money_of is not None:
        _money_axis(plot, shown, scale, top)


def _lines(plot: ColoniesPlot, shown: ColoniesShown, scale: GapScale, names: Names) -> None:
    """The line from which it pays; where it is judged by another than that of the prices now, both.

    Of two lines the lower has its words on its left and the upper on its right, so that none cross. On a
    phone names of yards stand there, and the words stand below.
    """
    now = shown.break_even_now
    if now is None:
        _line(plot, scale, (shown.break_even, say("pays from here")), names, 2.0)
        return
    settled, below = shown.break_even, plot.size == "phone"
    _line(plot, scale, (settled, "" if below else say("judged here")), names, 2.0, left=settled < now)
    _line(plot, scale, (now, "" if below else say("pays now")), names, 1.2, left=now <= settled)


def _line(
    plot: ColoniesPlot, scale: GapScale, of: tuple[float, str], names: Names, wide: float,
    *, left: bool = False,
) -> None:  # fmt: skip
    """One line with its words, the finer one dotted."""
    value, words = of
    line, width = scale.x(value), text_width(of[1], plot.axis, 600)
    dash = "6 3" if wide > 1.5 else "2 3"
    for start, end in names.past(line):
        plot.bar(line, start, (line, end), stroke=plot.palette.ink, strokeWidth=wide, strokeDash=dash)
    right = max(line + 5, names.clear if line < names.clear else 0.0)
    fits = right + width <= scale.right + 6 and not (left and line - 5 - width >= scale.left - 6)
    if not words:
        return
    at = right if fits else line - 5 - width
    y = names.rows[0] + plot.axis * 0.8
    plot.text(at, y, words, colour=plot.palette.ink, size=plot.axis, fontWeight=600)


def _together(shown: ColoniesShown) -> str:
    return say("All yards") if shown.yards else say("All colonies")


def _money_axis(plot: ColoniesPlot, shown: ColoniesShown, scale: GapScale, top: float) -> None:
    """The same scale in money, above: every frame more is worth the same."""
    assert shown.money_of is not None
    low, high = shown.money_of(scale.low), shown.money_of(scale.high)
    each = (high - low) / (scale.high - scale.low)
    most = TICKS if len(shown.money_unit) == 1 else TICKS - 2  # a code takes more room than a sign
    step = next((s for s in _STEPS if (high - low) / s <= most), _STEPS[-1])
    for k in range(int(low // step) + 1, int(high // step) + 1):
        x = scale.x(scale.low + (k * step - low) / each)
        words = money(k * step, shown.money_unit, min(step, 1.0))
        left = x - text_width(words, plot.axis) / 2
        left = min(max(left, scale.left - 6), plot.width - text_width(words, plot.axis))
        plot.text(left, top - plot.axis * 1.1, words, size=plot.axis)
        plot.rule(x, top - plot.axis * 0.4, (x, top), stroke=plot.palette.line, strokeWidth=1)


def _big(word: str) -> str:
    return word[:1].upper() + word[1:]


def _signed(value: float) -> str:
    text = f"{abs(value):.1f}".removesuffix(".0")
    return text if float(text) == 0 else f"{'+' if value > 0 else '−'}{text}"
