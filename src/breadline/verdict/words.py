"""The verdict as people say it: the class first, then the money, then what next season should do."""

from __future__ import annotations

from dataclasses import dataclass

from breadline.language import noted, say
from breadline.trial.classes import AnswerClass
from breadline.trial.design import Allocation, CheckArm, Design, Unit
from breadline.verdict.amounts import FRAMES, Measure, amount, as_paid, money, plain, span, step_of
from breadline.verdict.answer import Answer, Judged
from breadline.verdict.fairness import Breach, Broken
from breadline.verdict.next_season import More, at_its_least, lots_of, more_to_settle, seen_by_lots
from breadline.verdict.within_rows import rows_not_told
from breadline.verdict.words_behind import done_lines, sure_lines
from breadline.verdict.words_held_back import both_ahead, held_back, not_covered
from breadline.verdict.worth import Worth

ASKED: dict[CheckArm, tuple[str, str, str]] = {  # what is asked, the fed ones, the check ones
    CheckArm.SAME_CARE: ("Feeding", "fed", "check colonies"),
    CheckArm.USUAL: ("This feed over usual practice", "fed", "those of usual practice"),
    CheckArm.HALF: ("The second half of the feed", "fully fed", "half-fed ones"),
    CheckArm.SUGAR: ("The protein feed over sugar alone", "protein-fed", "sugar-fed ones"),
}
LEARN: dict[Breach, str] = {
    Breach.NOT_DRAWN: "How the fed colonies came through, and how many died, is still worth writing down. "
    "Next time let lots decide which stay unfed, within each yard.",
    Breach.WEAKEST_UNFED: "Weak colonies end weak whether fed or not. How fast the fed ones grew from their "
    "own start can still be read; next time draw the unfed from strong and weak alike.",
    Breach.YARDS_ARE_ARMS: "This compares yards, not feeds. The yards themselves can be compared: "
    "which came through better, and what grew there. Next time leave unfed colonies in each yard, drawn "
    "by lot, or draw at least three yards a side.",
    Breach.OPEN_FEED: "The unfed ones shared the feed. What was taken per day can still be read; next "
    "time draw whole yards out of each other's flight range.",
    Breach.FRAMES_COUNTED: "Add up the frames of each colony and give one row a colony: then it can be "
    "judged.",
    Breach.GRADED_APART: "Two people, or two weeks, differ by more than feeding does. If some colonies were "
    "graded by both, how far they differ can still be read.",
    Breach.TREATED_APART: "What differs between the groups is feeding and that as well; together they can be "
    "described, but not told apart.",
    Breach.SWAPPED: "Readings from before the change can still be compared, if a day was fixed for it.",
    Breach.MERGED_ACROSS: "Colonies that kept to their group can be looked at, but not counted as a "
    "comparison.",
    Breach.MISSING: "If the ends can still be found, add them and ask again.",
}


APART = (
    0.15  # by which plain averages differ otherwise than the answer says, to be told [unit of the outcome]
)


@dataclass(frozen=True)
class Spoken:
    """A verdict in sentences.

    Parameters
    ----------
    sentence
        The class, from these colonies alone.
    range_said
        The difference and its range.
    money
        What was left over, with its range; "" where nothing can be said of it.
    next_season
        What to do next.
    done, sure, broke
        What was done, how sure it is, what broke.
    held_back
        Which reading makes the class weaker than the range by itself, and what it shows; "" where none does.
    """

    sentence: str
    range_said: str
    money: str
    next_season: str
    done: tuple[str, ...]
    sure: tuple[str, ...]
    broke: tuple[str, ...]
    held_back: str = ""


FEW = 20  # units of both groups below which nothing is known of how near break-even a benefit lies
IN_SHORT = {
    AnswerClass.PAID: noted("it paid"),
    AnswerClass.STRONGER_PAY_UNSURE: noted("ahead, pay unsure"),
    AnswerClass.STRONGER_DID_NOT_PAY: noted("ahead, but it did not pay"),
    AnswerClass.NO_DIFFERENCE_LARGER: noted("it did not pay, no difference that matters"),
    AnswerClass.DID_NOT_PAY: noted("it did not pay"),
    AnswerClass.WEAKER: noted("fed ones behind"),
    AnswerClass.TOO_FEW: noted("too few to tell by itself"),
    AnswerClass.NOT_FAIR: noted("not a fair comparison"),
}  # beside a trial in a list


