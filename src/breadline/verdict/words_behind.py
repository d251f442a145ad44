"""What stands behind a verdict, in sentences: what was done, how sure it is, what other looks say."""

from __future__ import annotations

from breadline.language import noted, say, say_as, say_counted
from breadline.trial.classes import LEVEL, AnswerClass, class_of_interval
from breadline.trial.colonies import CHECK, Became
from breadline.trial.design import Allocation, CheckArm, Design, Unit, group_name
from breadline.verdict.amounts import Measure, amount, span
from breadline.verdict.answer import Answer, Arm
from breadline.verdict.elsewhere import Elsewhere
from breadline.verdict.ends_of import Came
from breadline.verdict.graded_apart import WORTH_SAYING, graded_apart
from breadline.verdict.grading import guesses, two_readings
from breadline.verdict.losses import Losses
from breadline.verdict.making_grade import MadeGrade
from breadline.verdict.permutation import PermutationP
from breadline.verdict.permutation_class import MOST
from breadline.verdict.sensitivity import Beside, Look
from breadline.verdict.simultaneous import Together
from breadline.verdict.visits import OverVisits
from breadline.verdict.within_rows import rows_not_told
from breadline.verdict.words_asked import clause, clause_of
from breadline.verdict.words_difference import lines_beside
from breadline.verdict.words_drift import drift_lines
from breadline.verdict.words_held_back import chance_of, in_hundred
from breadline.verdict.words_shares import counted_shares, fitted_shares

HUNDRED = 100
ALIKE = noted(" (the yards did not differ measurably)")
NONE_LIVED = noted(
    "No check colony lived, so none made grade. From how many frames on feeding pays goes by how the fed "
    "ones lie; what a frame more would have been worth to an unfed colony cannot be told."
)
ROWS_NOT_TOLD = noted(
    "The draw did not write down in which yards unfed hives were kept apart, or which hives stood at row "
    "ends. So only lots are counted that could have fallen either way, with the ends of rows as they fell."
)
CHECK_SAID: dict[CheckArm, str] = {
    CheckArm.SAME_CARE: noted(
        "Check colonies had the same care and sugar, and no protein feed: what differs is the protein "
        "feed and the sugar in it."
    ),
    CheckArm.USUAL: noted("Check colonies had the usual practice: what differs is this feed against that."),
    CheckArm.HALF: noted(
        "Check colonies had half the rate: this says whether the second half is worth it, not whether "
        "feeding pays."
    ),
    CheckArm.SUGAR: noted(
        "Check colonies had the same care and a patty of sugar alone: what differs is the protein feed, "
        "not the sugar."
    ),
}
TAKEN: dict[CheckArm, str] = {  # where nobody has said anything of the design
    CheckArm.SAME_CARE: noted(
        "Check colonies are taken to have had the same care and sugar, and no protein feed: what differs "
        "is the protein feed and the sugar in it."
    ),
    CheckArm.USUAL: noted(
        "Check colonies are taken to have had the usual practice: what differs is this feed against that."
    ),
    CheckArm.HALF: noted(
        "Check colonies are taken to have had half the rate: this says whether the second half is worth "
        "it, not whether feeding pays."
    ),
    CheckArm.SUGAR: noted(
        "Check colonies are taken to have had the same care and a patty of sugar alone: what differs is the "
        "protein feed, not the sugar."
    ),
}


def done_lines(answer: Answer, design: Design, measure: Measure) -> tuple[str, ...]:
    """How many, how drawn, how they ended."""
    lines = [_counts(answer, design), _drawn(design), _check_said(design)]
    for place, arm in enumerate(answer.arms):
        gone = _gone(answer.came, place, arm)
        unknown = say(", {n} with an end nobody knows", n=arm.unknown) if arm.unknown else ""
        mean = say(", {mean} on average", mean=amount(arm.mean, measure)) if arm.mean == arm.mean else ""
        name = group_name(arm.name)
        started = say("{group}: {n} started", group=name[:1].upper() + name[1:], n=arm.started)
        lines.append(f"{started}{gone}{unknown}{mean}.")
    lines += _ends_said(answer)
    return tuple(lines)


