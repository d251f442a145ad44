"""Shares making grade in sentences: as they were counted, what was adjusted for, and by fitted frames."""

from __future__ import annotations

from breadline.language import say
from breadline.measures import halves_up
from breadline.trial.classes import LEVEL
from breadline.trial.colonies import CHECK
from breadline.trial.design import Design, group_name
from breadline.verdict.amounts import beside, ends_beside
from breadline.verdict.answer import Answer
from breadline.verdict.making_grade import MadeGrade
from breadline.verdict.words_adjusted import ONCE, adjusted_for, yards_count_once

HUNDRED = 100


def fitted_shares(found: MadeGrade, design: Design) -> str:
    """The shares by how frames lie in each group."""
    fed, check = _points(found.fed), _points(found.check)
    low, high = ends_beside(found.more.low * HUNDRED, found.more.high * HUNDRED, share_lines(found), 0)
    return say(
        "Making grade, {line:g} frames or more: {fed:.0f} of 100 {fed_group} and {check:.0f} of 100 "
        "{check_group}, by how frames lie in each group; {more}, from {low} to {high} in 100.",
        fed=fed, check=check, more=_more(fed - check), low=low, high=high, line=design.grade,
        **_groups(design),
    )  # fmt: skip


def counted_shares(found: MadeGrade, answer: Answer, design: Design) -> str:
    """The shares colony by colony, their plain difference, and the adjusted one where it is another.

    A reader who takes one share from the other finds the number that is printed, or what was adjusted for.
    """
    fed, check = _points(found.raw_fed), _points(found.raw_check)
    told = {"fed": fed, "check": check, "more": _more(fed - check), **_groups(design)}
    if found.raw is None:
        return say(
            "{fed} of 100 {fed_group} and {check} of 100 {check_group} made grade, {more}; chance cannot be "
            "judged by it.",
            **told,
        )
    of_range, line = found.raw.interval(LEVEL), max(found.needed, 0.0) * HUNDRED
    ends = of_range[0] * HUNDRED, of_range[1] * HUNDRED
    fitted = found.more.low * HUNDRED, found.more.high * HUNDRED
    low, high = ends_beside(ends[0], ends[1], (line,), 0)
    needed = beside(line, (*ends, *fitted), 0)
    adjusted = _points(found.raw.estimate)
    return " ".join(
        (_judged(adjusted, answer, design, told | {"low": low, "high": high}), _pays_from(needed, line))
    )


def _judged(adjusted: int, answer: Answer, design: Design, told: dict[str, object]) -> str:
    """The counted shares with the range; it belongs to the ``adjusted`` difference [in 100]."""
    of, once = adjusted_for(answer, design), yards_count_once(answer, design)
    if told["more"] == _more(adjusted) or not (of or once):
        return say(
            "{fed} of 100 {fed_group} and {check} of 100 {check_group} made grade, {more}, from {low} to "
            "{high} in 100.",
            **told,
        )
    plainly = say("{fed} of 100 {fed_group} and {check} of 100 {check_group} made grade, {more}.", **told)
    plainly = f"{plainly} {say(ONCE)}" if once else plainly
    told = told | {"what": of, "adjusted": _more(adjusted)}
    if not adjusted:
        said = (
            say("Adjusted for {what} as many made grade in both, from {low} to {high} in 100.", **told)
            if of
            else say("So as many made grade in both, from {low} to {high} in 100.", **told)
        )
    else:
        said = (
            say("Adjusted for {what} it comes to {adjusted}, from {low} to {high} in 100.", **told)
            if of
            else say("So it comes to {adjusted}, from {low} to {high} in 100.", **told)
        )
    return f"{plainly} {said}"


def _pays_from(needed: str, line: float) -> str:
    """From how many more in 100 on it pays, where feeding cost anything."""
    return say("It pays from {needed} more in 100.", needed=needed) if line else say("Any more at all pays.")


def _groups(design: Design) -> dict[str, str]:
    """The two groups compared by their names: of several fed ones, which."""
    return {
        "fed_group": group_name(design.arms[design.primary]), "check_group": group_name(design.arms[CHECK])
    }  # fmt: skip


def share_lines(found: MadeGrade) -> tuple[float, ...]:
    """The line beside which ranges of shares are read; none where it is not said [in 100]."""
    return () if found.raw is None else (max(found.needed, 0.0) * HUNDRED,)


def _points(share: float) -> int:
    """A share in whole points of 100, rounded as every number of a verdict."""
    return int(halves_up(share * HUNDRED))


def _more(points: int) -> str:
    if points < 0:
        return say("{n} fewer where fed", n=-points)
    return say("{n} more where fed", n=points) if points else say("as many in both")
