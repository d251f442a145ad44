"""What next season should do after a verdict, in words."""

from __future__ import annotations

from breadline.language import noted, say, say_as, say_counted
from breadline.trial.classes import LEVEL, AnswerClass
from breadline.trial.colonies import CHECK
from breadline.trial.design import CheckArm, Design, Unit
from breadline.verdict.answer import Answer, Judged
from breadline.verdict.contrast import Contrast
from breadline.verdict.fairness import Breach
from breadline.verdict.next_season import More, at_its_least, lots_of, more_to_settle, seen_by_lots
from breadline.verdict.within_rows import rows_not_told
from breadline.verdict.words_agreed import not_covered

LEAST = 1e-9  # width of a range of money that has none [money/colony]
FEW = 20  # units of both groups below which nothing is known of how near break-even a benefit lies
LEARN: dict[Breach, str] = {
    Breach.NOT_DRAWN: noted(
        "How the fed colonies came through, and how many died, is still worth writing down. Next time let "
        "lots decide which stay unfed, within each yard."
    ),
    Breach.WEAKEST_UNFED: noted(
        "Weak colonies end weak whether fed or not. How fast the fed ones grew from their own start can "
        "still be read; next time draw the unfed from strong and weak alike."
    ),
    Breach.YARDS_ARE_ARMS: noted(
        "This compares yards, not feeds. The yards themselves can be compared: which came through better, "
        "and what grew there. Next time leave unfed colonies in each yard, drawn by lot, or draw at least "
        "three yards a side."
    ),
    Breach.OPEN_FEED: noted(
        "The check colonies shared the feed. What was taken per day can still be read; next time draw whole "
        "yards out of each other's flight range."
    ),
    Breach.FRAMES_COUNTED: noted(
        "Add up the frames of each colony and give one row a colony: then it can be judged."
    ),
    Breach.GRADED_APART: noted(
        "Two people, or two weeks, differ by more than feeding does. If some colonies were graded by "
        "both, how far they differ can still be read."
    ),
    Breach.TREATED_APART: noted(
        "What differs between the groups is feeding and that as well; together they can be described, but "
        "not told apart."
    ),
    Breach.SWAPPED: noted(
        "Readings from before the change can still be compared, if a day was fixed for it."
    ),
    Breach.MERGED_ACROSS: noted(
        "Colonies that kept to their group can be looked at, but not counted as a comparison."
    ),
    Breach.MISSING: noted("If the ends can still be found, add them and ask again."),
}


def next_season(answer: Answer, design: Design) -> str:
    """What next season should do."""
    if answer.given is AnswerClass.NOT_FAIR:
        return " ".join(dict.fromkeys(say(LEARN[one.breach]) for one in answer.broken))
    if answer.here is None:
        if design.unit is Unit.COLONY and sum(one.arm == CHECK for one in design.started) >= 6:
            return say("See next time to what stands in its way; the planner says how many tell what.")
        return say("Leave at least six unfed colonies next time; the planner says how many tell what.")
    if answer.given is AnswerClass.PAID:
        less = {
            CheckArm.HALF: say_as("left", "half-fed"), CheckArm.SUGAR: say_as("left", "on sugar alone"),
            CheckArm.USUAL: say_as("left", "on usual practice"),
        }.get(design.check_arm, say_as("left", "unfed"))  # fmt: skip
        return say(
            "Feed in seasons like this one, and leave a few {less} again to notice if it stops paying.",
            less=less,
        )
    if answer.given is AnswerClass.WEAKER:
        return say(
            "Don’t feed like this again before you know why: look at mites, queens, robbing and beetles "
            "first."
        )
    if answer.given in (AnswerClass.TOO_FEW, AnswerClass.STRONGER_PAY_UNSURE) and not not_covered(answer):
        return _more_sentence(answer, answer.here, design)
    return say(
        "In a season like this, save the money, unless feed, work or what a colony is worth changes: then "
        "ask again with the new numbers."
    )


