"""Every colony of a trial as a mark, yard by yard, and beside it fed less check with the break-even line."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace

from breadline.language import say, say_counted
from breadline.pictures.colonies_gaps import draw_gaps, gaps_scale
from breadline.pictures.colonies_plot import ColoniesPlot
from breadline.pictures.colonies_shown import ColoniesShown, Lane, YardShown
from breadline.pictures.frame import Size
from breadline.pictures.letters import shortened, text_width
from breadline.trial.design import group_name
from breadline.verdict.amounts import amount, plain, span

TALLEST = 372.0  # px of the picture on paper, from which on lanes are laid closer so that letters stay large
CLOSER = (1.0, 0.9, 0.8, 0.7, 0.6, 0.5, 0.42)  # of the usual height of lanes, tried in turn [share]
LEAST_LANE, LEAST_ROW = 8.0, 15.0  # px of a lane and of a yard, however close they lie
ABREAST = 3  # marks stacked at one value before a second column begins
COLUMNS = 3  # columns at one value before the lane turns into bars
SHIFT = 0.3  # of a frame, from a column to the next at the same value [frames]
CLEAR = 9.0  # px from the middle of a mark to the name of its group
PITCH = 7.4  # px from a stacked mark to the next
LANES = (17.0, 17.0, 21.0, 27.0)  # px of a lane with so many marks stacked at most
PANEL: dict[Size, float] = {"wide": 478.0, "phone": 360.0, "print": 382.0}  # px of the left panel
GAP_LEFT: dict[Size, float] = {"wide": 520.0, "phone": 0.0, "print": 420.0}  # px where the right one begins


@dataclass(frozen=True)
class Lay:
    """How yards are laid: each name above its lanes; or beside them and close, where many go on one paper."""

    beside: bool = False
    close: float = 1.0  # of the usual height of lanes [share]

    @property
    def names(self) -> float:
        """Room for names left of the lanes [px]."""
        return 104.0 if self.beside else 0.0

    @property
    def lost(self) -> float:
        """Width of the grey lane of lost colonies [px]."""
        return 32.0 if self.beside else 42.0

    @property
    def start(self) -> float:
        """Where the grey lane ends [px]."""
        return self.names + self.lost

    @property
    def abreast(self) -> int:
        """Marks stacked at one value before a second column begins."""
        return ABREAST if self.close > 0.6 else ABREAST - 1

    def high(self, lane: Lane) -> float:
        """Room for the marks that stand on each other [px]: many yards of few colonies take little paper."""
        stacked = max(
            [lane.lost, *Counter(round(value * 2) / 2 for value in lane.living).values()], default=0
        )
        return max(LEAST_LANE, self.close * LANES[min(stacked, self.abreast)])


@dataclass(frozen=True)
class Scale:
    """From the unit of the outcome to pixels of the left panel."""

    left: float
    right: float
    most: float  # [unit of the outcome]
    lay: Lay

    def x(self, value: float) -> float:
        """Pixel of a value; 0 lies in the middle of the grey lane."""
        return self.left + value / self.most * (self.right - self.left)


def colonies_chart(shown: ColoniesShown, size: Size) -> str:
    """The picture as SVG text.

    Parameters
    ----------
    shown
        What is drawn.
    size
        ``wide`` 832 px, ``phone`` 364 px, ``print`` 664 px and in grey.
    """
    lay = Lay()
    height = _draw(ColoniesPlot(size, 1.0), shown, lay)
    if size == "print" and height > TALLEST and shown.yards:
        for lay in (Lay(True, close) for close in CLOSER):
            if (height := _draw(ColoniesPlot(size, 1.0), shown, lay)) <= TALLEST:
                break
    plot = ColoniesPlot(size, height, min(1.0, lay.close + 0.2))
    _draw(plot, shown, lay)
    return plot.svg(colonies_sentence(shown))


def colonies_sentence(shown: ColoniesShown) -> str:
    """What the picture shows, for screen readers."""
    said = []
    for name, lane in zip(shown.names, (shown.fed, shown.check), strict=True):
        mean = "" if lane.mean is None else say(", {mean} on average", mean=amount(lane.mean, shown.measure))
        said.append(
            say("{group}: {living} living and {lost} lost colonies{mean}", group=group_name(name),
                living=len(lane.living), lost=lane.lost, mean=mean)
        )  # fmt: skip
    groups = "; ".join(said)
    if shown.others:
        others = ", ".join(group_name(name) for name in shown.others)
        text = say("Every colony of the two compared, {groups}; not shown: {others}.", groups=groups,
                   others=others)  # fmt: skip
    else:
        text = say("Every colony, {groups}.", groups=groups)
    if shown.gap is not None:
        low, middle, high = shown.gap
        fed, check = (group_name(name) for name in shown.names)
        measure = shown.measure.over(low, high)
        told = {
            "fed": fed[:1].upper() + fed[1:], "check": check, "middle": amount(middle, measure),
            "range": span(low, high, (shown.break_even,), measure.digits),
            "line": shown.line_said or amount(shown.break_even, shown.measure, (low, high)),
        }  # fmt: skip
        now = shown.break_even_now
        text += " " + (
            say("{fed} less {check} {middle}, from {range}; it pays from {line}.", **told)
            if now is None
            else say(
                "{fed} less {check} {middle}, from {range}; it is judged by {line}, and pays from {now} at "
                "the prices given now.",
                now=amount(now, shown.measure, (low, high, shown.break_even)),
                **told,
            )
        )
    return text


def _draw(plot: ColoniesPlot, shown: ColoniesShown, lay: Lay) -> float:
    """Draws from the top; returns the height used [px]."""
    top = _heads(plot, shown)
    scale = _scale(plot, shown, lay)
    rows = [top]
    for yard in shown.yards:
        rows.append(_yard(plot, scale, yard, rows[-1], _named_in(shown, yard)))
    foot = _all_yards(plot, scale, shown, rows[-1])
    _ground(plot, scale, top, rows[-1], foot)
    if shown.gap is None:
        return foot + plot.axis * 2.2
    if plot.size == "phone":
        return draw_gaps(plot, shown, gaps_scale(shown, 0.0, plot.width), foot + plot.axis * 4.2, None)
    box = gaps_scale(shown, GAP_LEFT[plot.size], plot.width)
    draw_gaps(plot, shown, box, top, (*rows, foot))
    return foot + plot.axis * 2.2


def _heads(plot: ColoniesPlot, shown: ColoniesShown) -> float:
    head = _head(shown)
    # room for the money axis beside, which stands above the right panel
    down = plot.label * 1.6 if shown.gap is not None and shown.money_of and plot.size != "phone" else 0.0
    plot.text(0, plot.label + down, head, colour=plot.palette.ink, fontWeight=600)
    key = say("dot fed · diamond check · cross lost, counted as 0 · bar mean")
    plot.text(0, plot.label * 2.4 + down, key, size=plot.axis)
    return plot.label * 3.6 + down


def _head(shown: ColoniesShown) -> str:
    """What is drawn: every colony, or of several fed groups the one that is compared and the check group."""
    when, unit = shown.graded, shown.measure.many[0].upper() + shown.measure.many[1:]
    if shown.measure.many == "frames":
        if shown.others:
            return say("Frames of bees at {when}, the two compared", when=when)
        return say("Frames of bees at {when}, every colony", when=when)
    if shown.others:
        return say("{unit} of honey at {when}, the two compared", unit=unit, when=when)
    return say("{unit} of honey at {when}, every colony", unit=unit, when=when)


def _scale(plot: ColoniesPlot, shown: ColoniesShown, lay: Lay) -> Scale:
    """As wide as the panel; narrower where a mark would lie under the name of its group."""
    most = max([1.0, *shown.fed.living, *shown.check.living])
    scale = Scale(lay.names + lay.lost / 2, PANEL[plot.size] - 14, most * 1.02, lay)
    named = _named_lanes(shown)
    widths = [text_width(name, plot.label, 600) for name, _ in named]
    if any(
        scale.x(value) + CLEAR > PANEL[plot.size] - width - 2
        for width, (_, lane) in zip(widths, named, strict=True)
        for value in lane.living
    ):
        return replace(scale, right=PANEL[plot.size] - max(widths) - 2 - CLEAR)
    return scale


def _named_lanes(shown: ColoniesShown) -> list[tuple[str, Lane]]:
    """The lanes at whose right end a group is named; stacked marks reach the name of the lane below."""
    if not shown.yards:
        return [
            (group_name(name), lane) for name, lane in zip(shown.names, (shown.fed, shown.check), strict=True)
        ]
    named = [(_named_in(shown, yard), yard) for yard in shown.yards]
    return [
        one
        for (fed, check), yard in named
        for one in ((fed, yard.fed), (check, yard.fed), (check, yard.check))
        if one[0]
    ]


def _named_in(shown: ColoniesShown, yard: YardShown) -> tuple[str, str]:
    """Names of the groups whose first lane this is, fed and check; "" where it stood above before."""
    first_fed = next((y for y in shown.yards if y.fed.living or y.fed.lost), None)
    first_check = next((y for y in shown.yards if y.check.living or y.check.lost), None)
    fed, check = (group_name(name) for name in shown.names)
    return (fed if yard is first_fed else "", check if yard is first_check else "")


def _yard(plot: ColoniesPlot, scale: Scale, yard: YardShown, top: float, named: tuple[str, str]) -> float:
    """One yard's lanes, a group named at the right end of its first."""
    lay, line = scale.lay, plot.label * 1.3
    room = lay.names - 8 if lay.beside else PANEL[plot.size] - lay.lost - 20
    words = shortened(yard.name, room, plot.label, 600)
    lanes = [(yard.fed, True, named[0]), (yard.check, False, named[1])]
    lanes = [one for one in lanes if one[0].living or one[0].lost]
    highs = [max(lay.high(lane), plot.label * 1.5 if name else 0.0) for lane, _, name in lanes]
    y = top if lay.beside else top + line
    end = max(y + sum(highs) + 2, top + LEAST_ROW)
    middle = (top + end) / 2 if lay.beside else top + line * 0.55
    plot.text(0 if lay.beside else lay.start + 6, middle, words, colour=plot.palette.ink, fontWeight=600)
    for (lane, fed, name), high in zip(lanes, highs, strict=True):
        _lane(plot, scale, lane, y + high / 2, fed=fed)
        if name:
            _group_name(plot, name, y + (high / 2 + plot.label if lay.beside else 13), fed=fed)
        y += high
    plot.rule(0, end, (PANEL[plot.size], end), stroke=plot.palette.line, strokeWidth=1)
    return end


