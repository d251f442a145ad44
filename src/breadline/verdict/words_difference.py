"""The difference of a verdict, what it needs and what it leaves over, in sentences."""

from __future__ import annotations

from breadline.language import say
from breadline.measures import halves_up
from breadline.trial.classes import LEVEL, AnswerClass
from breadline.trial.design import CheckArm, Design, group_name
from breadline.verdict.amounts import (
    Measure,
    amount,
    as_paid,
    money,
    money_end,
    plain,
    span,
    step_of,
)
from breadline.verdict.answer import DRIFT_LEFT, Answer, Judged, in_one_row
from breadline.verdict.words_adjusted import ONCE, adjusted_for, yards_count_once
from breadline.verdict.worth import Worth


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


def money_sentence(left: tuple[float, float, float], worth: Worth, design: Design) -> str:
    """What was left over for a colony, with its range; ``left`` is [money/colony]."""
    low, middle, high = left
    step = step_of(low, high)
    ends = [money_end(v, worth.unit, step) for v in (low, high)]
    told = {
        "cost": as_paid(worth.cost), "year": worth.cost.year, "low": ends[0], "high": ends[1],
        "middle": money(middle, worth.unit, step), "group": group_name(design.arms[design.primary]),
    }  # fmt: skip
    several = len(design.arms) > 2
    if design.check_arm is not CheckArm.SAME_CARE:
        return (
            say("Left over for each colony of {group}, which cost {cost} ({year}) more than a check colony: "
                "about {middle}, from {low} to {high}.", **told)
            if several
            else say("Left over for each fed colony, which cost {cost} ({year}) more than a check colony: "
                     "about {middle}, from {low} to {high}.", **told)
        )  # fmt: skip
    if several:
        return say(
            "Left over for each colony of {group}, after {cost} ({year}) for feeding: about {middle}, from "
            "{low} to {high}.",
            **told,
        )
    return say(
        "Left over for each fed colony, after {cost} ({year}) for feeding: about {middle}, from {low} to "
        "{high}.",
        **told,
    )


def compared(design: Design) -> str:
    """What is taken from what: "Fed less check", "Patty less check"."""
    fed, check = design.arms[design.primary], design.arms[0]
    return _big(say("{fed} less {check}", fed=group_name(fed), check=group_name(check)))


def difference_sentence(answer: Answer, here: Judged, design: Design, measure: Measure) -> str:
    """Fed less check and its range."""
    digits = measure.over(here.low, here.high).digits
    difference = say(
        "{compared}: {difference} {unit}, nine times in ten from {range}.",
        compared=compared(design), difference=signed(plain(here.contrast.estimate, digits)),
        unit=say(measure.many),
        range=span(here.low, here.high, lines_beside(answer, design), digits),
    )  # fmt: skip
    return f"{difference}{_not_plain(answer, design, measure.digits)}"


def apart_said(answer: Answer, design: Design, measure: Measure) -> str:
    """The difference that matters, written as finely as the ranges beside it ask."""
    return amount(design.lines.margin, measure, _beside_apart(answer, design, measure))


def lines_beside(answer: Answer, design: Design) -> tuple[float, ...]:
    """The lines that the range of an answer is read beside: break-even, and what "apart" means if said.

    In [unit of the outcome].
    """
    lines = design.lines
    apart = (lines.margin, -lines.margin) if answer.given is AnswerClass.NO_DIFFERENCE_LARGER else ()
    return (max(lines.break_even, 0.0), *apart)


def line_now(answer: Answer, design: Design, worth: Worth | None, measure: Measure) -> float | None:
    """The break-even at the prices that the money goes by, where it is another than the one judged by.

    Two lines that lie nearer than half of what a reader is told are one, unless an end of the range lies
    between them. None where it is the same, or no price is known. [unit of the outcome]
    """
    if worth is None or answer.here is None:
        return None
    now, ends = max(worth.break_even, 0.0), (answer.here.low, answer.here.high)
    return now if _two_lines((max(design.lines.break_even, 0.0), now), ends, measure) else None


def lines_said(answer: Answer, design: Design, worth: Worth, measure: Measure) -> tuple[str, str] | None:
    """The line settled and that of the prices now, each as it is told; None where they are told as one."""
    settled, now = max(design.lines.break_even, 0.0), max(worth.break_even, 0.0)
    ends = () if answer.here is None else (answer.here.low, answer.here.high)
    if not _two_lines((settled, now), ends, measure):
        return None
    return needed_said(answer, design, measure, now), amount(now, measure, (*ends, settled))


