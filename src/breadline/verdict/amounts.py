"""How differences, ranges and money are written in a verdict."""

from __future__ import annotations

from dataclasses import dataclass

from breadline.language import noted, say
from breadline.plan.money import Amount

_STEPS = (0.1, 1.0, 5.0, 10.0, 50.0, 100.0, 500.0, 1000.0)  # money is rounded to one of them
_FINE = 60.0  # parts of the range that a step may be small against


@dataclass(frozen=True)
class Measure:
    """The unit of the outcome as it is said: "frame", "frames"."""

    one: str
    many: str


FRAMES = Measure(noted("frame"), noted("frames"))


def amount(value: float, measure: Measure) -> str:
    """A difference with its unit to one decimal: "0.9 frame", "1.3 frames" [unit of the outcome]."""
    said = plain(value)
    one = 0 < abs(float(said.replace("−", "-"))) <= 1
    return f"{said} {say(measure.one if one else measure.many)}"


def span(low: float, high: float) -> str:
    """A range to one decimal, an end beside 0 finer: "−0.5 to 1.3", "0.02 to 1.3" [unit of the outcome]."""
    return say("{low} to {high}", low=span_end(low), high=span_end(high))


def span_end(value: float) -> str:
    """An end of a range, which never reads as 0 where it lies to one side of it [unit of the outcome]."""
    if value == 0.0 or float(f"{value:.1f}") != 0.0:
        return plain(value)
    text = f"{abs(value):.2f}"
    if float(text) == 0.0:
        return say("just below 0") if value < 0 else say("just above 0")
    return f"−{text}" if value < 0 else text


def plain(value: float) -> str:
    """A number to one decimal, with a minus of its own [unit of the outcome]."""
    text = f"{abs(value):.1f}"
    return f"−{text}" if value < 0 and float(text) else text


def money(value: float, unit: str, step: float, *, signed: bool = True) -> str:
    """An amount rounded to a step: "+$7", "−$4", "16 CHF" [money]."""
    rounded = round(value / step) * step
    text = f"{abs(rounded):,.1f}" if step < 1 else f"{abs(rounded):,.0f}"
    sign = "−" if rounded < 0 else "+" if signed and rounded > 0 else ""
    return f"{sign}{text} {unit}" if unit[-1:].isalpha() else f"{sign}{unit}{text}"


def step_of(low: float, high: float) -> float:
    """How finely money is said, by how sure it is: the range holds at most sixty steps [money]."""
    return next((step for step in _STEPS if high - low <= _FINE * step), _STEPS[-1])


def as_paid(amount: Amount) -> str:
    """A price as it was given, with cents where it has some: "$16", "$22.50", "16 CHF"."""
    text = f"{amount.amount:,.2f}".removesuffix(".00")
    return f"{text} {amount.money}" if amount.money[-1:].isalpha() else f"{amount.money}{text}"
