"""The verdict as people say it: the class first, then the money, then what next season should do."""

from __future__ import annotations

from dataclasses import dataclass

from breadline.language import noted, noted_as, say, say_as, say_counted
from breadline.trial.classes import AnswerClass
from breadline.trial.colonies import CHECK
from breadline.trial.design import Allocation, CheckArm, Design, Unit, group_name
from breadline.verdict.amounts import FRAMES, Measure, amount, as_paid, money, plain, span, step_of
from breadline.verdict.answer import Answer, Judged
from breadline.verdict.fairness import Breach, Broken
from breadline.verdict.next_season import More, at_its_least, lots_of, more_to_settle, seen_by_lots
from breadline.verdict.within_rows import rows_not_told
from breadline.verdict.words_behind import done_lines, sure_lines
from breadline.verdict.words_held_back import both_ahead, held_back, not_covered
from breadline.verdict.worth import Worth

ASKED: dict[CheckArm, tuple[str, str, str]] = {  # what is asked, the fed ones, the check ones
    CheckArm.SAME_CARE: (noted("Feeding"), noted_as("ones", "fed"), noted("check colonies")),
    CheckArm.USUAL: (
        noted("This feed over usual practice"), noted_as("ones", "fed"), noted("those of usual practice"),
    ),
    CheckArm.HALF: (
        noted("The second half of the feed"), noted_as("ones", "fully fed"), noted("half-fed ones"),
    ),
    CheckArm.SUGAR: (
        noted("The protein feed over sugar alone"), noted_as("ones", "protein-fed"), noted("sugar-fed ones"),
    ),
}  # fmt: skip
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
        "The unfed ones shared the feed. What was taken per day can still be read; next time draw whole "
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
    what, fed, _ = asked_words(design.check_arm)
    if not_covered(answer):
        return say(
            "{what} did not cover its cost; how far {fed} colonies lie apart from the others is open.",
            what=what, fed=fed,
        )  # fmt: skip
    if both_ahead(answer):
        return class_sentence(AnswerClass.STRONGER_PAY_UNSURE, design, measure)
    if answer.given is AnswerClass.TOO_FEW and answer.here is not None:
        more = _more(answer, answer.here, design)
        if more is not None and more.too_close and sum(units(answer, design)) >= FEW:
            return say(
                "Can’t tell whether {what} paid: what it added lies too close to what it cost.",
                what=_small(what),
            )
    return class_sentence(answer.given, design, measure)


def class_sentence(given: AnswerClass, design: Design, measure: Measure = FRAMES) -> str:
    """The class in the program's own words, about what the check group leaves to be asked."""
    what, fed, check = asked_words(design.check_arm)
    told = {"what": what, "fed": fed, "check": check, "small": _small(what)}
    if given is AnswerClass.NOT_FAIR:
        return say("Not a fair comparison: these colonies can’t say whether {small} paid.", **told)
    apart = amount(design.lines.margin, measure)
    return {
        AnswerClass.PAID: say("{what} paid: {fed} colonies ended ahead by more than it cost.", **told),
        AnswerClass.STRONGER_PAY_UNSURE: _big(
            say("{fed} colonies ended ahead; whether that covered the cost is open.", **told)
        ),
        AnswerClass.STRONGER_DID_NOT_PAY: say(
            "{what} did not pay: {fed} colonies ended ahead, but by less than it cost.", **told
        ),
        AnswerClass.NO_DIFFERENCE_LARGER: say(
            "{what} did not pay: {fed} and {check} are less than {apart} apart.", apart=apart, **told
        ),
        AnswerClass.DID_NOT_PAY: say(
            "{what} did not pay: whatever it added was worth less than it cost.", **told
        ),
        AnswerClass.WEAKER: _big(say("{fed} colonies ended behind {check}.", **told)),
        AnswerClass.TOO_FEW: say(
            "Can’t tell whether {small} paid: too few colonies, for how much they differ.", **told
        ),
    }[given]


def asked_words(arm: CheckArm) -> tuple[str, str, str]:
    """What is asked, the fed ones and the check ones, in words."""
    what, fed, check = ASKED[arm]
    return say(what), say_as("ones", fed), say(check)


def _small(text: str) -> str:
    return text[:1].lower() + text[1:]


def _big(text: str) -> str:
    return text[:1].upper() + text[1:]


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
    return say(
        "Left over for each fed colony, after {cost} ({year}) for feeding: about {middle}, from {low} to "
        "{high}.",
        cost=as_paid(worth.cost), year=worth.cost.year, low=said[0], middle=said[1], high=said[2],
    )  # fmt: skip


def compared(design: Design) -> str:
    """What is taken from what: "Fed less check", "Patty less check"."""
    fed, check = design.arms[design.primary], design.arms[0]
    return _big(say("{fed} less {check}", fed=group_name(fed), check=group_name(check)))


def difference_sentence(answer: Answer, here: Judged, design: Design, measure: Measure) -> str:
    """Fed less check and its range."""
    said = plain(here.contrast.estimate)
    sign = "" if said.startswith("−") or float(said) == 0.0 else "+"
    difference = say(
        "{compared}: {difference} {unit}, nine times in ten from {range}.",
        compared=compared(design), difference=f"{sign}{said}", unit=say(measure.many),
        range=span(here.low, here.high),
    )  # fmt: skip
    return f"{difference}{_adjusted(answer, design)}"


def _adjusted(answer: Answer, design: Design) -> str:
    """That the difference is freed of strength before, where the plain averages say another one."""
    here, check, fed = answer.here, answer.arms[0].mean, answer.arms[design.primary].mean
    if here is None or not answer.came.ends.baseline.shape[1]:
        return ""
    bare = fed - check
    if not abs(bare - here.contrast.estimate) >= APART:
        return ""
    sign = "" if plain(bare).startswith("−") or float(plain(bare)) == 0.0 else "+"
    adjusted = say(
        "It is adjusted for strength before and for the sets drawn; the plain averages differ by {bare}.",
        bare=f"{sign}{plain(bare)}",
    )
    return f" {adjusted}"


def needs_sentence(design: Design, measure: Measure) -> str:
    """What it had to add."""
    if design.lines.break_even <= 0:
        return say("Feeding cost nothing here, so anything it added would pay.")
    return say("It needs about {needs} to pay.", needs=amount(design.lines.break_even, measure))


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
    more, tested = _more(answer, here, design), answer.permutation_at_break_even
    if more is None:
        ways = 0 if tested is None else tested.arrangements
        return say(
            "This draw does not say how it kept hives apart in rows, so its lots are judged by {ways:,} "
            "ways to fall, and so few tell no more. As many colonies, drawn anew, may settle it.",
            ways=ways,
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


def broken_line(broken: Broken) -> str:
    """One breach as a line: what, and the facts."""
    return f"{_big(say(broken.breach.value))}: {broken.facts}."


def spoken(answer: Answer, design: Design, worth: Worth | None, measure: Measure = FRAMES) -> Spoken:
    """Everything that is said of a verdict."""
    sentence = verdict_sentence(answer, design, measure)
    if design.allocation is Allocation.UNKNOWN and answer.given is not AnswerClass.NOT_FAIR:
        sentence = say("If lots decided which colonies were fed, {sentence}", sentence=_small(sentence))
    here, left = answer.here, left_over(answer, worth)
    said = (
        difference_sentence(answer, here, design, measure) + " " + needs_sentence(design, measure)
        if here
        else ""
    )
    if not here and answer.why_not:
        sentence = class_sentence(answer.given, design, measure).split(": ")[0] + "."
        said = f"{_big(answer.why_not)}."
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
