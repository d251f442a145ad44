"""What stands behind a verdict, in sentences: what was done, how sure it is, what other looks say."""

from __future__ import annotations

from breadline.trial.classes import LEVEL
from breadline.trial.colonies import CHECK, Became
from breadline.trial.design import Allocation, CheckArm, Design, Unit
from breadline.verdict.amounts import Measure, amount, span
from breadline.verdict.answer import Answer, Arm
from breadline.verdict.contrast import Contrast
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
from breadline.verdict.words_held_back import chance_of, in_hundred

HUNDRED = 100
ALIKE = " (the yards did not differ measurably)"
NONE_LIVED = (
    "No check colony lived, so none made grade. From how many frames on feeding pays goes by how the fed "
    "ones lie; what a frame more would have been worth to an unfed colony cannot be told."
)
ROWS_NOT_TOLD = (
    "The draw did not write down in which yards unfed hives were kept apart, or which hives stood at row "
    "ends. So only lots are counted that could have fallen either way, with the ends of rows as they fell."
)
CHECK_SAID: dict[CheckArm, str] = {
    CheckArm.SAME_CARE: "Check colonies had the same care and sugar, and no protein feed: what differs "
    "is the "
    "protein feed and the sugar in it.",
    CheckArm.USUAL: "Check colonies had the usual practice: what differs is this feed against that.",
    CheckArm.HALF: "Check colonies had half the rate: this says whether the second half is worth it, not "
    "whether feeding pays.",
    CheckArm.SUGAR: "Check colonies had the same care and a patty of sugar alone: what differs is the "
    "protein feed, not the sugar.",
}


def done_lines(answer: Answer, design: Design, measure: Measure) -> tuple[str, ...]:
    """How many, how drawn, how they ended."""
    lines = [_counts(answer, design), _drawn(design), _check_said(design)]
    for place, arm in enumerate(answer.arms):
        gone = _gone(answer.came, place, arm)
        unknown = f", {arm.unknown} with an end nobody knows" if arm.unknown else ""
        mean = f", {amount(arm.mean, measure)} on average" if arm.mean == arm.mean else ""
        lines.append(f"{arm.name[0].upper()}{arm.name[1:]}: {arm.started} started{gone}{unknown}{mean}.")
    lines += _ends_said(answer)
    return tuple(lines)


def _gone(came: Came, place: int, arm: Arm) -> str:
    """Those of a group that count as 0, each kind by itself."""
    of = came.ends.arm == place
    died = int((of & came.died).sum())
    merged = sum(row.became is Became.MERGED for row, here in zip(came.ended, of, strict=True) if here)
    weak = arm.lost - died - merged
    kinds = ((died, "dead or gone"), (merged, "merged into another"), (weak, "below a frame"))
    said = " and ".join(f"{count} {what}" for count, what in kinds if count)
    return f", {said}, counted as 0" if said else ", none lost"


def _check_said(design: Design) -> str:
    said = CHECK_SAID[design.check_arm]
    if design.allocation is Allocation.UNKNOWN:  # nobody has said anything of the design
        return said.replace("had", "are taken to have had", 1)
    return said


def _counts(answer: Answer, design: Design) -> str:
    yards = len(answer.came.yards)
    where = "one yard" if yards == 1 else f"{yards} yards"
    what = "whole yards" if design.unit is Unit.YARD else "colonies"
    return f"{sum(arm.started for arm in answer.arms)} colonies in {where}, {what} compared."


def _drawn(design: Design) -> str:
    return {
        Allocation.DRAWN: "Which were fed was drawn by lot"
        + (f" (number {design.seed})." if design.seed else "."),
        Allocation.CHOSEN: "Which were fed was chosen by hand.",
        Allocation.UNKNOWN: "It is not said how the fed ones were chosen, so it teaches next season nothing.",
    }[design.allocation]


