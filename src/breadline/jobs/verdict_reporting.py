"""The items that guidelines for livestock trials ask a report to have, each with what this trial says."""

from __future__ import annotations

from breadline.jobs.verdict import Verdict
from breadline.jobs.verdict_prices_now import line_at
from breadline.language import noted, say, say_as, say_counted
from breadline.need.words import counted, day_and_year
from breadline.trial.colonies import AS_NOTHING, Became
from breadline.trial.design import Allocation, CheckArm, Design, Unit, group_name
from breadline.verdict.amounts import Measure, amount, plain, span
from breadline.verdict.grading import TwoReadings, guesses, two_readings
from breadline.verdict.words_adjusted import ONCE, adjusted_for, yards_count_once
from breadline.verdict.words_difference import apart_said, lines_beside, needed_said

NOT_SAID = noted("Not said.")


def reporting_items(one: Verdict) -> tuple[tuple[str, str], ...]:
    """Item and answer, in the order in which a report has them; what nobody said is "Not said."."""
    return (*_methods(one), *_people(one), *_results(one))


def _methods(one: Verdict) -> tuple[tuple[str, str], ...]:
    design = one.finished.design
    whole = design.unit is Unit.YARD
    level = say("Whole yards.") if whole else say("Single colonies inside their yard.")
    drawn = {
        Allocation.DRAWN: say("By lot.")
        if design.seed is None
        else say("By lot, number {n}.", n=design.seed),
        Allocation.CHOSEN: say("Chosen by hand."),
        Allocation.UNKNOWN: say(NOT_SAID),
    }[design.allocation]
    blocks = len(set(one.answer.came.ends.block.tolist()))
    kept = say("Pairs or sets of yards: {n}.", n=blocks)
    if not whole:
        kept = say("Sets of colonies, or yards: {n}.", n=blocks)
    return (
        (say("Level at which lots were drawn"), level),
        (
            say("Levels of organisation"),
            say("Frames stand in colonies, colonies in yards; a colony is one row."),
        ),
        (
            say("What was given"),
            say(
                "{fed} against the check group: {check}.",
                fed=group_name(design.arms[design.primary]),
                check=say(design.check_arm.value),
            ),
        ),
        (
            say("Question"),
            _question(one),
        ),
        (
            say("Outcome"),
            say(
                "{outcome}, of each colony started; lost ones 0. Graded: {when}",
                outcome=_outcome(design),
                when=_graded(one),
            ),
        ),
        (say("Difference that matters"), f"{apart_said(one.answer, design, one.measure)}."),
        (say("How lots were drawn"), drawn),
        (say("Kept alike by drawing"), kept if blocks > 1 else say("Nothing.")),
        (
            say("Number of colonies, and why"),
            f"{len(design.started)}. {one.why_so_many or say('Why so many: not said.')}",
        ),
        (say("Analysis"), _analysis(one)),
    )


def _outcome(design: Design) -> str:
    said = say(design.outcome.value)
    if design.grade is None:
        return said
    return say("{outcome} ({n:g} frames or more)", outcome=said, n=design.grade)


def _question(one: Verdict) -> str:
    design = one.finished.design
    if design.lines.break_even <= 0:
        return say("Does it add anything?")
    needs = needed_said(one.answer, design, one.measure, line_at(one.now))
    if one.now is not None:
        return say("Does it add at least {amount}, the line it is judged by?", amount=needs)
    if design.check_arm is not CheckArm.SAME_CARE:
        return say("Does it add at least {amount}, what it cost more than the check group?", amount=needs)
    return say("Does it add at least {amount}, what feeding cost?", amount=needs)


def _graded(one: Verdict) -> str:
    ended = one.answer.came.ended  # the day on which one died is no day of grading
    days = sorted({row.graded_on for row in ended if row.graded_on and row.became not in AS_NOTHING})
    if not days:
        return say("on a day not said.")
    return (
        f"{day_and_year(days[0])}."
        if len(days) == 1
        else say("{first} to {last}.", first=day_and_year(days[0]), last=day_and_year(days[-1]))
    )


def _analysis(one: Verdict) -> str:
    settled = (
        say("Ranges 90 %. Settled before the ends were seen: yes.")
        if one.locked
        else say("Ranges 90 %. Settled before the ends were seen: not said.")
    )
    return f"{_worked_out(one)} {settled}"


def _worked_out(one: Verdict) -> str:
    """How the difference was worked out, with what it was adjusted for in truth."""
    answer, design = one.answer, one.finished.design
    if answer.here is None:
        return say("No difference was worked out.")
    what = adjusted_for(answer, design)
    if design.unit is Unit.YARD:
        text = (
            say("Means of yards, adjusted for {what}; t on yards, lots redrawn as they were.", what=what)
            if what
            else say("Plain means of yards; t on yards, lots redrawn as they were.")
        )
        return f"{text} {say(ONCE)}" if yards_count_once(answer, design) else text
    text = (
        say("Difference of the groups by covariance, adjusted for {what}.", what=what)
        if what
        else say("Plain difference of the groups.")
    )
    how = say("Errors HC2, degrees of freedom Bell–McCaffrey; lots redrawn as they were.")
    if answer.elsewhere is None:
        return f"{text} {how}"
    return f"{text} {how} {say('Another yard: mixed model, Kenward–Roger.')}"


