"""A check group as it is typed on the page: what is written down before the draw, field by field."""

from __future__ import annotations

import secrets
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import isfinite
from typing import TypeVar

from breadline.errors import TrialError
from breadline.jobs.check_group_told import CHECK_ARMS, OUTCOMES
from breadline.jobs.check_group_trial import LARGEST_SEED, NOT_GRADED, Asked, Trial
from breadline.language import noted, say
from breadline.measures import Units
from breadline.trial.classes import Lines
from breadline.trial.colonies import CHECK, Started
from breadline.trial.design import Unit
from breadline.trial.honey import in_unit, lines_in_kg, unit_of
from breadline.trial.unit import Way

MOST_NUMBER = 1e6
LOT = "lot"  # the field of a seed that nobody typed
T = TypeVar("T")


@dataclass(frozen=True)
class Field:
    """One field: its key, its words, a hint, and words to choose from."""

    key: str
    words: str
    hint: str = ""
    choices: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Part:
    """Fields that belong together."""

    head: str
    fields: tuple[Field, ...]
    said: str = ""


IN_POUNDS = {
    "break_even": noted("frames, or lb of honey, more a colony"),
    "margin": noted("frames, or lb of honey, either way"),
}
YES = (("no", noted("no")), ("yes", noted("yes")))
PARTS = (
    Part(
        noted("What it is to answer"),
        (
            Field("name", noted("Name of the trial")),
            Field("outcome", noted("What pays"), "", (
                ("frames", noted("frames of bees")), ("honey", noted("honey")),
                ("grade", noted("share making grade")),
            )),
            Field("grade", noted("Frames that make grade"), noted("only where grade pays")),
            Field("check_arm", noted("The check group gets"), "", (
                ("same-care", noted("no protein feed")), ("usual", noted("usual practice")),
                ("half", noted("half the rate")), ("sugar", noted("a patty of sugar alone")),
            )),
        ),
        noted(
            "Half the rate answers “is the second half worth it”, never “does feeding pay”, and needs about "
            "four times the colonies. What it pays from covers what fed colonies cost more than the check "
            "group."
        ),
    ),
    Part(
        noted("What decides"),
        (
            Field("break_even", noted("It pays from"), noted("frames, or kg of honey, more a colony")),
            Field("margin", noted("Less would not matter"), noted("frames, or kg of honey, either way")),
            Field("grading", noted("Day of grading"), noted("year-month-day")),
            Field("rescue_below", noted("Rescue a check colony below"), noted("frames of bees")),
        ),
        noted("A check colony below that, or without brood, is fed at once and noted. It stays in its "
              "group."),
    ),
    Part(
        noted("The draw"),
        (
            Field("way", noted("How the feed is given"), "", (
                ("hive", noted("in the hive")), ("open", noted("dry, in the open: whole yards are drawn")),
            )),
            Field("check", noted("Left unfed"), noted(
                "colonies, or yards fed in the open; half if you leave it out"
            )),
        ),
    ),
)  # fmt: skip
FOLDED = Part(
    noted("What has its usual value unless you say otherwise"),
    (
        Field("feeds", noted("Fed groups"), noted("one, “fed”; or up to three names, a comma between")),
        Field("fed_each", noted("Fed ones graded beside each"), noted("in its set; all if you leave it out")),
        Field("a_yard", noted("Colonies of a yard graded"), noted("of whole yards; all if you leave it out")),
        Field("by_queen_line", noted("Keep queen lines together"), "", YES),
        Field("matched", noted("Whole yards in pairs"), "", (("yes", noted("yes")), ("no", noted("no")))),
        Field(
            "apart", noted("Yards lie farther apart than bees fly"), noted("where a position is missing"), YES
        ),
        Field("seed", noted("Seed"), noted("a new one if you leave it out")),
    ),
)
FIELDS = tuple(field for part in (*PARTS, FOLDED) for field in part.fields)
FIRST = {"name": "Check group", "feeds": "fed"}


