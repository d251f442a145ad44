"""What was typed beside a trial's own file and is settled in it: it is not taken, and that is said."""

from __future__ import annotations

from dataclasses import replace
from math import isclose

from breadline.jobs.verdict import ALLOCATION, Told, VerdictAsked
from breadline.language import say
from breadline.trial.colonies import CHECK
from breadline.trial.design import CheckArm, Design, Outcome, Unit
from breadline.verdict.fairness import Conduct


def conduct_told(conduct: Conduct, told: Told, design: Design) -> Conduct:
    """How a trial was carried out by its file, with what people say beside it."""
    told = told.in_this_language
    besides = dict.fromkeys(text for text in (conduct.differently, told.differently) if text)
    shared = told.open_feed and not design.open_feed and design.unit is Unit.COLONY
    open_feed = say("the feed lay in the open, and check colonies fly there too") if shared else ""
    return replace(
        conduct,
        weakest_unfed=conduct.weakest_unfed or told.weakest_unfed,
        differently="; ".join(besides),
        fed_in_open=conduct.fed_in_open or told.fed_in_open or open_feed,
    )


def not_taken(asked: VerdictAsked, design: Design) -> tuple[str, ...]:
    """Sentences of all that was typed otherwise than the file has it; none where nothing was.

    ``design`` has its honey in the unit that is asked for.
    """
    left = [*_lines(asked, design), *_how(asked, design), *_names(asked, design)]
    said = [say("Not taken as typed, for the trial’s file has it settled: {what}.", what=", ".join(left))]
    return (*(said if left else ()), *_rows_unknown(asked.told, design))


def _rows_unknown(told: Told, design: Design) -> tuple[str, ...]:
    """How the groups stand in rows goes by the list that was drawn, and this one had no rows."""
    if told.one_row is None or design.staggered is not None or design.unit is Unit.YARD:
        return ()
    return (
        say("How the groups stand in rows is not taken as typed: a trial’s file tells it by row and place of "
            "each hive, and this one has none. What drift may hide is not looked at."),
    )  # fmt: skip


def _lines(asked: VerdictAsked, design: Design) -> list[str]:
    typed, settled = asked.prices, design.lines
    left = []
    if _other(typed.break_even, settled.break_even):
        left.append(say("from what on it pays ({settled:g})", settled=round(settled.break_even, 4)))
    if _other(typed.margin, settled.margin):
        left.append(say("what would not matter ({settled:g})", settled=round(settled.margin, 4)))
    if asked.grade is not None and _other(asked.grade, design.grade):
        none = say("no grade line")
        left.append(none if design.grade is None else say("the grade line ({n:g} frames)", n=design.grade))
    if asked.measure != "frames" and design.outcome is not Outcome.HONEY:
        left.append(say("the unit (frames)"))
    return left


def _how(asked: VerdictAsked, design: Design) -> list[str]:
    told, left = asked.told, []
    if told.drawn != "unknown" and ALLOCATION[told.drawn] is not design.allocation:
        left.append(say("how the fed were chosen ({settled})", settled=say(design.allocation.value)))
    if told.check_arm not in (CheckArm.SAME_CARE, design.check_arm):
        left.append(say("what the check group got ({settled})", settled=say(design.check_arm.value)))
    if told.one_row is not None and design.staggered is told.one_row:
        left.append(say("how the groups stand in rows"))
    return left


def _names(asked: VerdictAsked, design: Design) -> list[str]:
    typed = (asked.sheet.check, design.arms[CHECK]), (asked.sheet.primary, design.arms[design.primary])
    return [
        say("the group “{typed}” (it is {settled})", typed=said, settled=settled)
        for said, settled in typed
        if said.strip() and said.strip().casefold() != settled.casefold()
    ]


def _other(typed: float | None, settled: float | None) -> bool:
    """Whether a number was typed, and another one than was settled."""
    return typed is not None and (settled is None or not isclose(typed, settled, rel_tol=1e-3, abs_tol=1e-6))
