"""The picture of a verdict as a table: every yard with its groups and their difference."""

from __future__ import annotations

from breadline.jobs.verdict import Verdict
from breadline.jobs.verdict_chart import shown_of
from breadline.pictures.colonies_shown import ColoniesShown, Gap, Lane, YardShown
from breadline.verdict.amounts import span


def verdict_table(one: Verdict) -> tuple[list[str], list[list[str]]]:
    """Heads, and one row a yard, the last one for all."""
    shown = shown_of(one)
    fed, check = shown.names
    heads = [
        "Yard",
        f"{_big(fed)}: living, lost",
        "Average",
        f"{_big(check)}: living, lost",
        "Average",
        "Difference, adjusted for strength before"
        if one.answer.came.ends.baseline.shape[1]
        else "Difference",
    ]
    whole = YardShown("All yards", shown.fed, shown.check, shown.gap)
    return heads, [_row(yard, shown) for yard in (*shown.yards, whole)]


def _row(yard: YardShown, shown: ColoniesShown) -> list[str]:
    return [yard.name, _lane(yard.fed), _mean(yard.fed), _lane(yard.check), _mean(yard.check), _gap(yard.gap)]


def _lane(lane: Lane) -> str:
    return f"{len(lane.living)}, {lane.lost}"


def _mean(lane: Lane) -> str:
    return "–" if lane.mean is None else f"{lane.mean:.1f}"


def _gap(gap: Gap | None) -> str:
    if gap is None:
        return "not worked out"
    low, middle, high = gap
    return f"{span(middle, middle).split(' to ')[0]} ({span(low, high)})"


def _big(word: str) -> str:
    return word[:1].upper() + word[1:]
