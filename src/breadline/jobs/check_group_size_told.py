"""The size of a check group as lines for the terminal."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from breadline.jobs.check_group_asked import SizeAsked
from breadline.jobs.check_group_size import SizeAnswer
from breadline.need.words import counted
from breadline.plan.cuts import GRAMS_A_POUND
from breadline.plan.money import about, told
from breadline.span import Z95
from breadline.trial.arrangements import FEWEST_SETS
from breadline.trial.classes import AnswerClass
from breadline.trial.design import CheckArm, Outcome, Unit
from breadline.trial.planner import HALVES
from breadline.trial.proposal import Sized

NUMBERS = (
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
)
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
        yield "", f"To draw it: {draw}"
    yield "", ""
    yield "bold", break_even_words(answer)
    yield "", ""
    yield "bold", 'Chance that the answer is "it paid", in 100, and the smallest benefit it would tell'
    for text in table_words(answer):
        yield "", text
    yield "", ""
    yield "bold", "What this rests on"
    for text in rests_on(answer):
        yield "", f" - {text}"


def proposal_words(answer: SizeAnswer) -> str:
    """ "Leave 24 of 400 unfed, six in each of four yards; it costs about …, the answer is worth about …"."""
    best, ahead = answer.proposal.proposed, answer.stakes.ahead
    seasons = counted(ahead.seasons, "season")
    worth = f"the answer is worth about {about(best.answer, answer.asked.money)} over the next {seasons}"
    if not answer.proposal.worth_it and best.answer < answer.asked.cost:
        does = "feed" if answer.stakes.fed_otherwise else "not feed"
        return (
            "No result that a check group could bring is likely to change what you do: at these prices you "
            f"would {does} all the same. To know it all the same, {leave_words(answer, best)} "
            f"{cost_words(answer, best)}{_could_tell(answer, best)}."
        )
    if not answer.proposal.worth_it:
        return (
            f"No check group is worth what it costs here: {leave_words(answer, best)} "
            f"{cost_words(answer, best)}{_could_tell(answer, best)}, and {worth}."
        )
    return f"{leave_words(answer, best, capital=True)}; it {cost_words(answer, best)}, {worth}."


def _could_tell(answer: SizeAnswer, at: Sized) -> str:
    """What a size tells that is not worth its cost."""
    if at.row.from_zero >= NOBODY_SEES:
        return " and can hardly tell anything"
    return f" and tells {amount(at.row.from_zero, answer.asked.outcome)} from nothing, four times in five"


def leave_words(answer: SizeAnswer, at: Sized, capital: bool = False) -> str:
    """ "Leave 24 of 400 unfed, six in each of four yards"; the same with half the rate, or in yards."""
    row, asked = at.row, answer.asked
    what, fed = {
        CheckArm.HALF: ("at half the rate", True), CheckArm.SUGAR: ("sugar alone", True),
    }.get(asked.check_arm, ("unfed", False))  # fmt: skip
    leave = ("Feed" if fed else "Leave") if capital else ("feeding" if fed else "leaving")
    if asked.unit is Unit.YARD:
        return f"{leave} {row.check} of {counted(row.check + row.fed, 'yard')} {what}"
    return f"{leave} {row.check:,} of {asked.colonies:,} {what}, {where_words(row.in_yards)}"


def where_words(each: tuple[int, ...]) -> str:
    """ "six in each of four yards", or how many in how many."""
    some = [n for n in each if n]
    least, most = min(some), max(some)
    yards = f"{_number(len(some))} yards" if len(some) > 1 else "one yard"
    if len(some) == 1:
        return "all in one yard"
    if least == most:
        return f"{_number(least)} in each of {yards}"
    return f"{_number(least)} to {_number(most)} in each of {yards}"


def _number(n: int) -> str:
    return NUMBERS[n] if n < len(NUMBERS) else str(n)


def cost_words(answer: SizeAnswer, at: Sized) -> str:
    """ "costs about US$180", or "saves about"."""
    money = answer.asked.money
    verb = "costs" if at.cost.total >= 0 else "saves"
    return f"{verb} about {about(abs(at.cost.total), money)}"


def beside_words(answer: SizeAnswer) -> tuple[str, ...]:
    """What stands beside the proposal: how many are graded, the range as good, what it costs in parts."""
    proposal, asked = answer.proposal, answer.asked
    best, money = proposal.proposed, asked.money
    low, high = proposal.between
    units = "yards" if asked.unit is Unit.YARD else "colonies"
    said = [*likely_words(answer), _graded_words(answer, best)]
    if low < high and proposal.worth_it:
        said.append(
            f"Anything from {low} to {high} {units} is within 5 in 100 of that: take what suits the yards."
        )
    said.append(_parts(best, money, asked.check_arm))
    said += _before_words(asked, best)
    if asked.unit is Unit.COLONY and best.row.check < FEWEST_SETS:
        said.append(
            f"Fewer than {FEWEST_SETS} sets is a demonstration, not a comparison; plan for some to be lost."
        )
    if asked.check_arm is CheckArm.HALF:
        said.append("Half against whole says whether the second half is worth it, never whether feeding "
                    f"pays, and needs about {HALVES} times the colonies for the same chance.")  # fmt: skip
    return tuple(said)


def likely_words(answer: SizeAnswer) -> tuple[str, ...]:
    """What a check group of the proposed size is likely to end in by itself, where that is no answer."""
    best = answer.proposal.proposed
    paid, few = (best.row.classes.get(one, 0.0) for one in (AnswerClass.PAID, AnswerClass.TOO_FEW))
    if not answer.proposal.worth_it or few < MORE_OFTEN_THAN_NOT:
        return ()
    return (
        f"By itself it most often ends in “can't tell”, {_in_100(few)}, and says “it paid” {_in_100(paid)} "
        "if the benefit is as believed. It is worth its cost because every result moves what is believed, "
        "and that decides the next seasons; an answer that stands alone takes more, see the table.",
    )


def _in_100(chance: float) -> str:
    fives = 5 * round(20 * chance)
    return f"about {fives} times in 100" if fives else "hardly ever"


def _before_words(asked: SizeAsked, at: Sized) -> tuple[str, ...]:
    """What is counted on before the draw."""
    if not asked.baseline:
        return ()
    if asked.counted:
        age = "" if asked.counts is None else f", {asked.counts.age},"
        return (f"The counts in the book{age} make the sets: nobody has to grade before the draw.",)
    old = () if asked.counts is None else (asked.counts.grade_again,)
    everybody = f"of all {at.before:,} colonies in these yards"
    which = "of those colonies" if asked.unit is Unit.YARD else everybody
    return (
        *old,
        f"This counts on a grading before the draw, {which}. Ask again without one: it costs less, and the "
        "same number tells less.",
    )


def _graded_words(answer: SizeAnswer, at: Sized) -> str:
    if answer.asked.unit is Unit.YARD:
        many = counted(at.colonies[0] // at.row.check, "colony", "colonies")
        return f"Grade {many} of each yard, picked before anybody looks in."
    each = _number(at.row.fed_each)
    like = "of like strength" if answer.asked.baseline else "that stand beside it"
    ones = "a fed one" if at.row.fed_each == 1 else f"{each} fed ones"
    return (
        f"Each is in a set with {ones} {like} in its yard, drawn by lot which is which: "
        f"{sum(at.colonies):,} colonies are graded at the end, the others are no part of it."
    )


def _parts(at: Sized, money: str, arm: CheckArm) -> str:
    cost = at.cost
    which = {
        CheckArm.HALF: "colonies at half the rate", CheckArm.SUGAR: "colonies on sugar alone",
    }.get(arm, "unfed colonies")  # fmt: skip
    when = f", {at.before:,} before the draw and {sum(at.colonies):,} at the end" if at.before else ""
    parts = [f"grading {about(cost.grading, money)}{when}"] if cost.grading else []
    if cost.unfed:
        more = "expected to lose" if cost.unfed > 0 else "expected to save"
        parts.append(f"{which} {more} {about(abs(cost.unfed), money)}, the feed they do not get counted")
    if cost.fed:
        parts.append(f"colonies fed only for the comparison expected to lose {about(cost.fed, money)}")
    return f"Of the cost: {'; '.join(parts)}." if parts else "It costs nothing that was counted."


def break_even_words(answer: SizeAnswer) -> str:
    """ "Feeding at US$16 a colony pays from 1.3 frames more a colony on"."""
    asked, line = answer.asked, answer.questions.lines.break_even
    cost = told(answer.stakes.cost, asked.money)
    what = {
        CheckArm.HALF: f"The second half at {cost} a colony",
        CheckArm.SUGAR: f"The protein feed at {cost} a colony more than sugar alone",
    }.get(asked.check_arm, f"Feeding at {cost} a colony")
    believed = amount(answer.questions.believed, asked.outcome)
    return f"{what} pays from {amount(line, asked.outcome)} more a colony on; what is believed is {believed}."


def amount(value: float, outcome: Outcome) -> str:
    """A benefit with its unit: "1.3 frames", "4.1 kg (9.0 lb)"."""
    sign = "−" if value <= -0.05 else ""
    if outcome is Outcome.HONEY:
        return f"{sign}{abs(value):.1f} kg ({sign}{abs(value) * 1000 / GRAMS_A_POUND:.1f} lb)"
    return f"{sign}{abs(value):.1f} frames"


NOBODY_SEES = 100.0  # frames, or kg, that no feed adds to a colony
ROOM = 80  # letters of a narrow terminal
HEAD = ("unfed", "fed", "if 0", "if b", "if 2b", "believed", "from 0", "from b", "costs", "worth")


def marked_words(answer: SizeAnswer) -> str:
    """Which row of the table is marked."""
    if answer.proposal.worth_it:
        return "The marked row is worth most after its cost."
    at, believed = answer.proposal.proposed.row.from_zero, answer.questions.believed
    if at > believed:
        return "No row is worth its cost, and none tells what is believed; the marked one comes nearest."
    return "No row is worth its cost; the marked one is the smallest that could tell what is believed."


def table_words(answer: SizeAnswer) -> list[str]:
    """A row a size, figures under each other; the proposed one marked."""
    head = (*HEAD, *([as_sharp_head(answer)] if answer.as_sharp else []))
    rows = [head, *(_row(answer, n) for n in range(len(answer.proposal.sizes)))]
    widths = [max(len(row[k]) for row in rows) for k in range(len(head))]
    between = "  " if sum(widths) + 2 * len(widths) <= ROOM else " "
    marks = ["  ", *(("> " if k == answer.proposal.best else "  ") for k in range(len(rows) - 1))]
    shown = [
        m + between.join(c.rjust(w) for c, w in zip(row, widths, strict=True))
        for m, row in zip(marks, rows, strict=True)
    ]
    b = amount(answer.questions.lines.break_even, answer.asked.outcome)
    below = (
        f'if 0, b, 2b, believed: chance of "it paid" if that is the true benefit; b is the break-even, {b}. '
        "from 0, from b: smallest true benefit told from nothing, and from b, four times in five. "
        f"costs, worth: in {answer.asked.money}. {marked_words(answer)} {as_sharp_words(answer)}"
    ).rstrip()
    refused = [f"{n} unfed: {why}" for n, why in answer.proposal.refused]
    return [*shown, below, *refused]


def as_sharp_head(answer: SizeAnswer) -> str:
    """Head of the column for the other rate."""
    return "none" if answer.asked.check_arm is CheckArm.HALF else "half"


def as_sharp_words(answer: SizeAnswer) -> str:
    """What the column for the other rate says; "" where there is none."""
    if not answer.as_sharp:
        return ""
    units = "yards" if answer.asked.unit is Unit.YARD else "colonies"
    if answer.asked.check_arm is CheckArm.HALF:
        return (
            f"none: {units} without feed, in the same proportion, that tell the whole benefit from "
            "nothing as surely as this row tells its second half."
        )
    return (
        f"half: {units} at half the rate, in the same proportion, that tell the second half of the "
        "benefit as surely as this row tells the whole; up to four times as many, since half the difference "
        "is to be seen."
    )


def as_sharp_told(answer: SizeAnswer, place: int) -> tuple[str, ...]:
    """The cell of that column for a size, "none" where this size tells no benefit; no cell without column."""
    return tuple("none" if many is None else f"{many:,}" for many in answer.as_sharp[place : place + 1])


def _row(answer: SizeAnswer, place: int) -> tuple[str, ...]:
    at = answer.proposal.sizes[place]
    row = at.row
    paid = (row.paid.at_zero, row.paid.at_break_even, row.paid.at_twice, row.paid.at_believed)
    return (
        str(row.check), str(row.fed), *(f"{100 * p:.0f}" for p in paid), benefit_told(row.from_zero),
        benefit_told(row.from_break_even), about(at.cost.total, ""), about(at.answer, ""),
        *as_sharp_told(answer, place),
    )  # fmt: skip


def benefit_told(benefit: float) -> str:
    """A smallest difference in the table, "none" where no benefit is told [unit of the outcome]."""
    return f"{benefit:.1f}" if benefit < NOBODY_SEES else "none"


def _if_they_differ(answer: SizeAnswer) -> tuple[str, ...]:
    """What the proposed size tells where colonies differ less or more than taken."""
    (least, most), (low, high) = answer.spread.log_sd_ends, answer.told_if[answer.proposal.best]
    if low >= NOBODY_SEES:
        return ()
    told = f"{amount(low, answer.asked.outcome)} is told from nothing"
    other = f"only {amount(high, answer.asked.outcome)}" if high < NOBODY_SEES else "no benefit at all"
    by_it = f"a benefit of {told} by the proposed size"
    return (f"If they differ by {least:.2f}, {by_it}; if by {most:.2f}, {other}.",)


def rests_on(answer: SizeAnswer) -> list[str]:
    """The spread and who told it, the belief, the seasons ahead."""
    spread, asked, ahead = answer.spread, answer.asked, answer.stakes.ahead
    said = [
        f"Colonies of one yard differ by {spread.log_sd:.2f} on the log scale, from {spread.told_by[0]}; one "
        f"grader's error is {100 * spread.reader_share:.0f} in 100 of that variance.",
        *_if_they_differ(answer),
    ]
    if asked.baseline:
        said.append(
            f"An earlier grading goes with the last one at r = {spread.baseline_r:.2f}, "
            f"from {spread.told_by[1]}."
        )
    else:
        said.append("No grading before the draw is counted on.")
    if asked.unit is Unit.YARD:
        said.append(
            f"{100 * spread.icc:.0f} in 100 of the variance lies between yards, from {spread.told_by[2]}."
        )
    said.append(
        f"A living unfed colony has {amount(answer.unfed.alive, asked.outcome)} on the day; of 100, "
        f"{100 * answer.unfed.dead:.0f} are dead by then and count as 0, and of {100 * asked.missing:.0f} "
        "nobody will know."
    )
    belief = answer.stakes.belief
    said.append(
        f"Believed: {amount(belief.mean, asked.outcome)} over all seasons, nine times in ten within "
        f"{amount(Z95 * belief.sd, asked.outcome)} of that, and a season usually "
        f"{amount(belief.between, asked.outcome)} off it; from {answer.believed_by}."
    )
    said.append(
        f"The answer is used on {ahead.colonies:,.0f} colonies in the next "
        f"{counted(ahead.seasons, 'season')}, in the same situation only, each later one counting "
        f"{100 * ahead.discount:g} in 100 less."
    )
    if not answer.stakes.grading.a_colony:
        said.append("No wage was given, so grading counts as free.")
    otherwise = "all would be fed" if answer.stakes.fed_otherwise else "none would be fed"
    said.append(f"Without a comparison {otherwise}.")
    return said