def _gone(came: Came, place: int, arm: Arm) -> str:
    """Those of a group that count as 0, each kind by itself."""
    of = came.ends.arm == place
    died = int((of & came.died).sum())
    merged = sum(row.became is Became.MERGED for row, here in zip(came.ended, of, strict=True) if here)
    weak = arm.lost - died - merged
    kinds = (
        (died, say_counted("{n} dead or gone", "{n} dead or gone", died)),
        (merged, say_counted("{n} merged into another", "{n} merged into another", merged)),
        (weak, say_counted("{n} below a frame", "{n} below a frame", weak)),
    )  # fmt: skip
    said = say(" and ").join(what for count, what in kinds if count)
    return say(", {what}, counted as 0", what=said) if said else say(", none lost")


def _check_said(design: Design) -> str:
    of = TAKEN if design.allocation is Allocation.UNKNOWN else CHECK_SAID
    return say(of[design.check_arm])


def _counts(answer: Answer, design: Design) -> str:
    yards, colonies = len(answer.came.yards), sum(arm.started for arm in answer.arms)
    if design.unit is Unit.YARD:
        return say_counted(
            "{colonies} colonies in one yard, whole yards compared.",
            "{colonies} colonies in {n} yards, whole yards compared.", yards, colonies=colonies,
        )  # fmt: skip
    return say_counted(
        "{colonies} colonies in one yard, colonies compared.",
        "{colonies} colonies in {n} yards, colonies compared.", yards, colonies=colonies,
    )  # fmt: skip


def _drawn(design: Design) -> str:
    return {
        Allocation.DRAWN: say("Which were fed was drawn by lot (number {seed}).", seed=design.seed)
        if design.seed
        else say("Which were fed was drawn by lot."),
        Allocation.CHOSEN: say("Which were fed was chosen by hand."),
        Allocation.UNKNOWN: say(
            "It is not said how the fed ones were chosen, so it teaches next season nothing."
        ),
    }[design.allocation]


def _ends_said(answer: Answer) -> list[str]:
    """Ends other than graded and lost, counted by arm."""
    told = (Became.RECEIVED, Became.REQUEENED, Became.ROBBED, Became.RESCUED, Became.SPLIT)
    said = []
    for became in told:
        count = sum(row.became is became for row in answer.came.ended)
        if count:
            said.append(
                say("{n} {became}, counted as graded, both groups alike.", n=count,
                    became=say_as("end", became.value))
            )  # fmt: skip
    if answer.came.baselines_filled:
        said.append(
            say("{n} without a grading before stand at the mean of all.", n=answer.came.baselines_filled)
        )
    if answer.came.baseline_left_out:
        said.append(say("Too many lack a grading before; it is not used."))
    return said


def sure_lines(answer: Answer, design: Design, measure: Measure) -> tuple[str, ...]:
    """How sure the answer is, and what other looks say."""
    if answer.here is None:
        return (_bounds_alone(answer, measure),) if answer.bounds else ()
    lines = []
    if answer.permutation:
        lines.append(_chance(answer, answer.permutation))
        if rows_not_told(design):
            lines.append(say(ROWS_NOT_TOLD))
    if answer.grade:
        lines += _grade(answer.grade, answer, design)
        if answer.arms[CHECK].lost == answer.arms[CHECK].started - answer.arms[CHECK].unknown:
            lines.append(say(NONE_LIVED))
    if answer.careful:
        lines.append(
            say(
                "A group is small and colonies were lost, so the range is that of the wider of two ways to "
                "judge spread."
            )
        )
    lines += drift_lines(answer, design, measure)
    if answer.elsewhere:
        lines.append(_elsewhere(answer.elsewhere, lines_beside(answer, design), measure))
    if answer.bounds:
        lines.append(_bounds(answer, design, measure))
    if answer.over_visits:
        lines.append(_visits(answer.over_visits, answer, design, measure))
    if answer.losses:
        lines.append(_losses(answer.losses, answer, design))
    lines += _graded_apart(design, answer.came)
    lines += _graded_well(answer.came, measure)
    lines += [_beside(one, answer, design, measure) for one in answer.beside]
    lines += [_other(one, design, measure) for one in answer.others]
    return tuple(lines)


