"""What is said of drift where groups stand in one row without alternating: looked at, and taught as seen."""

from __future__ import annotations

from breadline.language import noted, say
from breadline.trial.design import Allocation, CheckArm, Design, Outcome
from breadline.verdict.amounts import Measure, span
from breadline.verdict.answer import DRIFT_LEFT, Answer, in_one_row
from breadline.verdict.words_difference import after_drift, lines_beside

AS_SEEN = noted(
    "Taken as it was seen: the groups stood in one row without alternating, and bees gone to the other group "
    "make a difference smaller, perhaps to {left:.2f} of the true one."
)


def teaches(answer: Answer, design: Design) -> bool:
    """Whether a trial can move the belief about bees."""
    asks_feeding = design.check_arm is CheckArm.SAME_CARE and design.outcome is not Outcome.HONEY
    said = design.allocation is not Allocation.UNKNOWN
    return asks_feeding and said and not answer.broken and answer.here is not None


def drift_lines(answer: Answer, design: Design, measure: Measure) -> list[str]:
    """That drift was looked at where the class stands all the same, and what next season learns of it."""
    if answer.here is None or not in_one_row(design):
        return []
    said = []
    if answer.weakened != "drift":
        low, high = after_drift(answer.here)
        measure = measure.over(low, high)
        said.append(
            say(
                "Drift was looked at, for the groups stand in one row without alternating: were the "
                "difference really {times:.1f} times as large, from {range} {unit}, its range would say the "
                "same.",
                times=1 / DRIFT_LEFT, range=span(low, high, lines_beside(answer, design), measure.digits),
                unit=say(measure.many),
            )
        )  # fmt: skip
    if teaches(answer, design):
        said.append(
            say(
                "Next season learns the difference as it was seen; drift may have made it smaller, perhaps "
                "to {left:.2f} of the true one.",
                left=DRIFT_LEFT,
            )
        )
    return said


def taken_as_seen(one_row: bool | None) -> str:
    """What is said of the difference wherever it is taken on from a trial; "" where nobody stands so."""
    return say(AS_SEEN, left=DRIFT_LEFT) if one_row else ""
