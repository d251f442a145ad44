"""How many to leave unfed: the smallest benefit that could be told, and what that costs and is worth."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

from breadline.language import noted, say
from breadline.measures import of_money
from breadline.pictures.evidence_sheet import WIDTHS, Plot, Square
from breadline.pictures.frame import MEASURES, Size
from breadline.pictures.letters import text_width

WORDS = (noted("kg of honey"), noted("frames of bees"), noted("yards"), noted("colonies"), noted("frames"))
HIGH: dict[Size, float] = {"wide": 170.0, "phone": 150.0, "print": 104.0}  # of a panel [px]
STEPS = (1.0, 2.0, 2.5, 5.0, 10.0)
MOST_TICKS = 5
AIR = 1.15  # beyond the outermost value, for its words
BESIDE = 8.0  # between a label and its line [px]


@dataclass(frozen=True)
class OneSize:
    """One size.

    Parameters
    ----------
    unfed
        Colonies or yards left unfed.
    told
        Smallest benefit told from nothing. [unit of the outcome]
    cost, worth
        Of the comparison, and of its answer. [money]
    told_if
        Smallest benefit told where colonies differ as little and as much as they well may; None: not
        drawn. [unit of the outcome]
    between
        What it costs where feed adds nothing, and where it adds ``Sizes.most``; None: not drawn. [money]
    """

    unfed: int
    told: float
    cost: float
    worth: float
    between: tuple[float, float] | None = None
    told_if: tuple[float, float] | None = None


@dataclass(frozen=True)
class Sizes:
    """What the picture shows.

    Parameters
    ----------
    sizes
        From few to many.
    best
        Which is proposed.
    break_even
        From where feeding pays. [unit of the outcome]
    unit, noun
        Of the outcome, "frames of bees"; and what is left unfed, "colonies"; both said in its language.
    money
        Whose.
    most
        The most that feed is believed to add, to where its cost is drawn; 0: not drawn. [unit of the outcome]
    fed_less
        Whether the check group gets something too: half the rate, usual practice or sugar, so none is unfed.
    """

    sizes: tuple[OneSize, ...]
    best: int
    break_even: float
    unit: str
    noun: str
    money: str
    most: float = 0.0
    fed_less: bool = False

    @property
    def short_unit(self) -> str:
        """The unit in a word."""
        return say(self.unit.split()[0])

    @property
    def left(self) -> str:
        """What is left unfed, with its number."""
        unfed = self.sizes[self.best].unfed
        return say("{n} {noun}", n=unfed, noun=say(self.noun))


@dataclass(frozen=True)
class Panel:
    """Where a panel stands, and its two scales [px]."""

    left: float
    right: float
    top: float
    foot: float
    most: float  # across
    low: float
    high: float

    def x(self, unfed: float) -> float:
        """Pixel of a number of unfed ones."""
        return self.left + unfed / self.most * (self.right - self.left)

    def y(self, value: float) -> float:
        """Pixel of a value."""
        return self.foot - (value - self.low) / (self.high - self.low) * (self.foot - self.top)


def check_group_chart(shown: Sizes, size: Size) -> str:
    """The two panels as SVG text: ``wide`` 832 px, ``phone`` 364 px, ``print`` 664 px and in grey."""
    high = HIGH[size]
    measure = MEASURES[size]
    plot = Plot(size, 2.0 * high + 9.0 * measure.label + 4.0 * measure.axis)
    told, money = [one.told for one in shown.sizes], [v for one in shown.sizes for v in (one.cost, one.worth)]
    told += [v for one in shown.sizes for v in one.told_if or ()]
    upper = _steps([0.0, *told, AIR * shown.break_even])
    money += [v for one in shown.sizes for v in one.between or ()]
    lower = _steps([0.0, AIR * max(money), AIR * min(money)])
    names = [f"{v:g}" for v in upper], [_money(v, shown.money) for v in lower]
    left = max(text_width(text, plot.axis) for side in names for text in side) + 8.0
    most = float(shown.sizes[-1].unfed)

    def panel(top: float, steps: Sequence[float]) -> Panel:
        return Panel(left, WIDTHS[size] - 10.0, top, top + high, most, steps[0], steps[-1])

    first = panel(3.4 * plot.label, upper)
    second = panel(first.foot + 5.6 * plot.label, lower)
    _head(plot, first, say("Smallest benefit that could be told"), _told_words(shown, size))
    below = say("the comparison, and what its answer is worth")
    if shown.most:
        below = say(
            "tinted: its cost where feed adds nothing to {most:.1f} {unit}",
            most=shown.most,
            unit=shown.short_unit,
        )
    _head(plot, second, say("Money"), below)
    for one, steps, words in ((first, upper, names[0]), (second, lower, names[1])):
        _grid(plot, one, steps, words)
    _told(plot, first, shown)
    _worth(plot, second, shown)
    noun = say(shown.noun)
    across = (
        say("{noun} in the check group", noun=noun) if shown.fed_less else say("{noun} left unfed", noun=noun)
    )
    plot.text(left, second.foot + 2.9 * plot.axis, across, size=plot.axis)
    return plot.svg(chart_sentence(shown))


def chart_sentence(shown: Sizes) -> str:
    """What the picture shows, for screen readers."""
    best = shown.sizes[shown.best]
    band = (
        ""
        if best.told_if is None
        else say(
            " ({low:.1f} to {high:.1f} if colonies differ less or more)",
            low=best.told_if[0],
            high=best.told_if[1],
        )
    )
    cost, worth = (_money(v, shown.money) for v in (best.cost, best.worth))
    told = {
        "left": shown.left, "told": best.told, "unit": say(shown.unit), "band": band, "cost": cost,
        "worth": worth, "line": shown.break_even,
    }  # fmt: skip
    if shown.fed_less:
        return say(
            "With {left} in the check group the smallest benefit told is {told:.1f} {unit}{band}; it costs "
            "{cost} and the answer is worth {worth}. It pays from {line:.1f} {unit}.",
            **told,
        )
    return say(
        "With {left} left unfed the smallest benefit told is {told:.1f} {unit}{band}; it costs {cost} and "
        "the answer is worth {worth}. Feeding pays from {line:.1f} {unit}.",
        **told,
    )


def _told_words(shown: Sizes, size: Size) -> str:
    """What the upper panel shows; the phone has no room for all of it."""
    if all(one.told_if is None for one in shown.sizes):
        return say("{unit}, four times in five", unit=say(shown.unit))
    if size == "phone":
        return say("{unit}; tinted: if colonies differ less or more", unit=shown.short_unit)
    return say("{unit}, four times in five; tinted: if colonies differ less or more", unit=say(shown.unit))


def _told(plot: Plot, panel: Panel, shown: Sizes) -> None:
    best, ink, sky = shown.sizes[shown.best], plot.palette.ink, plot.palette.sky
    tint = [
        {"d": panel.x(one.unfed), "v": panel.y(one.told_if[0]), "w": panel.y(one.told_if[1]), "run": "told"}
        for one in shown.sizes
        if one.told_if is not None
    ]
    plot.canvas.area(plot.canvas.ground, tint, fill=plot.palette.sky_pale)
    _curve(plot, panel, shown, lambda one: one.told, stroke=sky, strokeWidth=2.8)
    level = panel.y(shown.break_even)
    dash = {"stroke": ink, "strokeWidth": 1.6, "strokeDash": (6, 3)}
    plot.rule(panel.left, level, (panel.right, level), over=True, **dash)
    _upright(plot, panel, best.unfed, best.told)
    said = say("pays from {line:.1f} {unit}", line=shown.break_even, unit=shown.short_unit)
    words = say("could be told")
    _labels(plot, panel, 1.9, (_highest(plot, panel, shown, words), words, sky), (level, said, ink))
    words = (
        say("proposed: {n} check", n=best.unfed)
        if shown.fed_less
        else say("proposed: {n} unfed", n=best.unfed)
    )
    x, room = panel.x(best.unfed), text_width(words, plot.label, 600)
    right = x + BESIDE + room <= panel.right
    at = x + BESIDE if right else x - BESIDE - room
    plot.text(at, panel.top + plot.label * 0.5, words, colour=ink, fontWeight=600)


def _highest(plot: Plot, panel: Panel, shown: Sizes, words: str) -> float:
    """The highest pixel of the upper curve over the width of words at its right end."""
    left = panel.right - text_width(words, plot.label, 600)
    points = [(panel.x(one.unfed), panel.y(one.told)) for one in shown.sizes]
    heights = [y for x, y in points if x >= left]
    heights += [
        y + (left - x) / (to - x) * (end - y) for (x, y), (to, end) in pairwise(points) if x < left < to
    ]
    return min(heights)


def _worth(plot: Plot, panel: Panel, shown: Sizes) -> None:
    best, last, p = shown.sizes[shown.best], shown.sizes[-1], plot.palette
    tint = [
        {"d": panel.x(one.unfed), "v": panel.y(one.between[0]), "w": panel.y(one.between[1]), "run": "cost"}
        for one in shown.sizes
        if one.between is not None
    ]
    plot.canvas.area(plot.canvas.ground, tint, fill=p.crumb_pale)
    _curve(plot, panel, shown, lambda one: one.worth, stroke=p.ink, strokeWidth=2.8)
    _curve(plot, panel, shown, lambda one: one.cost, stroke=p.crust, strokeWidth=2.4, strokeDash=(7, 4))
    _upright(plot, panel, best.unfed, best.worth)
    worth = panel.y(last.worth), say("the answer is worth"), p.ink
    _labels(plot, panel, 0.6, worth, (panel.y(last.cost), say("it costs"), p.crust))


def _curve(
    plot: Plot, panel: Panel, shown: Sizes, value: Callable[[OneSize], float], **style: object
) -> None:
    points = [(panel.x(one.unfed), panel.y(value(one))) for one in shown.sizes]
    for (x, y), to in pairwise(points):
        plot.rule(x, y, to, over=True, strokeCap="round", **style)


def _upright(plot: Plot, panel: Panel, unfed: int, value: float) -> None:
    """The proposed size: an upright rule, and a square on the curve."""
    x, y, side = panel.x(unfed), panel.y(value), 10.0
    plot.rule(x, panel.top, (x, panel.foot), over=True, stroke=plot.palette.ink, strokeWidth=2)
    plot.squares([Square(x - side / 2, y - side / 2, side, True)], plot.palette.ink)


def _labels(plot: Plot, panel: Panel, first: float, *lines: tuple[float, str, str]) -> None:
    """The words of two lines at their right end: over the upper one and under the lower one, apart.

    Where there is no room under the lower one its words stand over it, or, where the lines leave no
    room between them, over those of the upper. None stands above ``first`` lines from the top [lines].
    """
    apart, top = 1.25 * plot.label, panel.top + first * plot.label
    (y, *upper), (z, *lower) = sorted(lines)
    between = z - y > 1.8 * plot.label
    y = max(y - 0.9 * plot.label, top)
    under = max(z + 0.9 * plot.label, y + apart)
    if under <= panel.foot - 0.5 * plot.label:
        z = under
    elif between:
        z = max(z - 0.9 * plot.label, y + apart)
    else:
        z = max(y - apart, top)
        y = max(y, z + apart)
    for at, (words, colour) in ((y, upper), (z, lower)):
        left = panel.right - text_width(words, plot.label, 600)
        plot.text(left, at, words, colour=colour, fontWeight=600)


def _head(plot: Plot, panel: Panel, head: str, below: str) -> None:
    plot.text(panel.left, panel.top - plot.label * 2.7, head, colour=plot.palette.ink, fontWeight=600)
    left = min(
        panel.left, max(0.0, panel.right - text_width(below, plot.axis))
    )  # a long one starts farther out
    plot.text(left, panel.top - plot.label * 1.3, below, size=plot.axis)


def _grid(plot: Plot, panel: Panel, steps: Sequence[float], words: Sequence[str]) -> None:
    hair, line = plot.palette.hair, plot.palette.line
    for value, said in zip(steps, words, strict=True):
        y = panel.y(value)
        plot.rule(panel.left, y, (panel.right, y), stroke=line if value == 0 else hair, strokeWidth=1.0)
        plot.text(panel.left - 6 - text_width(said, plot.axis), y, said, size=plot.axis)
    for value in _steps([0.0, panel.most]):
        if value > panel.most or value % 1.0:  # half a colony is none
            continue
        x, said = panel.x(value), f"{value:g}"
        plot.rule(x, panel.top, (x, panel.foot), stroke=hair, strokeWidth=1.0)
        at = min(max(x - text_width(said, plot.axis) / 2, 0.0), panel.right - text_width(said, plot.axis))
        plot.text(at, panel.foot + plot.axis * 1.1, said, size=plot.axis)


def _steps(values: Sequence[float]) -> list[float]:
    """Round values from at most the least to at least the most."""
    low, high = min(values), max(values)
    reach = max(high - low, 1e-9) / MOST_TICKS
    power = 10.0 ** len(str(int(reach))) / 10.0 if reach >= 1 else 10.0 ** -len(str(int(1.0 / reach)))
    step = next(power * s for s in (*STEPS, 20.0, 50.0, 100.0) if power * s >= reach)
    first = step * int(low // step)
    count = int(-(-(high - first) // step))
    return [round(first + step * n, 6) for n in range(count + 1)]


def _money(amount: float, money: str) -> str:
    return of_money(f"{'−' if amount < -0.5 else ''}{abs(round(amount)):,}", money)