def _group_name(plot: ColoniesPlot, name: str, y: float, *, fed: bool) -> None:
    colour = plot.palette.crust if fed else plot.palette.sky
    width = text_width(name, plot.label, 600)
    plot.text(PANEL[plot.size] - width - 2, y - plot.label, name, colour=colour, fontWeight=600)


def _lane(plot: ColoniesPlot, scale: Scale, lane: Lane, y: float, *, fed: bool) -> None:
    colour = plot.palette.crust if fed else plot.palette.sky
    lay, counts = scale.lay, Counter(round(value * 2) / 2 for value in lane.living)
    if max(counts.values(), default=0) > ABREAST * COLUMNS:
        _bars(plot, scale, counts, y, colour)
    else:
        for value, count in counts.items():
            for place in range(count):
                column, row = divmod(place, lay.abreast)
                inside = min(count - column * lay.abreast, lay.abreast)
                x = scale.x(value + SHIFT * column)
                at = y + (row - (inside - 1) / 2) * PITCH * plot.mark
                (plot.fed if fed else plot.check)(x, at)
    _lost(plot, scale.lay, (lane.lost, y), colour)
    if lane.mean is not None:
        x = scale.x(lane.mean)
        half = lay.high(lane) / 2 - 1.5
        plot.bar(x, y - half, (x, y + half), stroke=colour, strokeWidth=2.6)


