"""The size of a check group as lines for the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from breadline.jobs import check_group_size_columns as columns
from breadline.jobs.check_group_asked import SizeAsked
from breadline.jobs.check_group_size import SizeAnswer
from breadline.jobs.check_group_size_rests import (
    NOBODY_SEES,
    amount,
    benefit_told,
    rests_on,
)
from breadline.language import noted, noted_as, say, say_as, say_counted
from breadline.need.words import counted
from breadline.plan.money import about, told
from breadline.trial.arrangements import FEWEST_SETS
from breadline.trial.classes import AnswerClass
from breadline.trial.design import CheckArm, Outcome, Unit
from breadline.trial.planner import HALVES
from breadline.trial.proposal import Sized

NUMBERS = (
    noted_as("number", "no"), noted_as("number", "one"), noted_as("number", "two"),
    noted_as("number", "three"), noted_as("number", "four"), noted_as("number", "five"),
    noted_as("number", "six"), noted_as("number", "seven"), noted_as("number", "eight"),
    noted_as("number", "nine"), noted_as("number", "ten"), noted_as("number", "eleven"),
    noted_as("number", "twelve"),
)  # fmt: skip
MORE_OFTEN_THAN_NOT = 0.5
Line = tuple[str, str]  # style, text


def size_lines(answer: SizeAnswer, offer: Sequence[str] = (), draw: str = "") -> Iterator[Line]:
    """What is said of the comparison that was meant; the proposal, what each size could tell, and why."""
    for text in offer:
        yield "bold" if text == offer[0] else "", text
    if offer:
        yield "", ""
    yield "bold", proposal_words(answer)
    for text in beside_words(answer):
        yield "", text
    if draw:
        yield "", say("To draw it: {draw}", draw=draw)
    yield "", ""
    yield "bold", break_even_words(answer)
    yield "", ""
    yield "bold", say('Chance that the answer is "it paid", in 100, and the smallest benefit it would tell')
    for text in table_words(answer):
        yield "", text
    yield "", ""
    yield "bold", say("What this rests on")
    for text in rests_on(answer):
        yield "", f" - {text}"


def proposal_words(answer: SizeAnswer) -> str:
    """ "Leave 24 of 400 unfed, six in each of four yards; it costs about …, the answer is worth about …"."""
    best, ahead = answer.proposal.proposed, answer.stakes.ahead
    told = {
        "leave": leave_words(answer, best, capital=answer.proposal.worth_it),
        "costs": cost_words(answer, best), "tells": _could_tell(answer, best),
        "worth": about(best.answer, answer.asked.money), "seasons": counted(ahead.seasons, "season"),
    }  # fmt: skip
    if not answer.proposal.worth_it and best.answer < answer.asked.cost:
        if answer.stakes.fed_otherwise:
            return say(
                "No result that a check group could bring is likely to change what you do: at these "
                "prices you would feed all the same. To know it all the same, {leave} {costs}{tells}.",
                **told,
            )
        return say(
            "No result that a check group could bring is likely to change what you do: at these prices you "
            "would not feed all the same. To know it all the same, {leave} {costs}{tells}.",
            **told,
        )
    if not answer.proposal.worth_it:
        return say(
            "No check group is worth what it costs here: {leave} {costs}{tells}, and the answer is worth "
            "about {worth} over the next {seasons}.",
            **told,
        )
    return say("{leave}; it {costs}, the answer is worth about {worth} over the next {seasons}.", **told)


def _could_tell(answer: SizeAnswer, at: Sized) -> str:
    """What a size tells that is not worth its cost."""
    if at.row.from_zero >= NOBODY_SEES:
        return say(" and can hardly tell anything")
    return say(
        " and tells {benefit} from nothing, four times in five",
        benefit=amount(at.row.from_zero, answer.asked.outcome),
    )


def leave_words(answer: SizeAnswer, at: Sized, capital: bool = False) -> str:
    """ "Leave 24 of 400 unfed, six in each of four yards"; the same with half the rate, or in yards."""
    row, asked = at.row, answer.asked
    what, fed = {
        CheckArm.HALF: (say_as("fed", "at half the rate"), True),
        CheckArm.SUGAR: (say_as("fed", "sugar alone"), True),
        CheckArm.USUAL: (say_as("left", "on usual practice"), False),
    }.get(asked.check_arm, (say_as("left", "unfed"), False))  # fmt: skip
    leave = {
        (True, True): noted("Feed {some} {what}"), (True, False): noted("Leave {some} {what}"),
        (False, True): noted("feeding {some} {what}"), (False, False): noted("leaving {some} {what}"),
    }[capital, fed]  # fmt: skip
    if asked.unit is Unit.YARD:
        some = say("{n} of {all}", n=row.check, all=counted(row.check + row.fed, "yard"))
        return say(leave, some=some, what=what)
    some = say("{n} of {all}", n=f"{row.check:,}", all=f"{asked.colonies:,}")
    return f"{say(leave, some=some, what=what)}, {where_words(row.in_yards)}"


def where_words(each: tuple[int, ...]) -> str:
    """ "six in each of four yards", or how many in how many."""
    some = [n for n in each if n]
    least, most = min(some), max(some)
    if len(some) == 1:
        return say("all in one yard")
    yards = _number(len(some))
    if least == most:
        return say("{n} in each of {yards} yards", n=_number(least), yards=yards)
    return say(
        "{low} to {high} in each of {yards} yards", low=_number(least), high=_number(most), yards=yards
    )


def _number(n: int) -> str:
    return say_as("number", NUMBERS[n]) if n < len(NUMBERS) else str(n)


def cost_words(answer: SizeAnswer, at: Sized) -> str:
    """ "costs about US$180", or "saves about"."""
    money = about(abs(at.cost.total), answer.asked.money)
    return (
        say("costs about {money}", money=money)
        if at.cost.total >= 0
        else say("saves about {money}", money=money)
    )


def beside_words(answer: SizeAnswer) -> tuple[str, ...]:
    """What stands beside the proposal: how many are graded, the range as good, what it costs in parts."""
    proposal, asked = answer.proposal, answer.asked
    best, money = proposal.proposed, asked.money
    low, high = proposal.between
    said = [*likely_words(answer), _graded_words(answer, best)]
    if low < high and proposal.worth_it:
        said.append(
            say(
                "Anything from {low} to {high} yards is within 5 in 100 of that: take what suits the yards.",
                low=low,
                high=high,
            )
            if asked.unit is Unit.YARD
            else say(
                "Anything from {low} to {high} colonies is within 5 in 100 of that: take what suits the "
                "yards.",
                low=low,
                high=high,
            )
        )
    said.append(_parts(best, money, asked.check_arm))
    said += _before_words(asked, best)
    if asked.unit is Unit.COLONY and best.row.check < FEWEST_SETS:
        said.append(
            say(
                "Fewer than {n} sets is a demonstration, not a comparison; plan for some to be lost.",
                n=FEWEST_SETS,
            )
        )
    if asked.check_arm is CheckArm.HALF:
        said.append(
            say(
                "Half against whole says whether the second half is worth it, never whether feeding pays, "
                "and needs about {n} times the colonies for the same chance.",
                n=HALVES,
            )
        )
    if asked.check_arm is CheckArm.USUAL:
        said.append(
            say(
                "The cost has to be what feeding costs more than usual practice. What is believed is of "
                "feeding against no protein feed: where usual practice feeds too, expect less."
            )
        )
    return tuple(said)


def likely_words(answer: SizeAnswer) -> tuple[str, ...]:
    """What a check group of the proposed size is likely to end in by itself, where that is no answer."""
    best = answer.proposal.proposed
    paid, few = (best.row.classes.get(one, 0.0) for one in (AnswerClass.PAID, AnswerClass.TOO_FEW))
    if not answer.proposal.worth_it or few < MORE_OFTEN_THAN_NOT:
        return ()
    return (
        say(
            "By itself it most often ends in “can't tell”, {few}, and says “it paid” {paid} if the "
            "benefit is as believed. It is worth its cost because every result moves what is believed, "
            "and that decides the next seasons; an answer that stands alone takes more, see the table.",
            few=_in_100(few),
            paid=_in_100(paid),
        ),
    )


def chance_told(chance: float) -> str:
    """A chance in 100 as table and sentences have it, so that both say one number [share]."""
    return f"{100 * chance:.0f}"


def _in_100(chance: float) -> str:
    n = int(chance_told(chance))
    return say_counted("about {n} time in 100", "about {n} times in 100", n) if n else say("hardly ever")


def _before_words(asked: SizeAsked, at: Sized) -> tuple[str, ...]:
    """What is counted on before the draw."""
    if not asked.baseline:
        return ()
    if asked.counted:
        if asked.counts is None:
            return (say("The counts in the book make the sets: nobody has to grade before the draw."),)
        return (
            say(
                "The counts in the book, {age}, make the sets: nobody has to grade before the draw.",
                age=asked.counts.age,
            ),
        )
    old = () if asked.counts is None else (asked.counts.grade_again,)
    which = (
        say("of those colonies")
        if asked.unit is Unit.YARD
        else say("of all {n:,} colonies in these yards", n=at.before)
    )
    return (
        *old,
        say(
            "This counts on a grading before the draw, {which}. Ask again without one: it costs less, and "
            "the same number tells less.",
            which=which,
        ),
    )


def _graded_words(answer: SizeAnswer, at: Sized) -> str:
    if answer.asked.unit is Unit.YARD:
        many = counted(at.colonies[0] // at.row.check, "colony", "colonies")
        return say("Grade {colonies} of each yard, picked before anybody looks in.", colonies=many)
    told = {"ones": say_counted("a fed one", "{n} fed ones", at.row.fed_each, n=_number(at.row.fed_each)),
            "graded": sum(at.colonies)}  # fmt: skip
    if answer.asked.baseline:
        return say(
            "Each is in a set with {ones} of like strength in its yard, drawn by lot which is which: "
            "{graded:,} colonies are graded at the end, the others are no part of it.",
            **told,
        )
    return say(
        "Each is in a set with {ones} that stand beside it in its yard, drawn by lot which is which: "
        "{graded:,} colonies are graded at the end, the others are no part of it.",
        **told,
    )


def _parts(at: Sized, money: str, arm: CheckArm) -> str:
    cost = at.cost
    which = {
        CheckArm.HALF: say("colonies at half the rate"), CheckArm.SUGAR: say("colonies on sugar alone"),
        CheckArm.USUAL: say("colonies on usual practice"),
    }.get(arm, say("unfed colonies"))  # fmt: skip
    parts = []
    if cost.grading and at.before:
        parts.append(
            say(
                "grading {money}, {before:,} before the draw and {after:,} at the end",
                money=about(cost.grading, money), before=at.before, after=sum(at.colonies),
            )
        )  # fmt: skip
    elif cost.grading:
        parts.append(say("grading {money}", money=about(cost.grading, money)))
    if cost.unfed:
        told = {"which": which, "money": about(abs(cost.unfed), money)}
        parts.append(
            say("{which} expected to lose {money}, the feed they do not get counted", **told)
            if cost.unfed > 0
            else say("{which} expected to save {money}, the feed they do not get counted", **told)
        )
    if cost.fed:
        parts.append(
            say("colonies fed only for the comparison expected to lose {money}", money=about(cost.fed, money))
        )
    if not parts:
        return say("It costs nothing that was counted.")
    return say("Of the cost: {parts}.", parts="; ".join(parts))


def break_even_words(answer: SizeAnswer) -> str:
    """ "Feeding at US$16 a colony pays from 1.3 frames more a colony on"."""
    asked, line = answer.asked, answer.questions.lines.break_even
    cost = told(answer.stakes.cost, asked.money)
    what = {
        CheckArm.HALF: say("The second half at {cost} a colony", cost=cost),
        CheckArm.SUGAR: say("The protein feed at {cost} a colony more than sugar alone", cost=cost),
        CheckArm.USUAL: say("This feed at {cost} a colony more than usual practice", cost=cost),
    }.get(asked.check_arm, say("Feeding at {cost} a colony", cost=cost))
    believed = amount(answer.questions.believed, asked.outcome)
    return say(
        "{what} pays from {line} more a colony on; what is believed is {believed}.",
        what=what, line=amount(line, asked.outcome), believed=believed,
    )  # fmt: skip


ROOM = 80  # letters of a narrow terminal
HEAD = (
    noted_as("column", "fed"), noted_as("column", "if 0"),
    noted_as("column", "if b"), noted_as("column", "if 2b"), noted_as("column", "believed"),
    noted_as("column", "from 0"), noted_as("column", "from b"), noted_as("column", "costs"),
    noted_as("column", "worth"),
)  # fmt: skip


def marked_words(answer: SizeAnswer) -> str:
    """In what honey stands in the table, and which row of it is marked."""
    if answer.asked.outcome is Outcome.HONEY:
        return f"{say('From 0 and from b are in kilograms.')} {_marked(answer)}"
    return _marked(answer)


def _marked(answer: SizeAnswer) -> str:
    if answer.proposal.worth_it:
        return say("The marked row is worth most after its cost.")
    at, believed = answer.proposal.proposed.row.from_zero, answer.questions.believed
    if at > believed:
        return say("No row is worth its cost, and none tells what is believed; the marked one comes nearest.")
    return say("No row is worth its cost; the marked one is the smallest that could tell what is believed.")


def table_words(answer: SizeAnswer) -> list[str]:
    """A row a size, figures under each other; the proposed one marked."""
    head = (
        columns.check_head(answer),
        *(say_as("column", one) for one in HEAD),
        *([columns.as_sharp_head(answer)] if answer.as_sharp else []),
    )
    rows = [head, *(_row(answer, n) for n in range(len(answer.proposal.sizes)))]
    widths = [max(len(row[k]) for row in rows) for k in range(len(head))]
    between = "  " if sum(widths) + 2 * len(widths) <= ROOM else " "
    marks = ["  ", *(("> " if k == answer.proposal.best else "  ") for k in range(len(rows) - 1))]
    shown = [
        m + between.join(c.rjust(w) for c, w in zip(row, widths, strict=True))
        for m, row in zip(marks, rows, strict=True)
    ]
    b = amount(answer.questions.lines.break_even, answer.asked.outcome)
    below = say(
        'if 0, b, 2b, believed: chance of "it paid" if that is the true benefit; b is the break-even, {b}. '
        "from 0, from b: smallest true benefit told from nothing, and from b, four times in five. "
        "costs, worth: in {money}.",
        b=b, money=answer.asked.money,
    )  # fmt: skip
    below = f"{below} {marked_words(answer)} {columns.as_sharp_words(answer)}".rstrip()
    return [*shown, below, *columns.refused_words(answer)]


def _row(answer: SizeAnswer, place: int) -> tuple[str, ...]:
    at = answer.proposal.sizes[place]
    row = at.row
    paid = (row.paid.at_zero, row.paid.at_break_even, row.paid.at_twice, row.paid.at_believed)
    return (
        str(row.check), str(row.fed), *(chance_told(p) for p in paid), benefit_told(row.from_zero),
        benefit_told(row.from_break_even), about(at.cost.total, ""), about(at.answer, ""),
        *columns.as_sharp_told(answer, place),
    )  # fmt: skip
