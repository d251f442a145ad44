"""Slices: a strip of upright strokes that counts days of bread, for the list of yards."""

from __future__ import annotations

from breadline.errors import OurFault
from breadline.language import say, say_counted
from breadline.need.outlook import Range
from breadline.pictures.palette import SCREEN

MOST = 28  # days; more bread than this is as good as plenty
STEP, HEIGHT, STROKE = 5, 18, 2.4  # px between strokes, height of a stroke, its width
BELOW = 6  # px for the line from low to high
BEYOND = 7  # px right of the strip, for the mark of what runs off it


def slices(days: Range) -> str:
    """Inline SVG: one stroke a day of bread left, empty ones pale, and a line under it from low to high.

    What runs off the strip, strokes or line, ends in an arrow.

    Parameters
    ----------
    days
        Low, middle and high of the days that the bread lasts [days].

    Errors
    ------
    OurFault
        If the three are not in order, below 0 or not numbers.
    """
    if not 0 <= days.low <= days.middle <= days.high:
        raise OurFault("slices", f"{days} is not a range of days", "low, middle, high, from 0 up")
    low, middle, high = (round(min(d, MOST)) for d in (days.low, days.middle, days.high))
    strip, width, height = MOST * STEP, MOST * STEP + BEYOND, HEIGHT + BELOW
    full, empty = _strokes(0, middle), _strokes(middle, MOST)
    left = min(low * STEP, strip - 2)
    line = f"M{left} {HEIGHT + 4}H{max(high * STEP, left + 2)}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="slices" width="{width}" height="{height}" '
        f'viewBox="0 0 {width} {height}" fill="none" role="img" aria-label="{_words(days)}">'
        + (f'<path d="{empty}" stroke="{SCREEN.hair}" stroke-width="{STROKE}"/>' if empty else "")
        + (f'<path d="{full}" stroke="{SCREEN.crust}" stroke-width="{STROKE}"/>' if full else "")
        + (_arrow(HEIGHT / 2, SCREEN.crust) if days.middle > MOST else "")
        + f'<path d="{line}" stroke="{SCREEN.ink}" stroke-width="1.6"/>'
        + (_arrow(HEIGHT + 4, SCREEN.ink) if days.high > MOST else "")
        + "</svg>"
    )


def _strokes(first: int, last: int) -> str:
    return "".join(f"M{i * STEP + STEP / 2:g} 0V{HEIGHT}" for i in range(first, last))


def _arrow(y: float, colour: str) -> str:
    point = f"M{MOST * STEP + 1} {y - 2:g}l4 2l-4 2Z"
    return f'<path class="runs-off" d="{point}" fill="{colour}"/>'


def _words(days: Range) -> str:
    if days.low > MOST:
        return say("Bread for more than {most} days", most=MOST)
    if days.middle > MOST:
        return say("Bread for more than {most} days, {low} at the least", most=MOST, low=round(days.low))
    most = say("more than {most}", most=MOST) if days.high > MOST else str(round(days.high))
    return say_counted(
        "Bread for about {n} day, {low} to {most}", "Bread for about {n} days, {low} to {most}",
        round(days.middle), low=round(days.low), most=most,
    )  # fmt: skip