def _chance(answer: Answer, found: PermutationP) -> str:
    """How often lots alone make such a difference, in a hundred, and whether that counts as clear."""
    share, side = chance_of(found)
    often = (
        say("less than 1 time in 1,000") if share < 0.001 else say("about {often}", often=in_hundred(share))
    )
    how = _how(found)
    lots = (
        say("lots alone put fed colonies as far ahead {often}", often=often)
        if side == "ahead"
        else say("lots alone put fed colonies as far behind {often}", often=often)
    )
    if answer.clear_of_chance:
        return say("The difference is clear of chance: {lots} ({how}).", lots=lots, how=how)
    if share <= MOST:
        return say("Not clear of chance, for the range holds 0; {lots} ({how}).", lots=lots, how=how)
    return say(
        "Not clear of chance: {lots}, and at most {most} in 100 count as clear ({how}).",
        lots=lots, most=f"{MOST * HUNDRED:.0f}", how=how,
    )  # fmt: skip


def _how(found: PermutationP) -> str:
    """How the lots were gone through."""
    if found.draws:
        return say("{n:,} draws", n=found.draws)
    if found.arrangements > 10**9:
        return say("all the ways it could have fallen")
    return say("all {n:,} ways it could have fallen", n=found.arrangements)


def _elsewhere(found: Elsewhere, lines: tuple[float, ...], measure: Measure) -> str:
    if found.contrast is None:
        return say("In another yard: not to be told ({why}).", why=found.why_not)
    low, high = found.contrast.interval(LEVEL)
    measure = measure.over(low, high)
    return say(
        "In another yard, as yards like these go on average: about {middle}, from {range}{alike}.",
        middle=amount(found.contrast.estimate, measure), range=span(low, high, lines, measure.digits),
        alike=say(ALIKE) if found.alike else "",
    )  # fmt: skip


def _bounds(answer: Answer, design: Design, measure: Measure) -> str:
    assert answer.bounds is not None
    low, high = answer.bounds.interval(LEVEL)
    measure = measure.over(low, high)
    worst, best = answer.bounds.worst.estimate, answer.bounds.best.estimate
    unknown, lines = int(answer.came.missing.sum()), lines_beside(answer, design)
    return say(
        "Whatever became of the {n} whose end nobody knows, the difference lies from {middle} {unit}, and "
        "its range from {range}.",
        n=unknown, middle=span(worst, best, lines, measure.digits), unit=say(measure.many),
        range=span(low, high, lines, measure.digits),
    )  # fmt: skip


def _bounds_alone(answer: Answer, measure: Measure) -> str:
    """How far apart the groups could lie, where no answer goes with it."""
    assert answer.bounds is not None
    told = {
        "n": int(answer.came.missing.sum()), "unit": say(measure.many),
        "middle": span(answer.bounds.worst.estimate, answer.bounds.best.estimate, digits=measure.digits),
    }  # fmt: skip
    if answer.broken:
        return say(
            "Whatever became of the {n} whose end nobody knows, the difference between the groups lies from "
            "{middle} {unit}; the comparison is not fair, so that is no answer.",
            **told,
        )
    return say(
        "Whatever became of the {n} whose end nobody knows, the difference between the groups lies from "
        "{middle} {unit}; chance cannot be judged, so that is no answer.",
        **told,
    )


def _graded_apart(design: Design, came: Came) -> list[str]:
    """That days or people went with the groups in part, though not so far that it is unfair."""
    of, said = graded_apart(design, came), []
    if of.days > WORTH_SAYING and design.unit is Unit.COLONY:
        said.append(
            say("More of the unfed ones were graded first, so some of the difference may be the days’.")
            if of.earlier > of.later
            else say("More of the fed ones were graded first, so some of the difference may be the days’.")
        )
    if of.people > WORTH_SAYING:
        name, check, fed = of.by
        said.append(
            say(
                "{name} graded {unfed:.0f} of 100 unfed and {fed:.0f} of 100 fed ones, so some of the "
                "difference may be the people’s.",
                name=name, unfed=check * HUNDRED, fed=fed * HUNDRED,
            )
        )  # fmt: skip
    return said