def _ends_said(answer: Answer) -> list[str]:
    """Ends other than graded and lost, counted by arm."""
    told = (Became.RECEIVED, Became.REQUEENED, Became.ROBBED, Became.RESCUED, Became.SPLIT)
    said = []
    for became in told:
        count = sum(row.became is became for row in answer.came.ended)
        if count:
            said.append(f"{count} {became.value}, counted as graded, both groups alike.")
    if answer.came.baselines_filled:
        said.append(f"{answer.came.baselines_filled} without a grading before stand at the mean of all.")
    if answer.came.baseline_left_out:
        said.append("Too many lack a grading before; it is not used.")
    return said


def sure_lines(answer: Answer, design: Design, measure: Measure) -> tuple[str, ...]:
    """How sure the answer is, and what other looks say."""
    if answer.here is None:
        return ()
    lines = []
    if answer.permutation:
        lines.append(_chance(answer, answer.permutation))
        if rows_not_told(design):
            lines.append(ROWS_NOT_TOLD)
    if answer.grade:
        lines += _grade(answer.grade)
        if answer.arms[CHECK].lost == answer.arms[CHECK].started - answer.arms[CHECK].unknown:
            lines.append(NONE_LIVED)
    if answer.careful:
        lines.append(
            "A group is small and colonies were lost, so the range is that of the wider of two ways to "
            "judge spread."
        )
    if answer.elsewhere:
        lines.append(_elsewhere(answer.elsewhere, measure))
    if answer.bounds:
        lines.append(_bounds(answer, measure))
    if answer.over_visits:
        lines.append(_visits(answer.over_visits, measure))
    if answer.losses:
        lines.append(_losses(answer.losses, answer.came))
    lines += _graded_apart(design, answer.came)
    lines += _graded_well(answer.came, measure)
    lines += [_beside(one, measure) for one in answer.beside]
    lines += [_other(one, design, measure) for one in answer.others]
    return tuple(lines)


def _chance(answer: Answer, found: PermutationP) -> str:
    """How often lots alone make such a difference, in a hundred, and whether that counts as clear."""
    share, side = chance_of(found)
    often = "less than 1 time in 1,000" if share < 0.001 else f"about {in_hundred(share)}"
    how = f"{found.draws:,} draws" if found.draws else f"all {found.arrangements:,} ways it could have fallen"
    if not found.draws and found.arrangements > 10**9:
        how = "all the ways it could have fallen"
    lots = f"lots alone put fed colonies as far {side} {often}"
    if answer.clear_of_chance:
        return f"The difference is clear of chance: {lots} ({how})."
    if share <= MOST:
        return f"Not clear of chance, for the range holds 0; {lots} ({how})."
    most = f"at most {MOST * HUNDRED:.0f} in 100 count as clear"
    return f"Not clear of chance: {lots}, and {most} ({how})."


def _elsewhere(found: Elsewhere, measure: Measure) -> str:
    if found.contrast is None:
        return f"In another yard: not to be told ({found.why_not})."
    low, high = found.contrast.interval(LEVEL)
    alike = ALIKE if found.alike else ""
    middle = amount(found.contrast.estimate, measure)
    return (
        f"In another yard, as yards like these go on average: about {middle}, from {span(low, high)}{alike}."
    )


def _bounds(answer: Answer, measure: Measure) -> str:
    assert answer.bounds is not None
    low, high = answer.bounds.interval(LEVEL)
    worst, best = answer.bounds.worst.estimate, answer.bounds.best.estimate
    unknown = int(answer.came.missing.sum())
    return (
        f"Whatever became of the {unknown} whose end nobody knows, the difference lies from "
        f"{span(worst, best)} {measure.many}, and its range from {span(low, high)}."
    )


