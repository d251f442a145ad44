"""Until when the colonies of both groups lived: two stepped lines, and at the end how sure they are."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise
from math import floor, isfinite

from breadline.language import say
from breadline.need.words import day_and_year, short_day
from breadline.pictures.evidence_sheet import WIDTHS, Plot
from breadline.pictures.frame import Size
from breadline.pictures.letters import shortened, text_width
from breadline.trial.design import group_name
from breadline.verdict.lived import GroupLived, Lived

HIGH: dict[Size, float] = {"wide": 170.0, "phone": 140.0, "print": 104.0}  # of the panel [px]
STEP = 0.25  # between two lines of the grid [share]
APART = 9.0  # between the two ranges at the end [px]
MOST_NAME = 0.25  # of the width, for the name of a group [share]
LEAD = 0.06  # of the days, before a first day that is a loss [share]


class _Panel:
    """From days and shares to pixels."""

    def __init__(self, shown: Lived, plot: Plot) -> None:
        words = [say("{n} of 100", n=n) for n in (25, 50, 75, 100)]
        self.left = max(text_width(word, plot.axis) for word in words) + 8.0
        self.names = max(text_width(_name(plot, one), plot.label, 600) for one in (shown.fed, shown.check))
        self.right = WIDTHS[plot.size] - self.names - 3.0 * APART
        self.top, self.foot = plot.label * 3.4, plot.label * 3.4 + HIGH[plot.size]
        self.days = max(float((shown.until - shown.since).days), 1.0)
        deaths = [c.curve.days[0] for c in (shown.fed, shown.check) if c.lost]
        self.lead = LEAD * self.days if min(deaths) == 0 else 0.0
        least = min(low if isfinite(low) else middle for low, middle, _ in (shown.fed.last, shown.check.last))
        self.low = min(STEP * floor(least / STEP), 1.0 - STEP)

    def x(self, day: float) -> float:
        """Pixel of a day counted from the first."""
        return self.left + (day + self.lead) / (self.days + self.lead) * (self.right - self.left)

    def y(self, share: float) -> float:
        """Pixel of a share alive."""
        return self.foot - (share - self.low) / (1.0 - self.low) * (self.foot - self.top)


def lived_chart(shown: Lived, size: Size) -> str:
    """The picture as SVG text: ``wide`` 832 px, ``phone`` 364 px, ``print`` 664 px and in grey."""
    bare = Plot(size, 1.0)
    plot = Plot(size, HIGH[size] + 3.4 * bare.label + 2.4 * bare.axis)
    panel = _Panel(shown, plot)
    ink, p = plot.palette.ink, plot.palette
    plot.text(0, plot.label, say("Colonies living"), colour=ink, fontWeight=600)
    below = (
        say("by the day on which a loss was found; bar: nine times in ten")
        if shown.alone
        else say("by the day on which a loss was found")
    )
    plot.text(0, plot.label * 2.2, below, size=plot.axis)
    _grid(plot, panel, shown.since)
    _steps(plot, panel, shown.fed, stroke=p.crust, strokeWidth=2.8)
    _steps(plot, panel, shown.check, stroke=p.sky, strokeWidth=2.2, strokeDash=(7, 4))
    if shown.alone:
        _range(plot, panel, (shown.fed, 1.0), p.crust)
        _range(plot, panel, (shown.check, 2.0), p.sky)
    _names(plot, panel, (shown.fed, p.crust), (shown.check, p.sky))
    return plot.svg(lived_sentence(shown))


def lived_sentence(shown: Lived) -> str:
    """What the picture shows, for screen readers."""
    fed, check = (
        say("{n:.0f} of 100 {group}", n=100 * one.last[1], group=group_name(one.name))
        for one in (shown.fed, shown.check)
    )
    return say("Living on {day}: {fed} and {check}.", day=day_and_year(shown.until), fed=fed, check=check)


def _steps(plot: Plot, panel: _Panel, one: GroupLived, **style: object) -> None:
    corners, alive = [(-panel.lead, 1.0)], 1.0
    for on, after in zip(one.curve.days.tolist(), one.curve.alive.tolist(), strict=True):
        corners += [(on, alive), (on, after)]
        alive = after
    corners.append((panel.days, alive))
    for (day, share), (later, then) in pairwise(corners):
        plot.rule(panel.x(day), panel.y(share), (panel.x(later), panel.y(then)), over=True, **style)


def _range(plot: Plot, panel: _Panel, of: tuple[GroupLived, float], colour: str) -> None:
    """The range on the last day, as an upright bar beside the end of the line, where there is one."""
    one, place = of
    low, _, high = one.last
    if isfinite(low):
        x = panel.right + place * APART
        plot.rule(x, panel.y(low), (x, panel.y(high)), over=True, stroke=colour, strokeWidth=3)


def _names(plot: Plot, panel: _Panel, *named: tuple[GroupLived, str]) -> None:
    """Names of the groups at the ends of their lines, apart from each other."""
    (upper, above), (lower, below) = sorted(named, key=lambda one: -one[0].last[1])
    y, z = panel.y(upper.last[1]), panel.y(lower.last[1])
    middle, apart = (y + z) / 2, max(z - y, 1.2 * plot.label) / 2
    middle = min(max(middle, panel.top + apart), panel.foot - apart)
    left = panel.right + 2.8 * APART
    for at, one, colour in ((middle - apart, upper, above), (middle + apart, lower, below)):
        plot.text(left, at, _name(plot, one), colour=colour, fontWeight=600)


def _name(plot: Plot, one: GroupLived) -> str:
    return shortened(group_name(one.name), MOST_NAME * WIDTHS[plot.size], plot.label, 600)


def _grid(plot: Plot, panel: _Panel, since: date) -> None:
    hair, line = plot.palette.hair, plot.palette.line
    for n in range(round(panel.low / STEP), round(1 / STEP) + 1):
        y, said = panel.y(n * STEP), say("{n} of 100", n=f"{100 * n * STEP:.0f}")
        plot.rule(panel.left, y, (panel.right, y), stroke=line if n == 0 else hair, strokeWidth=1.0)
        plot.text(panel.left - 6 - text_width(said, plot.axis), y, said, size=plot.axis)
    count = min(2 if plot.size == "phone" else 4, int(panel.days))
    for n in range(count + 1):
        day = round(n * panel.days / count)
        x, said = panel.x(day), short_day(since + timedelta(days=day))
        plot.rule(x, panel.top, (x, panel.foot), stroke=hair, strokeWidth=1.0)
        plot.text(x - text_width(said, plot.axis) / 2, panel.foot + plot.axis * 1.1, said, size=plot.axis)
