"""The items that guidelines for livestock trials ask a report to have, each with what this trial says."""

from __future__ import annotations

from breadline.jobs.verdict import Verdict
from breadline.need.words import counted, day_and_year
from breadline.trial.colonies import AS_NOTHING, Became
from breadline.trial.design import Allocation, Unit
from breadline.verdict.amounts import amount, span
from breadline.verdict.grading import guesses, two_readings

NOT_SAID = "Not said."


def reporting_items(one: Verdict) -> tuple[tuple[str, str], ...]:
    """Item and answer, in the order in which a report has them; what nobody said is "Not said."."""
    return (*_methods(one), *_people(one), *_results(one))


def _methods(one: Verdict) -> tuple[tuple[str, str], ...]:
    design = one.finished.design
    whole = design.unit is Unit.YARD
    level = "Whole yards." if whole else "Single colonies inside their yard."
    drawn = {
        Allocation.DRAWN: "By lot" + ("." if design.seed is None else f", number {design.seed}."),
        Allocation.CHOSEN: "Chosen by hand.",
        Allocation.UNKNOWN: NOT_SAID,
    }[design.allocation]
    lines = design.lines
    blocks = len(set(one.answer.came.ends.block.tolist()))
    kept = "Pairs or sets of yards" if whole else "Sets of colonies, or yards"
    return (
        ("Level at which lots were drawn", level),
        ("Levels of organisation", "Frames stand in colonies, colonies in yards; a colony is one row."),
        (
            "What was given",
            f"{design.arms[design.primary]} against the check group: {design.check_arm.value}.",
        ),
        (
            "Question",
            f"Does it add at least {amount(lines.break_even, one.measure)}, what feeding cost?"
            if lines.break_even > 0
            else "Does it add anything?",
        ),
        ("Outcome", f"{design.outcome.value}, of each colony started; lost ones 0. Graded: {_graded(one)}"),
        ("Difference that matters", f"{amount(lines.margin, one.measure)}."),
        ("How lots were drawn", drawn),
        ("Kept alike by drawing", f"{kept}: {blocks}." if blocks > 1 else "Nothing."),
        (
            "Number of colonies, and why",
            f"{len(design.started)}. {one.why_so_many or 'Why so many: not said.'}",
        ),
        ("Analysis", _analysis(one)),
    )


def _graded(one: Verdict) -> str:
    ended = one.answer.came.ended  # the day on which one died is no day of grading
    days = sorted({row.graded_on for row in ended if row.graded_on and row.became not in AS_NOTHING})
    if not days:
        return "on a day not said."
    return (
        f"{day_and_year(days[0])}."
        if len(days) == 1
        else f"{day_and_year(days[0])} to {day_and_year(days[-1])}."
    )


def _analysis(one: Verdict) -> str:
    design = one.finished.design
    if design.unit is Unit.YARD:
        text = "Means of yards, freed of colonies' baselines; t on yards, and all ways the lots could fall."
    else:
        text = (
            "Covariance on group, baseline and the blocks drawn in; errors HC2, degrees of freedom "
            "Bell–McCaffrey; lots redrawn as they were. Another yard: mixed model, Kenward–Roger."
        )
    return f"{text} Ranges 90 %. Settled before the ends were seen: {'yes' if one.locked else 'not said'}."


def _people(one: Verdict) -> tuple[tuple[str, str], ...]:
    came = one.answer.came
    people = sorted({row.grader for row in came.ended if row.grader})
    twice, guessed = two_readings(came), guesses(came)
    who = f"{counted(len(people), 'person', 'people')}." if people else NOT_SAID
    if guessed is None:
        hidden = "Not said; nobody wrote down guesses."
    else:
        more = "more than luck makes: the groups could be told" if guessed.told else "no more than luck makes"
        hidden = f"The group was guessed right for {guessed.right} of {guessed.asked}, {more}."
    again = (
        NOT_SAID
        if twice is None
        else f"{twice.colonies} graded twice; one reading is off by "
        f"{amount(twice.one_reading, one.measure)}, the second person's "
        f"{amount(twice.apart, one.measure)} above the first's."
    )
    return (("Who graded", who), ("Could the grader tell the groups", hidden), ("Error of grading", again))


def _results(one: Verdict) -> tuple[tuple[str, str], ...]:
    answer, design = one.answer, one.finished.design
    here = answer.here
    estimate = (
        "None was worked out."
        if here is None
        else f"{amount(here.contrast.estimate, one.measure)}, {span(here.low, here.high)}."
    )
    yards = "; ".join(_flow_in(one, place, name) for place, name in enumerate(answer.came.yards[:MOST_YARDS]))
    more = len(answer.came.yards) - MOST_YARDS
    return (
        ("Where colonies went", " ".join(_flow(one, arm, name) for arm, name in enumerate(design.arms))),
        ("By yard, fed and check started", yards + (f"; and {more} more yards." if more > 0 else ".")),
        ("Strength before", _before(one)),
        ("Counted in the answer", f"{int((~answer.came.missing).sum())} of {len(design.started)}, as drawn."),
        ("Difference and its range", estimate),
        (
            "Departures from what was settled",
            " ".join(one.deviations) or ("None." if one.locked else NOT_SAID),
        ),
        ("For whom it holds", "These colonies, these yards, this season."),
    )


MOST_YARDS = 12


def _flow(one: Verdict, arm: int, name: str) -> str:
    rows = [
        r for r, a in zip(one.answer.came.ended, one.answer.came.ends.arm.tolist(), strict=True) if a == arm
    ]
    counts = [(became, sum(row.became is became for row in rows)) for became in Became]
    said = ", ".join(f"{count} {became.value}" for became, count in counts if count)
    return f"{name[0].upper()}{name[1:]}: {len(rows)} started, {said}."


def _flow_in(one: Verdict, place: int, name: str) -> str:
    came, design = one.answer.came, one.finished.design
    here = came.yard == place
    fed, check = (int((here & (came.ends.arm == arm)).sum()) for arm in (design.primary, 0))
    return f"{name}: {fed} and {check}"


def _before(one: Verdict) -> str:
    came, design = one.answer.came, one.finished.design
    if not came.ends.baseline.shape[1]:
        return NOT_SAID
    means = [float(came.ends.baseline[came.ends.arm == arm, 0].mean()) for arm in range(len(design.arms))]
    return ", ".join(f"{name} {mean:.1f}" for name, mean in zip(design.arms, means, strict=True)) + "."
