"""A verdict as lines for a terminal and as a document for programs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from breadline.jobs.verdict import Verdict
from breadline.jobs.verdict_described import not_decided_document
from breadline.jobs.verdict_file import Answered, NoComparison, Readings
from breadline.language import say, say_as
from breadline.trial.classes import LEVEL
from breadline.verdict.answer import Judged
from breadline.verdict.contrast import Contrast
from breadline.verdict.words_described import HEAD as NOT_DECIDED
from breadline.verdict.words_difference import left_over

SHAPE = "breadline.verdict/1"


def verdict_lines(one: Verdict) -> Iterator[tuple[str, str]]:
    """The class sentence first, then the money, what to do next, and what stands behind it."""
    said = one.spoken
    yield "bold", said.sentence
    for line in (one.both_lines, said.held_back, one.together, said.range_said, said.money):
        if line:
            yield "", line
    for head, lines in (
        (say("What broke"), said.broke),
        (say("Next season"), (said.next_season,)),
        (say("How sure"), said.sure),
        (say("What was done"), said.done),
        (say("Departures from what was settled"), one.deviations),
        (say(NOT_DECIDED), one.beside.lines),
        (say("What was read"), one.remarks),
    ):
        if lines:
            yield "", ""
            yield "bold", head
            yield from (("", f"  - {line}") for line in lines)


def readings_lines(one: Readings) -> Iterator[tuple[str, str]]:
    """Why there is no verdict yet, and what was read, without the groups."""
    yield "bold", one.sentence
    yard = ""
    for row in one.readings:
        if row.yard != yard:
            yard = row.yard
            yield "", yard
        said = say_as("end", row.became.value) if row.outcome is None else one.told(row.outcome)
        yield "", f"  - {row.tag}: {said}"


def readings_document(one: Readings) -> dict[str, Any]:
    """The same as one document; the groups are not in it."""
    return {
        "shape": "breadline.readings/1",
        "source": one.source,
        "sentence": one.sentence,
        "grading": one.grading.isoformat(),
        "started": one.started,
        "readings": [
            {"tag": row.tag, "yard": row.yard, "status": row.became.value, "outcome": row.outcome}
            for row in one.readings
        ],
    }


def no_comparison_lines(one: NoComparison) -> Iterator[tuple[str, str]]:
    """That there is none, and the way out."""
    yield "bold", one.sentence
    yield "", one.next_season


def no_comparison_document(one: NoComparison) -> dict[str, Any]:
    """The same as one document."""
    return {
        "shape": "breadline.no_comparison/1",
        "source": one.source,
        "colonies": one.colonies,
        "sentence": one.sentence,
        "next_season": one.next_season,
    }


def verdict_document(one: Verdict) -> dict[str, Any]:
    """The same as one document, its first field the shape."""
    answer, design, said = one.answer, one.finished.design, one.spoken
    return {
        "shape": SHAPE,
        "source": one.source,
        "class": answer.given.value,
        "sentence": said.sentence,
        "held_back": said.held_back or None,
        "together": one.together or None,
        "range_said": said.range_said,
        "money_said": said.money,
        "next_season": said.next_season,
        "broken": [{"breach": b.breach.value, "facts": b.facts} for b in answer.broken],
        "unit": one.measure.many,
        "level": LEVEL,
        "break_even": design.lines.break_even,
        "margin": design.lines.margin,
        "allocation": design.allocation.value,
        "drawn_unit": design.unit.value,
        "arms": [
            {
                "name": a.name,
                "started": a.started,
                "lost": a.lost,
                "unknown": a.unknown,
                "mean": _number(a.mean),
            }
            for a in answer.arms
        ],
        "here": None if answer.here is None else _judged(answer.here),
        "left_over": _left_over(one),
        "prices_now": None
        if one.now is None
        else {
            "break_even": one.now.break_even,
            "class": one.now.by_it.given.value,
            "said": one.both_lines,
        },
        "grade": _grade(one),
        "permutation": _permutation(one),
        "weakened_by": answer.weakened or None,
        "elsewhere": _elsewhere(one),
        "bounds": _bounds(one),
        "beside": [
            {"look": b.look.value, "of": b.of, "class": b.given.value, **_contrast(b.contrast)}
            for b in answer.beside
        ],
        "others": [
            {
                "first": design.arms[t.first],
                "second": design.arms[t.second],
                "low": t.low,
                "high": t.high,
                "estimate": t.contrast.estimate,
                "told_apart": t.told_apart,
            }
            for t in answer.others
        ],
        "done": list(said.done),
        "sure": list(said.sure),
        "described": not_decided_document(one.beside),
        "deviations": list(one.deviations),
        "remarks": list(one.remarks),
    }


def _bounds(one: Verdict) -> dict[str, float | None] | None:
    """Of ends nobody knows; without the range where no answer goes with them."""
    found = one.answer.bounds
    if found is None:
        return None
    low, high = (None, None) if one.answer.here is None else found.interval(LEVEL)
    return {"worst": found.worst.estimate, "best": found.best.estimate, "low": low, "high": high}


def _number(value: float) -> float | None:
    return value if value == value else None


def _contrast(found: Contrast) -> dict[str, float]:
    low, high = found.interval(LEVEL)
    return {"estimate": found.estimate, "se": found.se, "df": found.df, "low": low, "high": high}


def _judged(here: Judged) -> dict[str, Any]:
    return _contrast(here.contrast) | {"low": here.low, "high": here.high, "class": here.given.value}


def _left_over(one: Verdict) -> dict[str, Any] | None:
    left, worth = left_over(one.answer, one.worth), one.worth
    if left is None or worth is None:
        return None
    paid = worth.cost
    return {
        "low": left[0],
        "middle": left[1],
        "high": left[2],
        "cost": paid.amount,
        "money": paid.money,
        "year": paid.year,
    }


def _grade(one: Verdict) -> dict[str, Any] | None:
    found = one.answer.grade
    if found is None:
        return None
    return {
        "check": found.check,
        "fed": found.fed,
        "low": found.more.low,
        "more": found.more.middle,
        "high": found.more.high,
        "counted_check": found.raw_check,
        "counted_fed": found.raw_fed,
        "counted_class": found.given.value,
        "counted": None if found.raw is None else _contrast(found.raw),
    }


def _permutation(one: Verdict) -> dict[str, Any] | None:
    found, given = one.answer.permutation, one.answer.by_permutation
    if found is None or given is None:
        return None
    return {
        "class": given.value,
        "p_two_sided": found.p_two_sided,
        "p_above": found.p_above,
        "p_below": found.p_below,
        "way": found.way,
        "draws": found.draws,
        "monte_carlo_error": found.monte_carlo_error(found.p_two_sided),
        "monte_carlo_error_at_least": found.walked,
    }


def _elsewhere(one: Verdict) -> dict[str, Any] | None:
    found = one.answer.elsewhere
    if found is None:
        return None
    told = None if found.contrast is None else _contrast(found.contrast)
    return {"yards": found.yards, "yards_alike": found.alike, "why_not": found.why_not, "told": told}


def answered_lines(one: Answered) -> Iterator[tuple[str, str]]:
    """Whatever a file comes to, as lines."""
    if isinstance(one, Readings):
        return readings_lines(one)
    return no_comparison_lines(one) if isinstance(one, NoComparison) else verdict_lines(one)


def answered_document(one: Answered) -> dict[str, Any]:
    """Whatever a file comes to, as one document."""
    if isinstance(one, Readings):
        return readings_document(one)
    return no_comparison_document(one) if isinstance(one, NoComparison) else verdict_document(one)