def _two_lines(lines: tuple[float, float], ends: tuple[float, ...], measure: Measure) -> bool:
    """Whether two lines are told as two beside the ends of a range. [unit of the outcome]"""
    low, high = min(lines), max(lines)
    if any(low <= end <= high for end in ends):
        return high - low >= SAME
    return bool(high - low >= 0.5 / 10**measure.digits)


SAME = 1e-9  # of the unit of the outcome: lines nearer than this are one line


def _not_plain(answer: Answer, design: Design, digits: int) -> str:
    """Why printed averages differ otherwise than is said; "" where a reader can subtract them.

    The plain difference is that of the averages as they are printed, so that a reader finds it.
    """
    here, check, fed = answer.here, answer.arms[0].mean, answer.arms[design.primary].mean
    bare = plain(halves_up(fed, digits) - halves_up(check, digits), digits)
    if here is None or bare == plain(here.contrast.estimate, digits):
        return ""
    what, once = adjusted_for(answer, design), yards_count_once(answer, design)
    told = {"what": what, "bare": signed(bare)}
    first = f" {say(ONCE)}" if once else ""
    if what:
        said = say("It is adjusted for {what}; the plain averages differ by {bare}.", **told)
    elif once:
        said = say("The plain averages of the colonies differ by {bare}.", **told)
    else:
        said = say("The plain averages are rounded, so they seem to differ by {bare}.", **told)
    return f"{first} {said}"


def signed(said: str) -> str:
    """A difference as it is printed, with its plus: "+0.2", "−0.2", "0.0"."""
    return said if said.startswith("−") or float(said) == 0.0 else f"+{said}"


def needs_sentence(answer: Answer, design: Design, measure: Measure, worth: Worth | None = None) -> str:
    """What it had to add, written as finely as its range asks."""
    now = line_now(answer, design, worth, measure)
    if now is not None:
        return say(
            "By the line it is judged by it had to add about {needs}.",
            needs=needed_said(answer, design, measure, now),
        )
    if design.lines.break_even <= 0:
        return say("Feeding cost nothing here, so anything it added would pay.")
    return say("It needs about {needs} to pay.", needs=needed_said(answer, design, measure))


def needed_said(answer: Answer, design: Design, measure: Measure, now: float | None = None) -> str:
    """The break-even with its unit, never to be read as an end of the range that it is not.

    Nor as the line of the prices ``now`` [unit of the outcome], where that is told beside it.
    """
    line, ends = max(design.lines.break_even, 0.0), _ends(answer, design)
    if now is not None:
        ends = (*ends, now)
    if _read_alike(design, measure):
        ends = (*ends, *_beside_apart(answer, design, measure))
    return amount(line, measure, ends)


def _beside_apart(answer: Answer, design: Design, measure: Measure) -> tuple[float, ...]:
    """Beside what the difference that matters is read, to both sides of 0. [unit of the outcome]

    Where it reads as the break-even, each is written as finely as the other.
    """
    ends, lines = _ends(answer, design), design.lines
    either = (lines.break_even, lines.margin) if _read_alike(design, measure) else ()
    return (*ends, *(-end for end in ends), *either)


def _read_alike(design: Design, measure: Measure) -> bool:
    """Whether the break-even and the difference that matters would be written alike."""
    lines = design.lines
    return plain(lines.break_even, measure.digits) == plain(lines.margin, measure.digits)


def _ends(answer: Answer, design: Design) -> tuple[float, ...]:
    """The ends of every range of the difference that is read beside the line. [unit of the outcome]"""
    if answer.here is None:
        return ()
    looks = [
        one.contrast for one in (*answer.beside, answer.elsewhere, answer.over_visits) if one is not None
    ]
    ranges = [found.interval(LEVEL) for found in looks if found is not None]
    if answer.bounds is not None:
        ranges += [
            answer.bounds.interval(LEVEL), (answer.bounds.worst.estimate, answer.bounds.best.estimate)
        ]  # fmt: skip
    if in_one_row(design):
        ranges.append(after_drift(answer.here))
    return (answer.here.low, answer.here.high, *(end for ends in ranges for end in ends))


def after_drift(here: Judged) -> tuple[float, float]:
    """The range were it without bees gone to the other group. [unit of the outcome]"""
    return here.low / DRIFT_LEFT, here.high / DRIFT_LEFT


def _big(text: str) -> str:
    return text[:1].upper() + text[1:]