def parts_in(units: Units) -> tuple[Part, ...]:
    """The parts with their hints in the reader's units."""
    if units != "lb":
        return PARTS
    pounds = (
        (part, tuple(replace(one, hint=IN_POUNDS.get(one.key, one.hint)) for one in part.fields))
        for part in PARTS
    )
    return tuple(replace(part, fields=fields) for part, fields in pounds)


def said_otherwise(part: Part, typed: Mapping[str, str]) -> bool:
    """Whether a field of a part that is folded away is not as usual, so that it has to be seen."""
    usual = {one.key: one.choices[0][0] if one.choices else FIRST.get(one.key, "") for one in part.fields}
    return any(typed.get(key, "").strip() not in ("", value) for key, value in usual.items())


def new_lot() -> str:
    """The seed of a form that is shown: sent twice, it is one draw."""
    return str(secrets.randbelow(LARGEST_SEED))


def asked_of(typed: Mapping[str, str], units: Units = "g") -> Asked:
    """What was typed in these units, as the draw takes it; ``where`` of an error is the key of its field.

    Errors
    ------
    TrialError
        With the field to mend.
    """
    check_arm = _chosen(typed, "check_arm", CHECK_ARMS)
    feeds = tuple(" ".join(part.split()) for part in typed.get("feeds", "").split(",") if part.strip()) or (
        "fed",
    )
    check = _whole(typed, "check")
    key = "seed" if typed.get("seed", "").strip() else LOT
    seed = _whole(typed, key, least=0, most=LARGEST_SEED)
    return Asked(
        name=" ".join(typed.get("name", "").split()),
        outcome=_chosen(typed, "outcome", OUTCOMES),
        check_arm=check_arm,
        lines=_lines(typed, units),
        grading=_day(typed, "grading"),
        rescue_below=_needed(typed, "rescue_below", say("frames of bees")),
        seed=int(new_lot()) if seed is None else seed,
        grade=_number(typed, "grade"),
        arms=("half" if typed.get("check_arm") == "half" else "check", *(feeds or ("fed",))),
        way=Way.OPEN if typed.get("way") == "open" else Way.IN_HIVE,
        check=check,
        fed_each=_whole(typed, "fed_each") or 0,
        by_queen_line=typed.get("by_queen_line") == "yes",
        matched=typed.get("matched", "yes") != "no",
        apart=typed.get("apart") == "yes",
        a_yard=_whole(typed, "a_yard") or 0,
    )


def typed_of(trial: Trial, yards: Sequence[str], units: Units = "g") -> dict[str, str]:
    """A draw as it is typed in these units, to draw again; ``yards`` are those of the book.

    Its hives are listed where they came from a list, unless some of that list are no part of the trial.
    """
    design, _ = in_unit(trial.design, (), unit_of(trial.design.outcome, units == "lb"))
    typed = {
        "name": trial.name,
        "outcome": next(key for key, one in OUTCOMES.items() if one is design.outcome),
        "grade": "" if design.grade is None else f"{design.grade:g}",
        "check_arm": next(key for key, one in CHECK_ARMS.items() if one is design.check_arm),
        "feeds": ", ".join(design.arms[1:]),
        "break_even": f"{design.lines.break_even:g}",
        "margin": f"{design.lines.margin:g}",
        "grading": design.grading.isoformat(),
        "rescue_below": f"{trial.rescue_below:g}",
        "way": "open" if design.open_feed else "hive",
    }
    whole = not any(NOT_GRADED in text for text in trial.said)
    if design.unit is Unit.COLONY:
        typed["check"] = str(sum(one.arm == CHECK for one in design.started))
        sets = Counter((one.block, one.arm) for one in design.started if one.arm != CHECK)
        typed |= {} if whole else {"fed_each": str(max(sets.values()))}
    else:
        typed["check"] = str(len({one.unit or one.yard for one in design.started if one.arm == CHECK}))
        typed["matched"] = "yes" if len({one.block for one in design.started}) > 1 else "no"
        typed["apart"] = "yes"  # it was said, or every position is known and it says nothing
    if design.unit is Unit.YARD and not whole:
        typed["a_yard"] = str(max(Counter(one.yard for one in design.started).values()))
    if whole and not {one.yard for one in design.started} <= set(yards):
        typed["table"] = _table(design.started)
    return typed


