"""How differences, ranges and money are written in a verdict.

One rule of rounding: a half goes away from 0, so that 4.25 is "4.3" wherever it stands, however it was
worked out (``breadline.measures.halves_up``, by which plans tell their money too). An end of a range never
reads as a line that it is judged by and does not lie on (0, the break-even). Where it would, it has one digit
more, and so has the line, or as many as a line close to 0 takes to be none; where that is not enough, it is
said to lie just below or just above. Two ends that would read alike are told finer, "1.58 to 1.62"; where
both lie just beside the same line, the farther one lies a little below or a little above it. Money whose two
ends would read alike is told in cents, and an end that would read as 0 lies just below or just above 0.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from breadline.language import noted, say
from breadline.measures import halves_up, of_money
from breadline.plan.money import Amount

WIDE = 10.0  # of the unit of the outcome
CENTS = 0.01
_STEPS = (0.1, 1.0, 5.0, 10.0, 50.0, 100.0, 500.0, 1000.0)  # money is rounded to one of them
_FINEST = 6  # digits that a line close to 0 may take
_FINE = 60.0  # parts of the range that a step may be small against


@dataclass(frozen=True)
class Measure:
    """The unit of the outcome as it is said, and how finely: "frame", "frames", to one decimal.

    A crop is never known to a tenth of a pound, so pounds are told whole.
    """

    one: str
    many: str
    digits: int = 1

    @property
    def finely(self) -> Measure:
        """To a tenth at least: how far readings lie apart is less than what they are read to."""
        return replace(self, digits=max(self.digits, 1))

    def over(self, low: float, high: float) -> Measure:
        """To a tenth where a range is under ten wide: no middle leaves its range [unit of the outcome]."""
        return self if high - low >= WIDE else self.finely


FRAMES = Measure(noted("frame"), noted("frames"))
POUNDS, KILOGRAMS = Measure("lb", "lb", digits=0), Measure("kg", "kg")


def amount(value: float, measure: Measure, ends: Iterable[float] = ()) -> str:
    """A difference with its unit: "0.9 frame", "1.3 frames", "77 lb" [unit of the outcome].

    A line beside a range is written as finely as ``ends`` of that range ask.
    """
    said = beside(value, ends, measure.digits)
    one = 0 < abs(float(said.replace("−", "-"))) <= 1
    return f"{said} {say(measure.one if one else measure.many)}"


def span(low: float, high: float, lines: Iterable[float] = (), digits: int = 1) -> str:
    """A range to so many decimals, an end beside 0 or a line finer: "−0.5 to 1.3", "0.02 to 1.3".

    ``lines`` are those beside which the range is read; all in [unit of the outcome].
    """
    first, last = ends_beside(low, high, lines, digits)
    return say("{low} to {high}", low=first, high=last)


def ends_beside(low: float, high: float, lines: Iterable[float], digits: int = 1) -> tuple[str, str]:
    """Both ends of a range with at least so many digits, more where they would read alike [as ``lines``]."""
    judged = (0.0, *lines)
    first, last = (span_end(value, judged, digits) for value in (low, high))
    apart = plain(low, _FINEST) != plain(high, _FINEST)
    if not apart or first != last:
        return first, last
    if first == _just(low, judged, digits):
        return _both_just(low, high, judged, digits)
    return ends_beside(low, high, judged, digits + 1) if digits < _FINEST else (first, last)


def _both_just(low: float, high: float, lines: tuple[float, ...], digits: int) -> tuple[str, str]:
    """Both ends of a range that lies just beside one line, the farther one first told so [as ``lines``]."""
    finest = _finest(lines, digits + 1)
    line = next(line for line in lines if _reads_as(low, line, finest))
    said = "0" if line == 0.0 else plain(line, finest)
    if high < line:
        return say("a little below {line}", line=said), _just(high, lines, digits)
    return _just(low, lines, digits), say("a little above {line}", line=said)


def span_end(value: float, lines: Iterable[float] = (0.0,), digits: int = 1) -> str:
    """An end of a range, which never reads as a line where it lies to one side of it [as ``lines``]."""
    lines = tuple(lines)
    for finely in range(digits, _finest(lines, digits + 1) + 1):
        if not any(_reads_as(value, line, finely) for line in lines):
            return plain(value, finely)
    return _just(value, lines, digits)


def _just(value: float, lines: tuple[float, ...], digits: int) -> str:
    """That it lies just beside a line which it reads as however finely it is told; "" where it does not."""
    finest = _finest(lines, digits + 1)
    line = next((line for line in lines if _reads_as(value, line, finest)), None)
    if line is None:
        return ""
    said = "0" if line == 0.0 else plain(line, finest)
    return say("just below {line}", line=said) if value < line else say("just above {line}", line=said)


def beside(line: float, ends: Iterable[float], digits: int = 1) -> str:
    """A line as finely as it takes to be told from the ends of a range and from 0 [as ``ends``]."""
    told = tuple(ends)
    finer = line != 0.0 and any(_reads_as(end, line, digits) for end in (*told, *((0.0,) if told else ())))
    while finer and digits < _FINEST and _reads_as(line, 0.0, digits + 1):
        digits += 1  # a line that is not 0 never reads as 0: 0.004
    return plain(line, digits + finer)


def _finest(lines: tuple[float, ...], digits: int) -> int:
    """As many digits as it takes that no line but 0 reads as 0: an end beside it is told as finely."""
    while digits < _FINEST and any(_reads_as(line, 0.0, digits) for line in lines):
        digits += 1
    return digits


def _reads_as(value: float, line: float, digits: int) -> bool:
    """Whether a number would be written as a line that it does not lie on."""
    return value != line and plain(value, digits) == plain(line, digits)


def plain(value: float, digits: int = 1) -> str:
    """A number to so many decimals, with a minus of its own [unit of the outcome]."""
    text = f"{halves_up(abs(value), digits):.{digits}f}"
    return f"−{text}" if value < 0 and float(text) else text


def money(value: float, unit: str, step: float, *, signed: bool = True) -> str:
    """An amount rounded to a step: "+$7", "−$4", "16 CHF" [money]."""
    rounded = halves_up(value / step) * step
    text = f"{abs(rounded):,.{2 if step <= CENTS else int(step < 1)}f}"
    sign = "−" if rounded < 0 else "+" if signed and rounded > 0 else ""
    return of_money(f"{sign}{text}", unit)


def money_end(value: float, unit: str, step: float) -> str:
    """An end of a range of money, which never reads as 0 where it lies to one side of it [money]."""
    if value == 0.0 or halves_up(value / step):
        return money(value, unit, step)
    zero = money(0.0, unit, max(step, 1.0))
    return say("just below {line}", line=zero) if value < 0 else say("just above {line}", line=zero)


def step_of(low: float, high: float) -> float:
    """How finely money is said, by how sure it is: the range holds at most sixty steps [money].

    Cents where both ends of the range would read alike.
    """
    step = next((step for step in _STEPS if high - low <= _FINE * step), _STEPS[-1])
    alike = [halves_up(low / one) == halves_up(high / one) for one in (step, CENTS)]
    return CENTS if alike == [True, False] else step


def as_paid(amount: Amount) -> str:
    """A price as it was given, with cents where it has some: "$16", "$22.50", "16 CHF"."""
    text = f"{amount.amount:,.2f}".removesuffix(".00")
    return of_money(text, amount.money)