def in_short(answer: Answer) -> str:
    """What a trial came to beside its name in a list, with what both readings share where no class has it."""
    if not_covered(answer):
        return say("it did not pay")
    return say("ahead, pay unsure") if both_ahead(answer) else say(IN_SHORT[answer.given])


def verdict_sentence(answer: Answer, design: Design, measure: Measure = FRAMES) -> str:
    """The class in words, or what both readings share where no class has a word for it."""
    what, fed, _ = ASKED[design.check_arm]
    if not_covered(answer):
        return f"{what} did not cover its cost; how far {fed} colonies lie apart from the others is open."
    if both_ahead(answer):
        return class_sentence(AnswerClass.STRONGER_PAY_UNSURE, design, measure)
    if answer.given is AnswerClass.TOO_FEW and answer.here is not None:
        more = _more(answer, answer.here, design)
        if more is not None and more.too_close and sum(units(answer, design)) >= FEW:
            return (
                f"Can’t tell whether {what[0].lower()}{what[1:]} paid: what it added lies too close to what "
                "it cost."
            )
    return class_sentence(answer.given, design, measure)


def class_sentence(given: AnswerClass, design: Design, measure: Measure = FRAMES) -> str:
    """The class in the program's own words, about what the check group leaves to be asked."""
    what, fed, check = ASKED[design.check_arm]
    if given is AnswerClass.NOT_FAIR:
        return f"Not a fair comparison: these colonies can’t say whether {what[0].lower()}{what[1:]} paid."
    return {
        AnswerClass.PAID: f"{what} paid: {fed} colonies ended ahead by more than it cost.",
        AnswerClass.STRONGER_PAY_UNSURE: f"{fed[0].upper()}{fed[1:]} colonies ended ahead; whether that "
        "covered the cost is open.",
        AnswerClass.STRONGER_DID_NOT_PAY: f"{what} did not pay: {fed} colonies ended ahead, but by less than "
        "it cost.",
        AnswerClass.NO_DIFFERENCE_LARGER: f"{what} did not pay: {fed} and {check} are less than "
        f"{amount(design.lines.margin, measure)} apart.",
        AnswerClass.DID_NOT_PAY: f"{what} did not pay: whatever it added was worth less than it cost.",
        AnswerClass.WEAKER: f"{fed[0].upper()}{fed[1:]} colonies ended behind {check}.",
        AnswerClass.TOO_FEW: f"Can’t tell whether {what[0].lower()}{what[1:]} paid: too few colonies, for "
        "how much they differ.",
    }[given]


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
    cost = f"{as_paid(worth.cost)} ({worth.cost.year})"
    return (
        f"Left over for each fed colony, after {cost} for feeding: about {said[1]}, from {said[0]} "
        f"to {said[2]}."
    )


def compared(design: Design) -> str:
    """What is taken from what: "Fed less check", "Patty less check"."""
    fed, check = design.arms[design.primary], design.arms[0]
    return f"{fed[:1].upper()}{fed[1:]} less {check}"


def difference_sentence(answer: Answer, here: Judged, design: Design, measure: Measure) -> str:
    """Fed less check and its range."""
    said = plain(here.contrast.estimate)
    sign = "" if said.startswith("−") or float(said) == 0.0 else "+"
    difference = f"{compared(design)}: {sign}{said} {measure.many}"
    return f"{difference}, nine times in ten from {span(here.low, here.high)}.{_adjusted(answer, design)}"


def _adjusted(answer: Answer, design: Design) -> str:
    """That the difference is freed of strength before, where the plain averages say another one."""
    here, check, fed = answer.here, answer.arms[0].mean, answer.arms[design.primary].mean
    if here is None or not answer.came.ends.baseline.shape[1]:
        return ""
    bare = fed - check
    if not abs(bare - here.contrast.estimate) >= APART:
        return ""
    sign = "" if plain(bare).startswith("−") or float(plain(bare)) == 0.0 else "+"
    return (
        f" It is adjusted for strength before and for the sets drawn; the plain averages differ by "
        f"{sign}{plain(bare)}."
    )


def needs_sentence(design: Design, measure: Measure) -> str:
    """What it had to add."""
    if design.lines.break_even <= 0:
        return "Feeding cost nothing here, so anything it added would pay."
    return f"It needs about {amount(design.lines.break_even, measure)} to pay."


