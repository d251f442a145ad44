"""What was written down before the draw, on one page: what is compared, when, who does what, rescue."""

from __future__ import annotations

from typing import Any

from breadline.need.words import counted
from breadline.sheets.check_group_sheets import OnPaper
from breadline.sheets.letterhead import cut, letterhead, long_date
from breadline.sheets.printed import printed
from breadline.trial.colonies import CHECK
from breadline.trial.design import CheckArm, Outcome

CHECK_WORDS = {
    CheckArm.SAME_CARE: "the same syrup, mite treatment, openings and moves; no protein feed",
    CheckArm.USUAL: "what is usual here: this asks whether the new way is better, not whether feeding pays",
    CheckArm.HALF: "half the rate: this asks whether the second half is worth it, never whether feeding pays",
}
WHO = (
    "The crew feeds by the feeding list. Somebody other than the grader scrapes the bars and takes "
    "the papers off all hives, at most a day before the grading. The grader has tags only, in drawn "
    "order, and writes down which group each hive seems to be in. A second person grades {again} "
    "again.",
    "One person grades both groups, on one day a yard, by the same rule of what a frame of bees is.",
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
    "queen is there, gets feed at once. Write down the day and the tag. It stays in its group and is "
    "graded like the others.",
    "The same rule holds for fed colonies: what they need beyond the plan is given and noted.",
)


def protocol_sheet(of: OnPaper) -> bytes:
    """What was written down before the draw, the rescue rule among it, on one page."""
    return printed("check_protocol.typ", protocol_data(of), of.on)


def protocol_data(of: OnPaper) -> dict[str, Any]:
    """Everything the protocol says, as plain data."""
    design = of.design
    unfed = sum(one.arm == CHECK for one in design.started)
    unit = "frames of bees" if design.outcome is not Outcome.HONEY else "kg of honey"
    grade = "" if design.grade is None else f", {design.grade:g} frames or more"
    again = counted(len(of.twice), "colony", "colonies")
    sealed = f"Locked on {long_date(of.locked_on)}, seal {of.seal}." if of.locked_on else "Not yet locked."
    return {
        **letterhead(of.paper, f"Check group · {long_date(of.on)}"),
        "title": cut(of.name, 60),
        "say": f"{unfed:,} of {counted(len(design.started), 'colony', 'colonies')} are the check group.",
        "facts": [
            ["Compared", f"{design.arms[design.primary]} against {design.arms[CHECK]}"],
            ["The check group gets", CHECK_WORDS[design.check_arm]],
            ["Counted", f"{design.outcome.value}{grade}, every colony started, a dead one as 0"],
            ["Graded on", long_date(design.grading)],
            ["It pays from", f"{design.lines.break_even:.2g} {unit} a colony"],
            ["Smaller would not matter", f"{design.lines.margin:.2g} {unit} a colony, either way"],
            ["Drawn", f"{'whole yards' if design.unit.value == 'yard' else 'colonies inside each yard'}, "
                      f"by lot, seed {design.seed}"],
        ],
        "rescue": {"head": "Rescue rule, written beforehand", "said": rescue_words(of.rescue_below)},
        "parts": [
            {"head": "Who does what", "said": [said.format(again=again) for said in WHO]},
            {"head": "All the way through", "said": list(ALIKE)},
            {"head": "Before that day", "said": list(BEFORE)},
        ],
        "signs": ["Written down by", "On"],
        "foot": sealed,
    }  # fmt: skip


def rescue_words(below: float) -> list[str]:
    """The rescue rule in sentences; ``below`` in frames of bees [frames]."""
    return [said.format(weak=f"{below:g}") for said in RESCUE]
