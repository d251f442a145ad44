"""A trial in words and as a document: what was drawn, what it can answer, where it stands."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from breadline.jobs.check_group_file import design_document, trial_document
from breadline.jobs.check_group_size_told import where_words
from breadline.jobs.check_group_trial import Trial
from breadline.language import say
from breadline.need.words import counted, day_and_year
from breadline.trial.amounts import benefit_words
from breadline.trial.colonies import CHECK
from breadline.trial.design import CheckArm, Outcome, Unit

MOST_NAMED = 6  # yards, each with its number; of more it is told how many in each
OUTCOMES = {"frames": Outcome.FRAMES, "honey": Outcome.HONEY, "grade": Outcome.MAKING_GRADE}
CHECK_ARMS = {"same-care": CheckArm.SAME_CARE, "usual": CheckArm.USUAL, "half": CheckArm.HALF,
              "sugar": CheckArm.SUGAR}  # fmt: skip
ASKS = {
    CheckArm.SAME_CARE: "It answers whether feeding pays: the protein feed, and the sugar in it.",
    CheckArm.USUAL: "It answers whether the new way beats what is usual here, not whether feeding pays.",
    CheckArm.HALF: "It answers whether the second half is worth it, never whether feeding pays, and needs "
    "about four times the colonies.",
    CheckArm.SUGAR: "It answers whether the protein feed pays over a patty of sugar alone, not whether "
    "feeding pays.",
}
GETS = {
    CheckArm.SAME_CARE: "unfed",
    CheckArm.USUAL: "on usual practice",
    CheckArm.HALF: "on half the rate",
    CheckArm.SUGAR: "on sugar alone",
}


def headline(trial: Trial) -> str:
    """How many stay unfed, and where: the sentence the user came for."""
    started = trial.design.started
    unfed = sum(one.arm == CHECK for one in started)
    all_of_them = counted(len(started), "colony", "colonies")
    gets = GETS[trial.design.check_arm]
    over = trial.locked_at is not None and not trial.without_end
    if trial.design.unit is Unit.YARD:
        yards = list(dict.fromkeys(one.yard for one in started if one.arm == CHECK))
        of_all = f"{len(yards):,} of {counted(len({one.yard for one in started}), 'yard')}"
        named = f"{_listed(yards)}; {unfed:,} of the {all_of_them} graded stand there."
        return f"{of_all} were left {gets}: {named}" if over else f"Leave {of_all} {gets}: {named}"
    each = _unfed_by_yard(trial)
    where = _listed([f"{n} in {yard}" for yard, n in each])
    if len(each) > MOST_NAMED:
        where = where_words(tuple(n for _, n in each))
    if over:
        return f"{unfed:,} of {all_of_them} were left {gets}: {where}."
    return f"Leave {unfed:,} of {all_of_them} {gets}: {where}."


def spread_words(trial: Trial) -> str:
    """How the groups stand in the rows."""
    return {
        True: "No three check hives stand side by side, and row ends are shared: drift favours no group.",
        False: "Check hives stand side by side in places: drift may favour one group.",
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
        times = "" if trial.draws == 1 else f", {trial.draws} times so far"
        return f"Drawn{times}, not yet locked. Lock it before the first feed goes out."
    if today < trial.design.grading:
        on = day_and_year(trial.locked_at.date())
        return f"Locked on {on}. Colonies are graded on {grading}; no answer before."
    if left:
        open_ends = counted(left, "colony", "colonies")
        return f"{open_ends} of {len(trial.design.started):,} without an end: blank is none."
    return "Every colony has its end: ask for the verdict."


def trial_lines(trial: Trial, today: date) -> list[str]:
    """A trial for the terminal."""
    design = trial.design
    drawn = f"Drawn by lot with seed {design.seed}"
    again = f", draw number {trial.draws}: every draw counts and is told" if trial.draws > 1 else ""
    grade = f", {design.grade:g} frames or more" if design.grade else ""
    told = [
        headline(trial),
        ASKS[design.check_arm],
        f"Counted: {design.outcome.value}{grade}. It pays from "
        f"{benefit_words(design.lines.break_even, design.outcome)} more a colony; less than "
        f"{design.lines.margin:.2g} either way would not matter.",
        f"{drawn}{again}. {spread_words(trial)}".strip(),
        *trial.said,
        stand_words(trial, today),
    ]
    if trial.seal:
        told.append(f"Seal {trial.seal}")
    return told


def drawn_document(trial: Trial, file: str, today: date) -> dict[str, Any]:
    """What ``draw`` and ``lock`` print with --json."""
    return {
        "shape": "breadline.check_group/1",
        "file": file,
        "headline": headline(trial),
        "asks": ASKS[trial.design.check_arm],
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
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