def _graded_apart(design: Design, came: Came) -> list[str]:
    """That days or people went with the groups in part, though not so far that it is unfair."""
    of, said = graded_apart(design, came), []
    if of.days > WORTH_SAYING and design.unit is Unit.COLONY:
        first = "unfed" if of.earlier > of.later else "fed"
        said.append(
            f"More of the {first} ones were graded first, so some of the difference may be the days’."
        )
    if of.people > WORTH_SAYING:
        name, check, fed = of.by
        said.append(
            f"{name} graded {check * HUNDRED:.0f} of 100 unfed and {fed * HUNDRED:.0f} of 100 fed ones, so "
            "some of the difference may be the people’s."
        )
    return said


def _graded_well(came: Came, measure: Measure) -> list[str]:
    """Double readings and guesses, where there are any."""
    said = []
    if twice := two_readings(came):
        said.append(
            f"{twice.colonies} were graded twice: one reading is off by about "
            f"{amount(twice.one_reading, measure)}."
        )
    if guessed := guesses(came):
        could = "so the groups could be told apart" if guessed.told else "no more than luck makes"
        said.append(f"The grader guessed the group right for {guessed.right} of {guessed.asked}, {could}.")
    return said


def _grade(found: MadeGrade) -> list[str]:
    """The shares by fitted frames, and the counted ones beside them."""
    low, high = (round(v * HUNDRED) for v in (found.more.low, found.more.high))
    said = [
        f"Making grade: {found.fed * HUNDRED:.0f} of 100 fed and {found.check * HUNDRED:.0f} of 100 check, "
        f"by how frames lie in each group; {_more(round(found.more.middle * HUNDRED))}, "
        f"from {_points(low)} to {_points(high)} in 100.",
        f"Counted one by one: {found.raw_fed * HUNDRED:.0f} of 100 and {found.raw_check * HUNDRED:.0f} of 100"
        + (_counted(found.raw) if found.raw else "."),
    ]
    return said


def _more(points: int) -> str:
    return f"{abs(points)} {'fewer' if points < 0 else 'more'} where fed"


def _points(value: int) -> str:
    return f"−{-value}" if value < 0 else str(value)


def _counted(raw: Contrast) -> str:
    low, high = (round(v * HUNDRED) for v in raw.interval(LEVEL))
    return f"; the difference lies from {_points(low)} to {_points(high)} in 100, by itself."


def _losses(found: Losses, came: Came) -> str:
    """Losses as a thing to watch."""
    (fed, all_fed), (check, all_check) = found.fed, found.check
    chance = "clear of chance this time" if found.p <= 1.0 - LEVEL else "chance alone may make that"
    known = ", of those whose end is known" if came.missing.any() else ""
    return (
        f"Dead or gone: {fed} of {all_fed} fed and {check} of {all_check} check{known}; {chance}. Watch it "
        "over seasons: "
        "one season promises nothing about losses."
    )


def _visits(found: OverVisits, measure: Measure) -> str:
    if found.contrast is None:
        return f"All {found.visits} visits together: not to be told."
    low, high = found.contrast.interval(LEVEL)
    middle = amount(found.contrast.estimate, measure)
    return f"All {found.visits} visits together, at the last: {middle}, from {span(low, high)}."


def _beside(one: Beside, measure: Measure) -> str:
    low, high = one.contrast.interval(LEVEL)
    head = {
        Look.LEAST_YARD: f"Without {one.of}, which carries most of it",
        Look.MOST_YARD: f"Without {one.of}, which pulls most against it",
    }.get(one.look, f"{one.look.value[0].upper()}{one.look.value[1:]}")
    said = f"{head}: {amount(one.contrast.estimate, measure)}, from {span(low, high)}"
    return f"{said}{ALIKE if one.alike else ''}."


def _other(one: Together, design: Design, measure: Measure) -> str:
    first, second = design.arms[one.first], design.arms[one.second]
    said = amount(one.contrast.estimate, measure)
    end = "" if one.told_apart else "; not told apart, so neither stands first"
    return f"{second[0].upper()}{second[1:]} less {first}: {said}, from {span(one.low, one.high)}{end}."
