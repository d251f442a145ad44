"""What the picture of all colonies shows, as numbers: lanes of colonies and the differences beside them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from breadline.trial.colonies import CHECK
from breadline.trial.design import Design
from breadline.verdict.amounts import Measure
from breadline.verdict.answer import Answer
from breadline.verdict.by_yard import by_yard
from breadline.verdict.ends_of import BoolArray, Came
from breadline.verdict.words_difference import line_now, needed_said
from breadline.verdict.worth import Worth

MOST_YARDS = 12  # with more, all stand in one lane
Gap = tuple[float, float, float]  # low, middle, high


@dataclass(frozen=True)
class Lane:
    """The colonies of one yard and group.

    Parameters
    ----------
    living
        Outcome of each that lives. [unit of the outcome]
    lost
        How many are lost and count as 0.
    mean
        Of all, lost ones as 0; None where there are none. [unit of the outcome]
    """

    living: tuple[float, ...]
    lost: int
    mean: float | None


@dataclass(frozen=True)
class YardShown:
    """One yard: fed and check lanes, and their difference where both groups stand in it."""

    name: str
    fed: Lane
    check: Lane
    gap: Gap | None


@dataclass(frozen=True)
class ColoniesShown:
    """The whole picture.

    Parameters
    ----------
    yards
        In the order in which they are drawn.
    fed, check
        All yards together.
    gap
        The answer's difference; None where none was worked out. [unit of the outcome]
    break_even
        What it had to add. [unit of the outcome]
    money_of
        Left over for an effect [money/colony]; None where no price is known, or frames have none.
    money_unit
        Whose money.
    measure
        The unit of the outcome in words.
    graded
        When: "10 February", or "the end".
    names
        Of the fed and the check group.
    break_even_now
        What it would have to add at the prices that the money goes by, where it is judged by another
        line; None where the two are one. [unit of the outcome]
    others
        Other fed groups of the trial, which are not in the picture.
    line_said
        What it had to add as the words beside the picture tell it; "" where there are none.
    """

    yards: tuple[YardShown, ...]
    fed: Lane
    check: Lane
    gap: Gap | None
    break_even: float
    money_of: Callable[[float], float] | None
    money_unit: str
    measure: Measure
    graded: str
    names: tuple[str, str]
    break_even_now: float | None = None
    line_said: str = ""
    others: tuple[str, ...] = ()


def colonies_shown(
    answer: Answer, design: Design, worth: Worth | None, measure: Measure, graded: str
) -> ColoniesShown:
    """The picture of an answer; without differences where the comparison is not fair.

    ``graded`` says when, as people say it.
    """
    came, here = answer.came, answer.here
    every = came.missing | True
    linear = worth is not None and worth.path.linear
    now = line_now(answer, design, worth, measure)
    return ColoniesShown(
        yards=_yards(answer, design, came),
        fed=_lane(came, every & (came.ends.arm == design.primary)),
        check=_lane(came, every & (came.ends.arm == CHECK)),
        gap=None if here is None else (here.low, here.contrast.estimate, here.high),
        break_even=max(design.lines.break_even, 0.0),
        money_of=worth.left_over if worth is not None and linear else None,
        money_unit="" if worth is None else worth.unit,
        measure=measure,
        graded=graded,
        names=(design.arms[design.primary], design.arms[CHECK]),
        break_even_now=now,
        line_said=needed_said(answer, design, measure, now),
        others=tuple(name for arm, name in enumerate(design.arms) if arm not in (CHECK, design.primary)),
    )


def _yards(answer: Answer, design: Design, came: Came) -> tuple[YardShown, ...]:
    if len(came.yards) > MOST_YARDS:
        return ()
    gaps: list[Gap | None] = [None] * len(came.yards)
    if answer.here is not None:
        for place, one in enumerate(by_yard(design, came)):
            if one.contrast is not None and one.interval is not None:
                gaps[place] = (one.interval[0], one.contrast.estimate, one.interval[1])
    return tuple(
        YardShown(
            name,
            _lane(came, (came.yard == place) & (came.ends.arm == design.primary)),
            _lane(came, (came.yard == place) & (came.ends.arm == CHECK)),
            gaps[place],
        )
        for place, name in enumerate(came.yards)
    )


def _lane(came: Came, chosen: BoolArray) -> Lane:
    known = chosen & ~came.missing
    outcomes = came.ends.outcome[known]
    living = came.ends.outcome[known & ~came.nothing]
    mean = float(outcomes.mean()) if len(outcomes) else None
    return Lane(tuple(sorted(living.tolist())), int(came.nothing[known].sum()), mean)