def _bars(plot: ColoniesPlot, scale: Scale, counts: Counter[float], y: float, colour: str) -> None:
    """Too many for marks: how many at each half, as high as their share of the most."""
    most, close = max(counts.values()), scale.lay.close
    for value, count in counts.items():
        x, high, foot = scale.x(value), 22.0 * close * count / most, y + 12 * close
        plot.bar(x, foot, (x, foot - max(high, 1.0)), stroke=colour, strokeWidth=5, opacity=0.75)


def _lost(plot: ColoniesPlot, lay: Lay, of: tuple[int, float], colour: str) -> None:
    (lost, y), x = of, lay.names + lay.lost / 2
    if lost > lay.abreast:
        plot.cross(x - 10, y, colour)
        plot.text(x - 2, y, str(lost), colour=colour, size=plot.axis, fontWeight=600)
        return
    for place in range(lost):
        plot.cross(x, y + (place - (lost - 1) / 2) * (PITCH + 1.4) * plot.mark, colour)


def _all_yards(plot: ColoniesPlot, scale: Scale, shown: ColoniesShown, top: float) -> float:
    lay, line = scale.lay, plot.label * 1.5
    words = say("All yards") if shown.yards else say("All colonies")
    left = 0 if lay.beside else lay.start + 6
    plot.text(left, top + line * 0.55, words, colour=plot.palette.ink, fontWeight=600)
    y, each = (top + 2, 21) if lay.beside else (top + line, 25)
    fed_name, check_name = (group_name(one) for one in shown.names)
    for name, lane, fed in ((fed_name, shown.fed, True), (check_name, shown.check, False)):
        colour = plot.palette.crust if fed else plot.palette.sky
        middle = y + 12
        if not shown.yards:
            _lane(plot, scale, lane, middle, fed=fed)
            _group_name(plot, name, middle, fed=fed)
            y += 27
            continue
        if lane.lost:
            plot.text(
                lay.names + 2,
                middle,
                say_counted("{n} lost", "{n} lost", lane.lost),
                colour=colour,
                size=plot.axis,
                fontWeight=600,
            )
        _mean_named(plot, scale, (lane, shown.measure.digits), (middle, name), colour)
        y += each
    return y + 2