def _people(one: Verdict) -> tuple[tuple[str, str], ...]:
    came = one.answer.came
    people = sorted({row.grader for row in came.ended if row.grader})
    twice, guessed = two_readings(came), guesses(came)
    who = f"{counted(len(people), 'person', 'people')}." if people else say(NOT_SAID)
    if guessed is None:
        hidden = say("Not said; nobody wrote down guesses.")
    else:
        told = {"right": guessed.right, "asked": guessed.asked}
        hidden = (
            say(
                "The group was guessed right for {right} of {asked}, more than luck makes: the groups "
                "could be told.",
                **told,
            )
            if guessed.told
            else say("The group was guessed right for {right} of {asked}, no more than luck makes.", **told)
        )
    again = say(NOT_SAID) if twice is None else twice_said(twice, one.measure.finely)
    return (
        (say("Who graded"), who), (say("Could the grader tell the groups"), hidden),
        (say("Error of grading"), again),
    )  # fmt: skip


def twice_said(twice: TwoReadings, measure: Measure) -> str:
    """How far readings of the same colonies lie apart, and on which side the second person's lie."""
    apart = amount(abs(twice.apart), measure)
    told = {"n": twice.colonies, "error": amount(twice.one_reading, measure), "apart": apart}
    if apart == amount(0.0, measure):
        return say(
            "{n} graded twice; one reading is off by {error}, the second person's are as high as the first's "
            "on average.",
            **told,
        )
    if twice.apart < 0:
        return say(
            "{n} graded twice; one reading is off by {error}, the second person's {apart} below the first's.",
            **told,
        )
    return say(
        "{n} graded twice; one reading is off by {error}, the second person's {apart} above the first's.",
        **told,
    )


def _results(one: Verdict) -> tuple[tuple[str, str], ...]:
    answer, design = one.answer, one.finished.design
    here = answer.here
    estimate = say("None was worked out.")
    if here is not None:
        measure = one.measure.over(here.low, here.high)
        range_said = span(here.low, here.high, lines_beside(answer, design), measure.digits)
        estimate = f"{amount(here.contrast.estimate, measure)}, {range_said}."
    yards = "; ".join(_flow_in(one, place, name) for place, name in enumerate(answer.came.yards[:MOST_YARDS]))
    more = len(answer.came.yards) - MOST_YARDS
    return (
        (say("Where colonies went"), " ".join(_flow(one, arm, name) for arm, name in enumerate(design.arms))),
        (
            say("By yard, fed and check started")
            if len(design.arms) == 2
            else say("By yard, {group} and check started", group=group_name(design.arms[design.primary])),
            yards
            + (say_counted("; and {n} more yards.", "; and {n} more yards.", more) if more > 0 else "."),
        ),
        (say("Strength before"), _before(one)),
        (
            say("Counted in the answer"),
            say("{n} of {all}, as drawn.", n=int((~answer.came.missing).sum()), all=len(design.started)),
        ),
        (say("Difference and its range"), estimate),
        (
            say("Departures from what was settled"),
            " ".join(one.deviations) or (say("None.") if one.locked else say(NOT_SAID)),
        ),
        (say("For whom it holds"), say("These colonies, these yards, this season.")),
    )


MOST_YARDS = 12


def _flow(one: Verdict, arm: int, name: str) -> str:
    rows = [
        r for r, a in zip(one.answer.came.ended, one.answer.came.ends.arm.tolist(), strict=True) if a == arm
    ]
    counts = [(became, sum(row.became is became for row in rows)) for became in Became]
    said = ", ".join(
        say("{n} {end}", n=count, end=say_as("end", became.value)) for became, count in counts if count
    )
    name = group_name(name)
    return say("{group}: {n} started, {ends}.", group=name[:1].upper() + name[1:], n=len(rows), ends=said)


def _flow_in(one: Verdict, place: int, name: str) -> str:
    came, design = one.answer.came, one.finished.design
    here = came.yard == place
    fed, check = (int((here & (came.ends.arm == arm)).sum()) for arm in (design.primary, 0))
    return say("{yard}: {fed} and {check}", yard=name, fed=fed, check=check)


def _before(one: Verdict) -> str:
    came, design = one.answer.came, one.finished.design
    if not came.ends.baseline.shape[1]:
        return say(NOT_SAID)
    means = [float(came.ends.baseline[came.ends.arm == arm, 0].mean()) for arm in range(len(design.arms))]
    return (
        ", ".join(f"{group_name(name)} {plain(mean)}" for name, mean in zip(design.arms, means, strict=True))
        + "."
    )
