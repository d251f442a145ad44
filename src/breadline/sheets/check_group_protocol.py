"""What was written down before the draw, on one page: what is compared, when, who does what, rescue."""

from __future__ import annotations

from typing import Any

from breadline.need.words import counted
from breadline.sheets.check_group_sheets import OnPaper
from breadline.sheets.letterhead import cut, letterhead, long_date
from breadline.sheets.printed import printed
from breadline.trial.amounts import benefit_words
from breadline.trial.colonies import CHECK
from breadline.trial.design import CheckArm, Design, Outcome, Unit

CHECK_WORDS = {
    CheckArm.SAME_CARE: "the same syrup, mite treatment, openings and moves; no protein feed",
    CheckArm.USUAL: "what is usual here: this asks whether the new way is better, not whether feeding pays",
    CheckArm.HALF: "half the rate: this asks whether the second half is worth it, never whether feeding pays",
    CheckArm.SUGAR: "the same care, and a patty of sugar alone, as heavy and on the same days; no protein "
    "feed: what differs is the protein feed, not the sugar",
}
WHO = (
    "The crew feeds by the feeding list. Somebody other than the grader scrapes the bars and takes "
    "the papers off all hives, at most a day before the grading. The grader has tags only, in drawn "
    "order, and writes down which group each hive seems to be in. A second person grades {again} "
    "again.",
    "One person grades both groups, on one day a yard, {by}.",
)
ALIKE = (
    "Syrup, mite treatment, boxes, openings and moves are alike in both groups, and so is every "
    "merge, split or removal of bees. Blocks of hives move together. No hive changes its group.",
    "Every colony that was started gets an end: graded, dead, absconded, below one frame, merged, "
    "requeened, robbed, rescued, split, sold, stolen, moved away or not found.",
)
BEFORE = ("Readings are shown without their groups. No answer is given, and none is guessed.",)
RESCUE = (
    "A colony of the check group below {weak} frames of bees, or without brood or eggs though its "
    "queen is there, gets feed at once{where}. Write down the day and the tag. It stays in its group and is "
    "graded like the others.",
    "The same rule holds for fed colonies: what they need beyond the plan is given and noted.",
)


def protocol_sheet(of: OnPaper) -> bytes:
    """What was written down before the draw, the rescue rule among it, on one page."""
    return printed("check_protocol.typ", protocol_data(of), of.on)


def protocol_data(of: OnPaper) -> dict[str, Any]:
    """Everything the protocol says, as plain data."""
    design = of.design
    pays, margin = (benefit_words(v, design.outcome) for v in (design.lines.break_even, design.lines.margin))
    grade = "" if design.grade is None else f", {design.grade:g} frames or more"
    rescue = rescue_words(of.rescue_below, design.open_feed)
    again = counted(len(of.twice), "colony", "colonies")
    sealed = f"Locked on {long_date(of.locked_on)}, seal {of.seal}." if of.locked_on else "Not yet locked."
    return {
        **letterhead(of.paper, f"Check group · {long_date(of.on)}"),
        "title": cut(of.name, 60),
        "say": _size_words(design),
        "facts": [
            ["Compared", f"{design.arms[design.primary]} against {design.arms[CHECK]}"],
            ["The check group gets", CHECK_WORDS[design.check_arm]],
            ["Counted", f"{design.outcome.value}{grade}, every colony started, a dead one as 0"],
            ["Graded on", long_date(design.grading)],
            ["It pays from", f"{pays} a colony"],
            ["Smaller would not matter", f"{margin} a colony, either way"],
            ["Drawn", f"{'whole yards' if design.unit.value == 'yard' else 'colonies inside each yard'}, "
                      f"by lot, seed {design.seed}"],
        ],
        "rescue": {"head": "Rescue rule, written beforehand", "said": rescue},
        "parts": [
            {"head": "Who does what", "said": [said.format(again=again, by=_by(design)) for said in WHO]},
            {"head": "All the way through", "said": list(ALIKE)},
            {"head": "Before that day", "said": list(BEFORE)},
        ],
        "signs": ["Written down by", "On"],
        "foot": sealed,
    }  # fmt: skip


def rescue_words(below: float, open_feed: bool = False) -> list[str]:
    """The rescue rule in sentences.

    Parameters
    ----------
    below
        The line under which a colony is fed all the same. [frames]
    open_feed
        Whether feed lies in the open, where it would reach the neighbours too.
    """
    where = " inside its own hive" if open_feed else ""
    return [said.format(weak=f"{below:g}", where=where) for said in RESCUE]


def _size_words(design: Design) -> str:
    """How much of it is the check group; which yards these are is not for the grader."""
    unfed = sum(one.arm == CHECK for one in design.started)
    colonies = counted(len(design.started), "colony", "colonies")
    if design.unit is not Unit.YARD:
        return f"{unfed:,} of {colonies} are the check group."
    yards = {one.yard for one in design.started}
    check = {one.yard for one in design.started if one.arm == CHECK}
    return f"{len(check):,} of {len(yards):,} yards are the check group: {unfed:,} of {colonies} graded."


def _by(design: Design) -> str:
    return (
        "on one scale" if design.outcome is Outcome.HONEY else "by the same rule of what a frame of bees is"
    )
