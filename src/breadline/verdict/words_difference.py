"""The difference of a verdict, what it needs and what it leaves over, in sentences."""

from __future__ import annotations

from breadline.language import say
from breadline.trial.design import Design, group_name
from breadline.verdict.amounts import Measure, amount, as_paid, money, plain, span, step_of
from breadline.verdict.answer import Answer, Judged
from breadline.verdict.worth import Worth

APART = (
    0.15  # by which plain averages differ otherwise than the answer says, to be told [unit of the outcome]
)


def left_over(answer: Answer, worth: Worth | None) -> tuple[float, float, float] | None:
    """What was left over for a fed colony, low, middle and high [money/colony]; None where no price is known.

    Where colonies are paid for by a line, through the share making it.
    """
    if worth is None or answer.here is None:
        return None
    if answer.grade is not None:
        paid = answer.grade.money
        low, middle, high = (v - worth.cost.amount for v in (paid.low, paid.middle, paid.high))
        return low, middle, high
    here = answer.here
    if not worth.path.linear:
        return None
    low, middle, high = (worth.left_over(v) for v in (here.low, here.contrast.estimate, here.high))
    return low, middle, high


def money_sentence(left: tuple[float, float, float], worth: Worth) -> str:
    """What was left over for a colony, with its range; ``left`` is [money/colony]."""
    low, middle, high = left
    step = step_of(low, high)
    said = [money(v, worth.unit, step) for v in (low, middle, high)]
    return say(
        "Left over for each fed colony, after {cost} ({year}) for feeding: about {middle}, from {low} to "
        "{high}.",
        cost=as_paid(worth.cost), year=worth.cost.year, low=said[0], middle=said[1], high=said[2],
    )  # fmt: skip


def compared(design: Design) -> str:
    """What is taken from what: "Fed less check", "Patty less check"."""
    fed, check = design.arms[design.primary], design.arms[0]
    return _big(say("{fed} less {check}", fed=group_name(fed), check=group_name(check)))


def difference_sentence(answer: Answer, here: Judged, design: Design, measure: Measure) -> str:
    """Fed less check and its range."""
    said = plain(here.contrast.estimate)
    sign = "" if said.startswith("−") or float(said) == 0.0 else "+"
    difference = say(
        "{compared}: {difference} {unit}, nine times in ten from {range}.",
        compared=compared(design), difference=f"{sign}{said}", unit=say(measure.many),
        range=span(here.low, here.high),
    )  # fmt: skip
    return f"{difference}{_adjusted(answer, design)}"


def _adjusted(answer: Answer, design: Design) -> str:
    """That the difference is freed of strength before, where the plain averages say another one."""
    here, check, fed = answer.here, answer.arms[0].mean, answer.arms[design.primary].mean
    if here is None or not answer.came.ends.baseline.shape[1]:
        return ""
    bare = fed - check
    if not abs(bare - here.contrast.estimate) >= APART:
        return ""
    sign = "" if plain(bare).startswith("−") or float(plain(bare)) == 0.0 else "+"
    adjusted = say(
        "It is adjusted for strength before and for the sets drawn; the plain averages differ by {bare}.",
        bare=f"{sign}{plain(bare)}",
    )
    return f" {adjusted}"


def needs_sentence(design: Design, measure: Measure) -> str:
    """What it had to add."""
    if design.lines.break_even <= 0:
        return say("Feeding cost nothing here, so anything it added would pay.")
    return say("It needs about {needs} to pay.", needs=amount(design.lines.break_even, measure))


def _big(text: str) -> str:
    return text[:1].upper() + text[1:]
