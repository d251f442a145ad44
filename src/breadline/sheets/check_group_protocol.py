"""What was written down before the draw, on one page: what is compared, when, who does what, rescue."""

from __future__ import annotations

from typing import Any

from breadline.language import noted, say, say_as
from breadline.need.words import counted
from breadline.sheets.check_group_sheets import OnPaper
from breadline.sheets.letterhead import cut, letterhead, long_date
from breadline.sheets.printed import printed
from breadline.trial.amounts import benefit_words
from breadline.trial.colonies import CHECK
from breadline.trial.design import CheckArm, Design, Outcome, Unit, group_name

CHECK_WORDS = {
    CheckArm.SAME_CARE: noted("the same syrup, mite treatment, openings and moves; no protein feed"),
    CheckArm.USUAL: noted(
        "what is usual here: this asks whether the new way is better, not whether feeding pays"
    ),
    CheckArm.HALF: noted(
        "half the rate: this asks whether the second half is worth it, never whether feeding pays"
    ),
    CheckArm.SUGAR: noted(
        "the same care, and a patty of sugar alone, as heavy and on the same days; no protein feed: what "
        "differs is the protein feed, not the sugar"
    ),
}
WHO = (
    noted(
        "The crew feeds by the feeding list. Somebody other than the grader scrapes the bars and takes "
        "the papers off all hives, at most a day before the grading. The grader has tags only, in drawn "
        "order, and writes down which group each hive seems to be in. A second person grades {again} "
        "again."
    ),
    noted("One person grades both groups, on one day a yard, {by}."),
)
ALIKE = (
    noted(
        "Syrup, mite treatment, boxes, openings and moves are alike in both groups, and so is every "
        "merge, split or removal of bees. Blocks of hives move together. No hive changes its group."
    ),
    noted(
        "Every colony that was started gets an end: graded, dead, absconded, below one frame, merged, "
        "requeened, robbed, rescued, split, sold, stolen, moved away or not found."
    ),
)
BEFORE = (noted("Readings are shown without their groups. No answer is given, and none is guessed."),)
RESCUE = (
    noted(
        "A colony of the check group below {weak} frames of bees, or without brood or eggs though its "
        "queen is there, gets feed at once{where}. Write down the day and the tag. It stays in its group and "
        "is graded like the others."
    ),
    noted("The same rule holds for fed colonies: what they need beyond the plan is given and noted."),
)


def protocol_sheet(of: OnPaper) -> bytes:
    """What was written down before the draw, the rescue rule among it, on one page."""
    return printed("check_protocol.typ", protocol_data(of), of.on)


def protocol_data(of: OnPaper) -> dict[str, Any]:
    """Everything the protocol says, as plain data."""
    design = of.design
    pays, margin = (benefit_words(v, design.outcome) for v in (design.lines.break_even, design.lines.margin))
    counted_as = say(design.outcome.value)
    if design.grade is not None:
        counted_as = say("{outcome}, {grade:g} frames or more", outcome=counted_as, grade=design.grade)
    rescue = rescue_words(of.rescue_below, design.open_feed)
    again = counted(len(of.twice), "colony", "colonies")
    sealed = say("Not yet locked.")
    if of.locked_on:
        sealed = say("Locked on {day}, seal {seal}.", day=long_date(of.locked_on), seal=of.seal)
    by_lot = (
        say("whole yards, by lot, seed {seed}", seed=design.seed)
        if design.unit is Unit.YARD
        else say("colonies inside each yard, by lot, seed {seed}", seed=design.seed)
    )
    return {
        **letterhead(of.paper, f"{say_as('screen', 'Check group')} · {long_date(of.on)}"),
        "title": cut(of.name, 60),
        "say": _size_words(design),
        "facts": [
            [say("Compared"), say("{fed} against {check}", fed=group_name(design.arms[design.primary]),
                                  check=group_name(design.arms[CHECK]))],
            [say("The check group gets"), say(CHECK_WORDS[design.check_arm])],
            [say("Counted"), say("{what}, every colony started, a dead one as 0", what=counted_as)],
            [say("Graded on"), long_date(design.grading)],
            [say("It pays from"), say("{benefit} a colony", benefit=pays)],
            [say("Smaller would not matter"), say("{benefit} a colony, either way", benefit=margin)],
            [say("Drawn"), by_lot],
        ],
        "rescue": {"head": say("Rescue rule, written beforehand"), "said": rescue},
        "parts": [
            {"head": say("Who does what"), "said": [say(said, again=again, by=_by(design)) for said in WHO]},
            {"head": say("All the way through"), "said": [say(said) for said in ALIKE]},
            {"head": say("Before that day"), "said": [say(said) for said in BEFORE]},
        ],
        "signs": [say("Written down by"), say_as("a day", "On")],
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
    where = say(" inside its own hive") if open_feed else ""
    return [say(said, weak=f"{below:g}", where=where) for said in RESCUE]


def _size_words(design: Design) -> str:
    """How much of it is the check group; which yards these are is not for the grader."""
    unfed = sum(one.arm == CHECK for one in design.started)
    colonies = counted(len(design.started), "colony", "colonies")
    if design.unit is not Unit.YARD:
        return say("{n:,} of {colonies} are the check group.", n=unfed, colonies=colonies)
    yards = {one.yard for one in design.started}
    check = {one.yard for one in design.started if one.arm == CHECK}
    return say(
        "{n:,} of {all:,} yards are the check group: {unfed:,} of {colonies} graded.",
        n=len(check), all=len(yards), unfed=unfed, colonies=colonies,
    )  # fmt: skip


def _by(design: Design) -> str:
    if design.outcome is Outcome.HONEY:
        return say("on one scale")
    return say("by the same rule of what a frame of bees is")