def _mean_named(
    plot: ColoniesPlot, scale: Scale, told: tuple[Lane, int], at: tuple[float, str], colour: str
) -> None:
    lane, digits = told
    if lane.mean is None:
        return
    x, (y, name) = scale.x(lane.mean), at
    plot.bar(x, y - 10, (x, y + 10), stroke=colour, strokeWidth=4)
    words = f"{name} {plain(lane.mean, digits)}"
    width = text_width(words, plot.label, 600)
    left = x + 8 if x + 8 + width <= PANEL[plot.size] else x - 8 - width
    plot.text(left, y, words, colour=colour, fontWeight=600)


def _ground(plot: ColoniesPlot, scale: Scale, top: float, lanes: float, foot: float) -> None:
    """The grey lane, the rules of the axis and its numbers."""
    end = lanes if lanes > top else foot
    plot.box(scale.lay.names, top, (scale.lay.start, end), fill=plot.palette.hair, opacity=0.55)
    step = next(s for s in (1, 2, 5, 10, 20, 50, 100, 200, 500, 10_000) if scale.most / s <= 8)
    for tick in range(step, int(scale.most) + 1, step):
        x = scale.x(tick)
        plot.rule(x, top, (x, foot), stroke=plot.palette.hair, strokeWidth=1)
        words = str(tick)
        plot.text(x - text_width(words, plot.axis) / 2, foot + plot.axis, words, size=plot.axis)
