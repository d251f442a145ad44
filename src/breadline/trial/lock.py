"""The lock: one written form of a design, what was changed after it, and when it may be answered."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from breadline.errors import TrialError
from breadline.language import say
from breadline.need.words import counted, day_and_year
from breadline.trial.colonies import Started
from breadline.trial.design import Design

FORM = "breadline locked design 1"
_COLONY = ("tag", "hive", "yard", "unit", "block", "arm", "baseline", "row", "place", "queen_line")
MOST_NAMED = 8  # hives named in a sentence


def canonical(design: Design) -> str:
    """A design in its one written form: a line for each thing that is locked, colonies in their order.

    The same design gives the same letters everywhere, so a digest of them is its seal.
    """
    lines = [FORM, *(f"{name}\t{_written(read(design))}" for name, read in _LOCKED)]
    if design.apart is not None:  # a draw of before has no such line, and its seal holds
        lines.append("\t".join(("apart", *map(_written, design.apart))))
    lines += [_colony(one) for one in design.started]
    return "\n".join(lines) + "\n"


def deviations(locked: Design, now: Design) -> tuple[str, ...]:
    """What differs from what was locked, in sentences; none where all is as it was."""
    said = [
        f"{words} was locked as {_shown(read(locked))} and is now {_shown(read(now))}."
        for words, read in _SPOKEN
        if read(locked) != read(now)
    ]
    before, after = ({one.tag: one for one in design.started} for design in (locked, now))
    gone = [tag for tag in before if tag not in after]
    come = [tag for tag in after if tag not in before]
    if gone:
        said.append(f"{_hives(gone, 'left out')} after the draw: every colony that was started counts.")
    if come:
        said.append(f"{_hives(come, 'taken in')} without having been drawn.")
    both = [tag for tag in before if tag in after]
    moved = [tag for tag in both if before[tag].arm != after[tag].arm]
    if moved:
        said.append(f"{_hives(moved, 'drawn')} into one group and kept in another.")
    other = [tag for tag in both if tag not in moved and _colony(before[tag]) != _colony(after[tag])]
    if other:
        said.append(
            f"{_hives(other, 'written down')} otherwise than at the draw: yard, set, place or strength."
        )
    return tuple(said)


def open_from(design: Design, today: date) -> None:
    """Refuse an answer before the locked date of grading.

    Errors
    ------
    TrialError
        If that day has not come.
    """
    if today < design.grading:
        raise TrialError(
            "verdict",
            say(
                "the colonies are graded on {grading}, and today is {today}",
                grading=day_and_year(design.grading),
                today=day_and_year(today),
            ),
            say("the locked date of grading, or later"),
            say("Until then readings are shown without their groups"),
        )


_Read = Callable[[Design], object]
_LOCKED: tuple[tuple[str, _Read], ...] = (
    ("outcome", lambda d: d.outcome.value),
    ("grade", lambda d: d.grade),
    ("check arm", lambda d: d.check_arm.value),
    ("arms", lambda d: d.arms),
    ("primary", lambda d: d.primary),
    ("break-even", lambda d: d.lines.break_even),
    ("margin", lambda d: d.lines.margin),
    ("grading", lambda d: d.grading.isoformat()),
    ("unit", lambda d: d.unit.value),
    ("allocation", lambda d: d.allocation.value),
    ("open feed", lambda d: d.open_feed),
    ("staggered", lambda d: d.staggered),
    ("seed", lambda d: d.seed),
)
_SPOKEN: tuple[tuple[str, _Read], ...] = (
    ("The outcome that pays", lambda d: d.outcome.value),
    ("The grade line", lambda d: d.grade),
    ("What the check group gets", lambda d: d.check_arm.value),
    ("The list of groups", lambda d: ", ".join(d.arms)),
    ("The comparison that comes first", lambda d: f"{d.arms[d.primary]} against {d.arms[0]}"),
    ("The break-even", lambda d: d.lines.break_even),
    ("The difference that would matter", lambda d: d.lines.margin),
    ("The date of grading", lambda d: d.grading),
    ("What is drawn", lambda d: d.unit.value),
    ("How colonies came into their groups", lambda d: d.allocation.value),
    ("Whether feed lies in the open", lambda d: d.open_feed),
    ("Whether groups alternate in the rows", lambda d: d.staggered),
    ("The seed of the draw", lambda d: d.seed),
)


def _colony(one: Started) -> str:
    return "\t".join(_written(getattr(one, name)) for name in _COLONY)


def _written(value: object) -> str:
    """Numbers to their last digit, 1 and 1.0 alike; words without tabs and breaks."""
    if isinstance(value, float):
        return str(int(value)) if value.is_integer() else repr(value)
    if isinstance(value, tuple):
        return " | ".join(_written(part) for part in value)
    if isinstance(value, str):
        return " ".join(value.split())
    return "" if value is None else str(value)


def _shown(value: object) -> str:
    if value is None:
        return "not known"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date):
        return day_and_year(value)
    return f"{value:g}" if isinstance(value, float) else str(value)


def _hives(names: list[str], done: str) -> str:
    more = f" and {len(names) - MOST_NAMED} more" if len(names) > MOST_NAMED else ""
    were = "was" if len(names) == 1 else "were"
    return f"{counted(len(names), 'hive')} ({', '.join(names[:MOST_NAMED])}{more}) {were} {done}"
