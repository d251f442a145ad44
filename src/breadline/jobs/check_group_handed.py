"""From the size of a check group to its draw: what the size settled, as fields of a page or as a command."""

from __future__ import annotations

import shlex

from breadline.jobs.check_group_size import SizeAnswer
from breadline.measures import Units
from breadline.trial.design import CheckArm, Outcome, Unit
from breadline.trial.honey import KG_IN, unit_of

OUTCOMES = {Outcome.FRAMES: "frames", Outcome.HONEY: "honey", Outcome.MAKING_GRADE: "grade"}
ARMS = {CheckArm.SAME_CARE: "same-care", CheckArm.USUAL: "usual", CheckArm.HALF: "half",
        CheckArm.SUGAR: "sugar"}  # fmt: skip
LEFT_OPEN = ("--rescue-below", "FRAMES", "--out", "trial.json")


def handed(answer: SizeAnswer, units: Units = "g") -> dict[str, str]:
    """What the proposed size says of the draw, by the key of its field; honey in these units.

    The rescue line stays open, and so does the day of grading where no line is paid for on a day.
    """
    asked, best, lines = answer.asked, answer.proposal.proposed.row, answer.questions.lines
    of = KG_IN.get(unit_of(asked.outcome, units == "lb"), 1.0)
    open_feed = asked.unit is Unit.YARD
    given = {
        "outcome": OUTCOMES[asked.outcome],
        "grade": "" if asked.target is None else f"{asked.target.grade:g}",
        "grading": "" if asked.target is None else asked.target.on.isoformat(),
        "check_arm": ARMS[asked.check_arm],
        "break_even": f"{lines.break_even / of:.3g}",
        "margin": f"{lines.margin / of:.3g}",
        "way": "open" if open_feed else "hive",
        "check": f"{best.check}",
    }
    if open_feed:
        return given | {"matched": "no", "a_yard": f"{graded_a_yard(answer)}"}
    return given | {"fed_each": f"{best.fed_each}"}


def graded_a_yard(answer: SizeAnswer) -> int:
    """Colonies graded in each yard where whole yards are drawn."""
    at = answer.proposal.proposed
    return at.colonies[0] // at.row.check


def yards_of(answer: SizeAnswer) -> tuple[str, ...]:
    """The yards that hold a check colony in the proposed size; all where whole yards are drawn."""
    names, each = [name for name, _ in answer.asked.yards], answer.proposal.proposed.row.in_yards
    if answer.asked.unit is Unit.YARD or len(each) != len(names):
        return tuple(names)
    return tuple(name for name, n in zip(names, each, strict=True) if n)


def draw_command(answer: SizeAnswer, book: str = "") -> str:
    """The command that draws the proposed size; capital words are left for the user to fill in."""
    yards = yards_of(answer)
    if not book and len(yards) == len(answer.asked.yards):
        yards = ()  # the list of hives has them all
    fields = handed(answer)
    typed = ["breadline", "check-group", "draw", book or "HIVES.csv"]
    for key, value in fields.items():
        if key == "way":
            typed += ["--open-feed"] if value == "open" else []
        elif key == "matched":
            typed += ["--unmatched"]
        elif key == "grading":
            typed += ["--grading", value or "DAY"]
        elif value and (key, value) not in {("outcome", "frames"), ("check_arm", "same-care")}:
            typed += [f"--{key.replace('_', '-')}", value]
    for name in yards:
        typed += ["--yard", name]
    return shlex.join((*typed, *LEFT_OPEN))