def _table(started: Sequence[Started]) -> str:
    rows: list[tuple[str, ...]] = [("hive", "yard", "frames", "row", "place", "queen line")]
    for one in started:
        cells = (one.hive, one.yard, one.baseline, one.row, one.place, one.queen_line)
        rows.append(tuple("" if cell is None else str(cell) for cell in cells))
    return "\n".join("\t".join(row) for row in rows)


WHERE = (  # as errors of the draw name it
    noted("groups"), noted("check colonies"), noted("day of grading"), noted("grade line"),
    noted("rescue below"), noted("margin"), noted("break-even"), noted("fed colonies in a set"),
    noted("draw"), noted("yards"), noted("seed"), noted("name"), noted("lock"), noted("ends"),
    noted("strength before the draw"), noted("your list"), noted("your table"), noted("tag"),
    noted("status"), noted("sheets"), noted("your answers"), noted("check group"),
)  # fmt: skip
FIELD_OF = {
    "groups": "feeds", "check colonies": "check", "day of grading": "grading", "grade line": "grade",
    "rescue below": "rescue_below", "margin": "margin", "break-even": "break_even",
    "fed colonies in a set": "fed_each", "draw": "check",
}  # fmt: skip


def field_of(error: TrialError, keys: Sequence[str]) -> str:
    """Which field an error is about; "table" for the list of hives, "" where it is none."""
    if error.where in keys:
        return error.where
    if error.where.startswith(("your list", "hive ", "yard", "strength")):
        return "table"
    return FIELD_OF.get(error.where, "")


def _lines(typed: Mapping[str, str], units: Units) -> Lines:
    unit = (
        say("frames, or lb of honey, a colony") if units == "lb" else say("frames, or kg of honey, a colony")
    )
    lines = Lines(_needed(typed, "break_even", unit), _needed(typed, "margin", unit))
    return lines_in_kg(lines, unit_of(_chosen(typed, "outcome", OUTCOMES), units == "lb"))


def _needed(typed: Mapping[str, str], key: str, unit: str) -> float:
    value = _number(typed, key)
    if value is None:
        raise TrialError(
            key,
            say("is left out"),
            unit,
            say("It is written down before the draw, so that nobody can bend it"),
        )
    return value


def _number(typed: Mapping[str, str], key: str, most: float = MOST_NUMBER) -> float | None:
    text = typed.get(key, "").strip()
    if not text:
        return None
    try:
        value = float(text)
    except ValueError:
        do = say("Write a decimal point, not a comma") if "," in text else say("Type the number alone")
        raise TrialError(key, say('"{text}" is not a number', text=text), say("a number"), do) from None
    if not isfinite(value) or abs(value) > most:
        raise TrialError(key, say("{text} cannot be", text=text), say("a number that can be"))
    return value


def _whole(typed: Mapping[str, str], key: str, least: int = 1, most: int = 1_000_000) -> int | None:
    value = _number(typed, key, float(most))
    if value is None:
        return None
    if value != int(value) or not least <= value <= most:
        raise TrialError(
            key, say("{value:g} is not a count", value=value), say("a whole number, {n} or more", n=least)
        )
    return int(value)


def _chosen(typed: Mapping[str, str], key: str, choices: Mapping[str, T]) -> T:
    text = typed.get(key, "") or next(iter(choices))
    if text not in choices:
        raise TrialError(key, say('"{text}" is none', text=text), ", ".join(choices))
    return choices[text]


def _day(typed: Mapping[str, str], key: str) -> date:
    text = typed.get(key, "").strip()
    try:
        return date.fromisoformat(text)
    except ValueError:
        what = say('"{text}" is no date', text=text) if text else say("is left out")
        raise TrialError(key, what, say("year-month-day, such as 2026-11-20")) from None