def _more_sentence(answer: Answer, here: Judged, design: Design) -> str:
    if answer.weakened == "drift":
        return say(
            "Let the groups alternate along the row next time: bees of one group go home to the other."
        )
    more, tested = more_needed(answer, here, design), answer.permutation_at_break_even
    if more is None:
        ways = 0 if tested is None else tested.arrangements
        return say(
            "This draw does not say how it kept hives apart in rows, so its lots are judged by {ways:,} "
            "ways to fall, and so few tell no more. As many colonies, drawn anew, may settle it.",
            ways=ways,
        )
    if more.too_close and answer.weakened == "share" and _share_is_close(answer, design):
        return say(
            "The share counted one by one lies too near what it pays from for any sensible number of "
            "colonies to settle; by frames fewer do. Ask how many to leave unfed next time, or decide on "
            "cost and convenience."
        )
    if more.too_close and sum(units(answer, design)) < FEW:
        if design.unit is Unit.YARD:
            return say(
                "This is too close to break-even for any number that so few yards could name; decide on cost "
                "and convenience, or ask how many to leave unfed next time."
            )
        return say(
            "This is too close to break-even for any number that so few colonies could name; decide on cost "
            "and convenience, or ask how many to leave unfed next time."
        )
    if more.too_close:
        return say(
            "This is too close to break-even for any sensible number of colonies; decide on cost and "
            "convenience."
        )
    return _many_said(more, design)


def more_needed(answer: Answer, here: Judged, design: Design) -> More | None:
    """How many more would settle it; None where that hangs on a draw whose rule for rows is not known."""
    if answer.weakened == "drift":
        return None
    seen, line = here.contrast, max(design.lines.break_even, 0.0)
    if answer.weakened == "permutation" and answer.permutation_at_break_even is not None:
        tested = answer.permutation_at_break_even
        if rows_not_told(design) and at_its_least(seen, line, tested):
            return None
        seen = seen_by_lots(seen, line, tested)
    groups, lots = units(answer, design), lots_of(design)
    readings = [(seen, line), *_by_share(answer, here)]
    return max((more_to_settle(*one, groups, lots) for one in readings), key=_takes)


def _share_is_close(answer: Answer, design: Design) -> bool:
    grade = answer.grade
    if grade is None or grade.raw is None:
        return False
    return more_to_settle(grade.raw, max(grade.needed, 0.0), units(answer, design)).too_close


def _takes(more: More) -> tuple[bool, int]:
    return more.too_close, more.check + more.fed


def _by_share(answer: Answer, here: Judged) -> list[tuple[Contrast, float]]:
    """What decides beside frames where a grade line pays: the counted share, and the money of the fitted."""
    grade, cost, found = answer.grade, answer.grade_cost, []
    if grade is None:
        return []
    if grade.raw is not None:
        found.append((grade.raw, max(grade.needed, 0.0)))
    if cost is not None:
        money, df = grade.money, here.contrast.df
        side = money.middle - money.low if money.middle > cost else money.high - money.middle
        reach = Contrast(0.0, 1.0, df).interval(LEVEL)[1]
        found.append((Contrast(money.middle, max(side, LEAST) / reach, df), cost))
    return found


def _many_said(more: More, design: Design) -> str:
    if design.unit is Unit.YARD:
        return say(
            "About {unfed} unfed and {fed} fed yards more would settle it if the true effect is the one "
            "seen.",
            unfed=_round_up(more.check), fed=_round_up(more.fed),
        )  # fmt: skip
    if 0.8 <= more.fed / more.check <= 1.25:
        pairs = max(more.check, more.fed)
        return say_counted(
            "About {n} pair more would settle it if the true effect is the one seen.",
            "About {n} pairs more would settle it if the true effect is the one seen.",
            pairs, n=_round_up(pairs),
        )  # fmt: skip
    return say(
        "About {unfed} unfed and {fed} fed colonies more would settle it if the true effect is the one seen.",
        unfed=_round_up(more.check), fed=_round_up(more.fed),
    )  # fmt: skip


def _round_up(count: int) -> str:
    step = 1 if count < 20 else 5 if count < 100 else 10 if count < 500 else 100
    return f"{-(-count // step) * step:,}"


def units(answer: Answer, design: Design) -> tuple[int, int]:
    """Colonies, or yards, of the check group and the primary fed group."""
    came = answer.came
    if design.unit is Unit.YARD:
        check, fed = (len({*came.yard[came.ends.arm == a].tolist()}) for a in (0, design.primary))
        return check, fed
    return answer.arms[0].started, answer.arms[design.primary].started
