"""The picture of a verdict as a table: every yard with its groups and their difference."""

from __future__ import annotations

from breadline.jobs.verdict import Verdict
from breadline.jobs.verdict_chart import shown_of
from breadline.language import say
from breadline.pictures.colonies_shown import ColoniesShown, Gap, Lane, YardShown
from breadline.trial.design import group_name
from breadline.verdict.amounts import plain, span, span_end
from breadline.verdict.words_adjusted import difference_head


def verdict_table(one: Verdict) -> tuple[list[str], list[list[str]]]:
    """Heads, and one row a yard, the last one for all."""
    shown = shown_of(one)
    fed, check = (group_name(name) for name in shown.names)
    heads = [
        say("Yard"),
        say("{group}: living, lost", group=_big(fed)),
        say("Average"),
        say("{group}: living, lost", group=_big(check)),
        say("Average"),
        difference_head(one.answer, one.finished.design),
    ]
    whole = YardShown(say("All yards"), shown.fed, shown.check, shown.gap)
    return heads, [_row(yard, shown) for yard in (*shown.yards, whole)]


def _row(yard: YardShown, shown: ColoniesShown) -> list[str]:
    fed, check = yard.fed, yard.check
    return [
        yard.name,
        _lane(fed),
        _mean(fed, shown),
        _lane(check),
        _mean(check, shown),
        _gap(yard.gap, shown),
    ]


def _lane(lane: Lane) -> str:
    return f"{len(lane.living)}, {lane.lost}"


def _mean(lane: Lane, shown: ColoniesShown) -> str:
    return "–" if lane.mean is None else plain(lane.mean, shown.measure.digits)


def _gap(gap: Gap | None, shown: ColoniesShown) -> str:
    if gap is None:
        return say("not worked out")
    low, middle, high = gap
    digits = shown.measure.over(low, high).digits
    return f"{span_end(middle, digits=digits)} ({span(low, high, (shown.break_even,), digits)})"


def _big(word: str) -> str:
    return word[:1].upper() + word[1:]