def next_season(answer: Answer, design: Design) -> str:
    """What next season should do."""
    if answer.given is AnswerClass.NOT_FAIR:
        return " ".join(dict.fromkeys(LEARN[one.breach] for one in answer.broken))
    if answer.here is None:
        return (
            "Leave at least six unfed colonies beside fed ones next time; the planner says how many "
            "tell what."
        )
    if answer.given is AnswerClass.PAID:
        less = {CheckArm.HALF: "half-fed", CheckArm.SUGAR: "on sugar alone"}.get(design.check_arm, "unfed")
        return f"Feed in seasons like this one, and leave a few {less} again to notice if it stops paying."
    if answer.given is AnswerClass.WEAKER:
        return (
            "Don’t feed like this again before you know why: look at mites, queens, robbing and "
            "beetles first."
        )
    if answer.given in (AnswerClass.TOO_FEW, AnswerClass.STRONGER_PAY_UNSURE) and not not_covered(answer):
        return _more_sentence(answer, answer.here, design)
    return (
        "In a season like this, save the money, unless feed, work or what a colony is worth changes: "
        "then ask again with the new numbers."
    )


def _more_sentence(answer: Answer, here: Judged, design: Design) -> str:
    if answer.weakened == "drift":
        return "Let the groups alternate along the row next time: bees of one group go home to the other."
    more, tested = _more(answer, here, design), answer.permutation_at_break_even
    if more is None:
        ways = 0 if tested is None else tested.arrangements
        return (
            "This draw does not say how it kept hives apart in rows, so its lots are judged by "
            f"{ways:,} ways to fall, and so few tell no more. As many colonies, drawn anew, may settle it."
        )
    if more.too_close and sum(units(answer, design)) < FEW:
        what = "yards" if design.unit is Unit.YARD else "colonies"
        return (
            f"This is too close to break-even for any number that so few {what} could name; decide on cost "
            "and convenience, or ask how many to leave unfed next time."
        )
    if more.too_close:
        return (
            "This is too close to break-even for any sensible number of colonies; decide on cost "
            "and convenience."
        )
    return f"{_many_said(more, design)} more would settle it if the true effect is the one seen."


def _more(answer: Answer, here: Judged, design: Design) -> More | None:
    """How many more would settle it; None where that hangs on a draw whose rule for rows is not known."""
    if answer.weakened == "drift":
        return None
    seen, line = here.contrast, max(design.lines.break_even, 0.0)
    if answer.weakened == "share" and answer.grade is not None and answer.grade.raw is not None:
        seen, line = (
            answer.grade.raw,
            max(answer.grade.needed, 0.0),
        )  # the counted share is what is to be told
    if answer.weakened == "permutation" and answer.permutation_at_break_even is not None:
        tested = answer.permutation_at_break_even
        if rows_not_told(design) and at_its_least(seen, line, tested):
            return None
        seen = seen_by_lots(seen, line, tested)
    return more_to_settle(seen, line, units(answer, design), lots_of(design))


def _many_said(more: More, design: Design) -> str:
    if design.unit is Unit.YARD:
        return f"About {_round_up(more.check)} unfed and {_round_up(more.fed)} fed yards"
    if 0.8 <= more.fed / more.check <= 1.25:
        pairs = max(more.check, more.fed)
        return f"About {_round_up(pairs)} {'pair' if pairs == 1 else 'pairs'}"
    return f"About {_round_up(more.check)} unfed and {_round_up(more.fed)} fed colonies"


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


def broken_line(broken: Broken) -> str:
    """One breach as a line: what, and the facts."""
    return f"{broken.breach.value[0].upper()}{broken.breach.value[1:]}: {broken.facts}."


def spoken(answer: Answer, design: Design, worth: Worth | None, measure: Measure = FRAMES) -> Spoken:
    """Everything that is said of a verdict."""
    sentence = verdict_sentence(answer, design, measure)
    if design.allocation is Allocation.UNKNOWN and answer.given is not AnswerClass.NOT_FAIR:
        sentence = f"If lots decided which colonies were fed, {sentence[0].lower()}{sentence[1:]}"
    here, left = answer.here, left_over(answer, worth)
    said = (
        difference_sentence(answer, here, design, measure) + " " + needs_sentence(design, measure)
        if here
        else ""
    )
    if not here and answer.why_not:
        sentence = class_sentence(answer.given, design, measure).split(": ")[0] + "."
        said = f"{answer.why_not[0].upper()}{answer.why_not[1:]}."
    return Spoken(
        sentence,
        said,
        money_sentence(left, worth) if left and worth else "",
        next_season(answer, design),
        done_lines(answer, design, measure),
        sure_lines(answer, design, measure),
        tuple(broken_line(one) for one in answer.broken),
        held_back(answer, design, measure),
    )
