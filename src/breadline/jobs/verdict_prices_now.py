"""A verdict judged by a line that was fixed, beside what today's prices would make of it.

The line that was settled decides; money is told at the prices given now. Where the two differ, both lines are
said, and what the answer would be by the other one, worked out by the same rules.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from breadline.language import say
from breadline.trial.classes import Lines
from breadline.verdict.amounts import Measure, amount
from breadline.verdict.answer import Answer, Finished, answer
from breadline.verdict.words_asked import clause_of
from breadline.verdict.words_difference import line_now, needed_said
from breadline.verdict.worth import Worth


@dataclass(frozen=True)
class PricesNow:
    """What another line would come to.

    Parameters
    ----------
    break_even
        At the prices given now. [unit of the outcome]
    by_it
        The answer judged by that line.
    typed
        Whether the line that decides was typed with the prices, and not settled at a draw.
    by_frames
        Whether a unit more is worth the same everywhere; else the line hangs on the check colonies too.
    """

    break_even: float
    by_it: Answer
    typed: bool = False
    by_frames: bool = True


def line_at(now: PricesNow | None) -> float | None:
    """The line of the prices given now, where it is told beside the one judged by. [unit of the outcome]"""
    return None if now is None else now.break_even


def prices_now(
    finished: Finished, found: Answer, worth: Worth | None, measure: Measure, judging: tuple[int, int | None]
) -> PricesNow | None:
    """The same trial by the line of today's prices; None where that is the line it was judged by.

    ``judging`` is the seed and how often lots are drawn.
    """
    now = line_now(found, finished.design, worth, measure)
    if now is None:
        return None
    seed, draws = judging
    design = replace(finished.design, lines=Lines(now, finished.design.lines.margin))
    by_it = answer(replace(finished, design=design), np.random.default_rng(seed), draws)
    return PricesNow(now, by_it, by_frames=worth is None or worth.path.linear)


def both_lines(now: PricesNow | None, found: Answer, finished: Finished, measure: Measure) -> str:
    """Both lines in plain words; "" where there is one."""
    design = finished.design
    if now is None or found.here is None:
        return ""
    ends = found.here.low, found.here.high
    told = {
        "settled": needed_said(found, design, measure, now.break_even),
        "now": amount(now.break_even, measure, (*ends, max(design.lines.break_even, 0.0))),
        "other": clause_of(now.by_it, design),
    }
    same = told["other"] == clause_of(found, design)
    if now.typed:
        return (
            say(
                "Judged by the line you gave, {settled}; by cost and price it would be {now}, and by that "
                "line the answer is the same.",
                **told,
            )
            if same
            else say(
                "Judged by the line you gave, {settled}; by cost and price it would be {now}, and by that "
                "line {other}.",
                **told,
            )
        )
    if not now.by_frames:  # the line of the draw was that of the colonies foreseen
        return (
            ""
            if same
            else say(
                "Judged by the line settled at the draw, {settled}; at the prices given now, and as check "
                "colonies came out, it would be {now}, and by that line {other}.",
                **told,
            )
        )
    return (
        say(
            "Judged by the line settled at the draw, {settled}; at the prices given now it would be {now}, "
            "and by that line the answer is the same.",
            **told,
        )
        if same
        else say(
            "Judged by the line settled at the draw, {settled}; at the prices given now it would be {now}, "
            "and by that line {other}.",
            **told,
        )
    )
