"""A trial in words and as a document: what was drawn, what it can answer, where it stands."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from breadline.jobs.check_group_file import design_document, trial_document
from breadline.jobs.check_group_said import retold
from breadline.jobs.check_group_size_told import where_words
from breadline.jobs.check_group_trial import Trial
from breadline.jobs.lock_stands import local_day
from breadline.jobs.verdict_costs import has_to_cover
from breadline.language import noted, noted_as, say, say_as
from breadline.need.words import counted, day_and_year
from breadline.trial.amounts import benefit_words
from breadline.trial.colonies import CHECK
from breadline.trial.design import CheckArm, Design, Outcome, Unit

MOST_NAMED = 6  # yards, each with its number; of more it is told how many in each
OUTCOMES = {"frames": Outcome.FRAMES, "honey": Outcome.HONEY, "grade": Outcome.MAKING_GRADE}
CHECK_ARMS = {"same-care": CheckArm.SAME_CARE, "usual": CheckArm.USUAL, "half": CheckArm.HALF,
              "sugar": CheckArm.SUGAR}  # fmt: skip
ASKS = {
    CheckArm.SAME_CARE: noted("It answers whether feeding pays: the protein feed, and the sugar in it."),
    CheckArm.USUAL: noted(
        "It answers whether the new way beats what is usual here, not whether feeding pays."
    ),
    CheckArm.HALF: noted(
        "It answers whether the second half is worth it, never whether feeding pays, and needs about four "
        "times the colonies."
    ),
    CheckArm.SUGAR: noted(
        "It answers whether the protein feed pays over a patty of sugar alone, not whether feeding pays."
    ),
}
GETS = {
    CheckArm.SAME_CARE: noted_as("left", "unfed"),
    CheckArm.USUAL: noted_as("left", "on usual practice"),
    CheckArm.HALF: noted_as("left", "on half the rate"),
    CheckArm.SUGAR: noted_as("left", "on sugar alone"),
}


def headline(trial: Trial) -> str:
    """How many stay unfed, and where: the sentence the user came for."""
    started = trial.design.started
    unfed = sum(one.arm == CHECK for one in started)
    all_of_them = counted(len(started), "colony", "colonies")
    gets = say_as("left", GETS[trial.design.check_arm])
    over = trial.locked_at is not None and not trial.without_end
    if trial.design.unit is Unit.YARD:
        yards = list(dict.fromkeys(one.yard for one in started if one.arm == CHECK))
        of = {
            "n": f"{len(yards):,}", "yards": counted(len({one.yard for one in started}), "yard"),
            "gets": gets, "named": _listed(yards), "unfed": f"{unfed:,}", "colonies": all_of_them,
        }  # fmt: skip
        if over:
            return say(
                "{n} of {yards} were left {gets}: {named}; {unfed} of the {colonies} graded stand there.",
                **of,
            )
        return say(
            "Leave {n} of {yards} {gets}: {named}; {unfed} of the {colonies} graded stand there.", **of
        )
    each = _unfed_by_yard(trial)
    where = _listed([say("{n} in {yard}", n=n, yard=yard) for yard, n in each])
    if len(each) > MOST_NAMED:
        where = where_words(tuple(n for _, n in each))
    told = {"n": f"{unfed:,}", "colonies": all_of_them, "gets": gets, "where": where}
    if over:
        return say("{n} of {colonies} were left {gets}: {where}.", **told)
    return say("Leave {n} of {colonies} {gets}: {where}.", **told)


def counted_words(design: Design) -> str:
    """The outcome that pays, with its grade line."""
    outcome = say(design.outcome.value)
    if design.grade is None:
        return outcome
    return say("{outcome}, {grade:g} frames or more", outcome=outcome, grade=design.grade)


def spread_words(trial: Trial) -> str:
    """How the groups stand in the rows."""
    return {
        True: say(
            "No three check hives stand side by side, and row ends are shared: drift favours no group."
        ),
        False: say("Check hives stand side by side in places: drift may favour one group."),
        None: "",
    }[trial.design.staggered]


def short_stand(trial: Trial, today: date) -> str:
    """What a trial waits for, in a few words for a list; "" where every colony has its end."""
    if trial.locked_at is None:
        return say("check group drawn, not locked")
    if today < trial.design.grading:
        return say("check group graded {day}", day=day_and_year(trial.design.grading))
    left = len(trial.without_end)
    return say("check group: {n:,} without an end", n=left) if left else ""


def stand_words(trial: Trial, today: date) -> str:
    """Where the trial stands on a day."""
    left = len(trial.without_end)
    grading = day_and_year(trial.design.grading)
    if trial.locked_at is None:
        if trial.draws == 1:
            return say("Drawn, not yet locked. Lock it before the first feed goes out.")
        return say(
            "Drawn, {n} times so far, not yet locked. Lock it before the first feed goes out.", n=trial.draws
        )
    if today < trial.design.grading:
        on = day_and_year(local_day(trial.locked_at))
        return say(
            "Locked on {on}. Colonies are graded on {grading}; no answer before.", on=on, grading=grading
        )
    if left:
        open_ends = counted(left, "colony", "colonies")
        return say(
            "{colonies} of {all:,} without an end: blank is none.", colonies=open_ends,
            all=len(trial.design.started),
        )  # fmt: skip
    return say("Every colony has its end: ask for the verdict.")


def trial_lines(trial: Trial, today: date) -> list[str]:
    """A trial for the terminal."""
    design, lines = trial.design, trial.design.lines
    honey = design.outcome is Outcome.HONEY
    drawn = say("Drawn by lot with seed {seed}", seed=design.seed)
    again = say(", draw number {n}: every draw counts and is told", n=trial.draws) if trial.draws > 1 else ""
    told = [
        headline(trial),
        say(ASKS[design.check_arm]),
        say(
            "Counted: {what}. It pays from {benefit} more a colony; less than {margin} either way would "
            "not matter.",
            what=counted_words(design), benefit=benefit_words(design.lines.break_even, design.outcome),
            margin=benefit_words(lines.margin, design.outcome) if honey else f"{lines.margin:.2g}",
        ),
        *has_to_cover(design.check_arm),
        f"{drawn}{again}. {spread_words(trial)}".strip(),
        *retold(trial.said),
        stand_words(trial, today),
    ]  # fmt: skip
    if trial.seal:
        told.append(say("Seal {seal}", seal=trial.seal))
    return told


def drawn_document(trial: Trial, file: str, today: date) -> dict[str, Any]:
    """What ``draw`` and ``lock`` print with --json."""
    return {
        "shape": "breadline.check_group/1",
        "file": file,
        "headline": headline(trial),
        "asks": say(ASKS[trial.design.check_arm]),
        "stands": stand_words(trial, today),
        "check": sum(one.arm == CHECK for one in trial.design.started),
        "colonies": len(trial.design.started),
        "by_yard": [{"yard": yard, "check": n} for yard, n in _unfed_by_yard(trial)],
        "design": design_document(trial.design),
        "draws": trial.draws,
        "seal": trial.seal,
        "locked_at": trial_document(trial)["locked_at"],
        "without_end": [one.tag for one in trial.without_end],
        "said": list(trial.said),
    }


def _unfed_by_yard(trial: Trial) -> list[tuple[str, int]]:
    found = dict.fromkeys((one.yard for one in trial.design.started), 0)
    for one in trial.design.started:
        found[one.yard] += one.arm == CHECK
    return list(found.items())


def _listed(names: Sequence[str]) -> str:
    if len(names) == 1:
        return names[0]
    return say("{first} and {last}", first=", ".join(names[:-1]), last=names[-1])
