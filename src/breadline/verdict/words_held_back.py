"""Why the class said is weaker than the range alone would make it, with the numbers of what decides."""

from __future__ import annotations

from breadline.language import noted, say
from breadline.trial.classes import told_by_interval
from breadline.trial.design import Design
from breadline.verdict.amounts import FRAMES, Measure, span
from breadline.verdict.answer import DRIFT_LEFT, Answer
from breadline.verdict.permutation import PermutationP
from breadline.verdict.permutation_class import MOST, told_of
from breadline.verdict.words_difference import after_drift, line_now, lines_beside, needed_said
from breadline.verdict.words_shares import counted_shares
from breadline.verdict.worth import Worth

HUNDRED = 100
AS_FAR_AHEAD = noted(
    "{head}: were feeding without any effect, lots alone would put fed colonies as far ahead {often}, and at "
    "most {most} in 100 count as clear."
)
AS_FAR_BEHIND = noted(
    "{head}: were feeding without any effect, lots alone would put fed colonies as far behind {often}, "
    "and at most {most} in 100 count as clear."
)
TRULY_AS_FAR = noted(
    "{head}: were the true difference just {line}, lots alone would put fed colonies as far ahead "
    "{often}, and at most {most} in 100 count as clear."
)
TRULY_AS_LITTLE = noted(
    "{head}: were the true difference just {line}, lots alone would put fed colonies as little ahead "
    "{often}, and at most {most} in 100 count as clear."
)


def held_back(answer: Answer, design: Design, measure: Measure = FRAMES, worth: Worth | None = None) -> str:
    """What holds the class back, and what it shows; "" where the range alone gives the class said."""
    if answer.here is None:
        return ""
    if answer.weakened == "permutation":
        return f"{_by_lots(answer, design, measure, worth)} {say('The weaker reading is said.')}"
    if answer.weakened == "share" and answer.grade is not None:
        share = counted_shares(answer.grade, answer, design)
        held = say("Held back by the share counted colony by colony: {share}", share=share)
        return f"{held} {say('The weaker reading is said.')}"
    if answer.weakened == "money":
        return say(
            "Held back by the money of the share making grade: its range, left over, holds 0 or goes to the "
            "other side of it. The weaker reading is said."
        )
    if answer.weakened == "drift":
        low, high = after_drift(answer.here)
        measure = measure.over(low, high)
        return say(
            "Held back by drift: the groups stand in one row without alternating, and bees drift along rows. "
            "Were the difference really {times:.1f} times as large, from {range} {unit}, the answer would be "
            "another, so none is given.",
            times=1 / DRIFT_LEFT, range=span(low, high, lines_beside(answer, design), measure.digits),
            unit=say(measure.many),
        )  # fmt: skip
    return ""


def in_hundred(share: float) -> str:
    """A chance as so many times in 100, or once in so many, finer near what counts as clear [share]."""
    if share < 1.5 / HUNDRED:
        return say("1 time in {n:,.0f}", n=float(f"{1 / share:.1g}"))
    digits = 1 if abs(share - MOST) < 0.01 and abs(share - MOST) > 1e-9 else 0
    return say("{n} times in 100", n=f"{share * HUNDRED:.{digits}f}")


def _by_lots(answer: Answer, design: Design, measure: Measure, worth: Worth | None) -> str:
    """The first line that the range tells and the lots do not, with how often lots alone do as much."""
    head = say("Held back by counting how the lots could have fallen")
    here, zero, paid = answer.here, answer.permutation, answer.permutation_at_break_even
    if here is None or zero is None or paid is None:
        return f"{head}."
    told, lots = told_by_interval(here.low, here.high, design.lines), told_of(zero, paid)
    for ranged, counted, p, said in (
        (told.above_zero, lots.above_zero, zero.p_above, AS_FAR_AHEAD),
        (told.below_zero, lots.below_zero, zero.p_below, AS_FAR_BEHIND),
        (told.above_break_even, lots.above_break_even, paid.p_above, TRULY_AS_FAR),
        (told.below_break_even, lots.below_break_even, paid.p_below, TRULY_AS_LITTLE),
    ):
        if ranged and not counted:
            return say(
                said, head=head, often=in_hundred(p), most=f"{MOST * HUNDRED:.0f}",
                line=needed_said(answer, design, measure, line_now(answer, design, worth, measure)),
            )  # fmt: skip
    return say("{head}: they tell less apart than the range does.", head=head)


def chance_of(found: PermutationP) -> tuple[float, str]:
    """How often lots alone put fed colonies so far to the side where they stand, and that side [share]."""
    return (found.p_above, "ahead") if found.difference >= 0 else (found.p_below, "behind")