def _graded_well(came: Came, measure: Measure) -> list[str]:
    """Double readings and guesses, where there are any."""
    said = []
    if twice := two_readings(came):
        said.append(
            say("{n} were graded twice: one reading is off by about {error}.", n=twice.colonies,
                error=amount(twice.one_reading, measure.finely))
        )  # fmt: skip
    if guessed := guesses(came):
        told = {"right": guessed.right, "asked": guessed.asked}
        said.append(
            say(
                "The grader guessed the group right for {right} of {asked}, so the groups could be told "
                "apart.",
                **told,
            )
            if guessed.told
            else say(
                "The grader guessed the group right for {right} of {asked}, no more than luck makes.", **told
            )
        )
    return said


def _grade(found: MadeGrade, answer: Answer, design: Design) -> list[str]:
    """The shares by fitted frames, and the counted ones beside them."""
    counted = say("Counted one by one: {shares}", shares=counted_shares(found, answer, design))
    return [fitted_shares(found, design), counted]


def _losses(found: Losses, answer: Answer, design: Design) -> str:
    """Losses as a thing to watch."""
    (fed, all_fed), (check, all_check) = found.fed, found.check
    known = answer.came.missing.any()
    chance = say("clear of chance this time") if found.p <= 2 * MOST else say("chance alone may make that")
    if found.lots is not None:
        chance = f"{chance} ({_how(found.lots)})"
    if design.unit is Unit.YARD:
        chance = say("{chance}, each yard counted as one", chance=chance)
    return say(
        "Dead or gone: {fed} of {all_fed} {fed_group} and {check} of {all_check} {check_group}{known}; "
        "{chance}. Watch it over seasons: one season promises nothing about losses.",
        fed=fed, all_fed=all_fed, check=check, all_check=all_check,
        fed_group=group_name(design.arms[design.primary]), check_group=group_name(design.arms[CHECK]),
        known=say(", of those whose end is known") if known else "", chance=chance,
    )  # fmt: skip


def _visits(found: OverVisits, answer: Answer, design: Design, measure: Measure) -> str:
    if found.contrast is None:
        return say("All {n} visits together: not to be told.", n=found.visits)
    low, high = found.contrast.interval(LEVEL)
    measure = measure.over(low, high)
    middle = amount(found.contrast.estimate, measure)
    said = say(
        "All {n} visits together, at the last: {middle}, from {range}.", n=found.visits, middle=middle,
        range=span(low, high, lines_beside(answer, design), measure.digits),
    )  # fmt: skip
    return f"{said}{_another(class_of_interval(low, high, design.lines), answer, design)}"


def _beside(one: Beside, answer: Answer, design: Design, measure: Measure) -> str:
    low, high = one.contrast.interval(LEVEL)
    measure = measure.over(low, high)
    head = {
        Look.LEAST_YARD: say("Without {yard}, which carries most of it", yard=one.of),
        Look.MOST_YARD: say("Without {yard}, which pulls most against it", yard=one.of),
    }.get(one.look, say(one.look.value))
    said = say(
        "{look}: {middle}, from {range}{alike}.",
        look=head[:1].upper() + head[1:], middle=amount(one.contrast.estimate, measure),
        range=span(low, high, lines_beside(answer, design), measure.digits),
        alike=say(ALIKE) if one.alike else "",
    )  # fmt: skip
    return f"{said}{_another(one.given, answer, design)}"


def _another(given: AnswerClass, answer: Answer, design: Design) -> str:
    """That a look would give another class than the one said; "" where it gives the same in words."""
    would = clause(given, design)
    if would == clause_of(answer, design):
        return ""
    return " " + say("This look would give another answer: {answer}.", answer=would)


def _other(one: Together, design: Design, measure: Measure) -> str:
    first, second = group_name(design.arms[one.first]), group_name(design.arms[one.second])
    measure = measure.over(one.low, one.high)
    told = {
        "second": second[:1].upper() + second[1:], "first": first,
        "middle": amount(one.contrast.estimate, measure),
        "range": span(one.low, one.high, digits=measure.digits),
    }  # fmt: skip
    if one.told_apart:
        return say("{second} less {first}: {middle}, from {range}.", **told)
    return say(
        "{second} less {first}: {middle}, from {range}; not told apart, so neither stands first.", **told
    )
