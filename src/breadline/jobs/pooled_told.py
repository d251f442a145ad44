"""Trials of several growers together: as lines for a terminal, a document for programs, and a picture."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from breadline.belief.gain import by_per_cent
from breadline.belief.season_called import season_said
from breadline.jobs.pooled import METHODS, Group, Together
from breadline.jobs.trial_checked import Checked
from breadline.language import say
from breadline.pictures.evidence_sheet import per_cent
from breadline.pictures.forest_chart import Shown, Stand, forest_chart, forest_sentence
from breadline.pictures.frame import Size
from breadline.span import Z95
from breadline.trial.classes import LEVEL
from breadline.verdict.pooling import Pooled
from breadline.verdict.words_asked import in_short

SHAPE = "breadline.pool/1"
Line = tuple[str, str]  # style, text


def pooled_lines(told: Together) -> Iterator[Line]:
    """What the trials say together, then each by itself, then those left out."""
    yield "bold", told.sentence
    for group in told.groups:
        yield "", ""
        yield "bold", group.sentence
        for one in group.trials:
            yield "", f"  - {_one_line(one)}"
            yield from (("dim", f"    {text}") for text in one.remarks)
    if told.left_out:
        yield "", ""
        yield "bold", say("Left out of every average")
        yield from (
            ("", f"  - {one.file.name} ({one.file.source}): {one.left_out}.") for one in told.left_out
        )


def _one_line(one: Checked) -> str:
    ends = ends_of(one)
    assert ends is not None
    low, middle, high = (by_per_cent(math.exp(v)) for v in ends)
    fed, check = one.colonies(fed=True), one.colonies(fed=False)
    return say(
        "{trial} ({season}): {fed} fed, {check} check; {middle} ({low} to {high}); {came_to}.",
        trial=one.file.name, season=season_said(one.file.season), fed=fed, check=check,
        middle=middle, low=low, high=high, came_to=in_short(one.answer),
    )  # fmt: skip


def ends_of(one: Checked) -> tuple[float, float, float] | None:
    """Low, middle and high of a trial's log ratio, nine in ten within; None where it has none. [log ratio]"""
    if one.ratio is None:
        return None
    reach = Z95 * one.ratio.se
    return one.ratio.estimate - reach, one.ratio.estimate, one.ratio.estimate + reach


def pooled_document(told: Together) -> dict[str, Any]:
    """The same for other programs."""
    return {
        "shape": SHAPE,
        "sentence": told.sentence,
        "level": LEVEL,
        "groups": [_group(group) for group in told.groups],
        "left_out": [_trial(one) for one in told.left_out],
    }


def _group(group: Group) -> dict[str, Any]:
    return {
        "head": group.head,
        "situation": group.situation,
        "outcome": "honey" if group.honey else "bees",
        "sentence": group.sentence,
        "trials": [_trial(one) for one in group.trials],
        "average": {method: _pooled(group.by[method]) for method in METHODS} if group.by else None,
    }


def _pooled(of: Pooled) -> dict[str, Any]:
    low, high = of.interval(LEVEL)
    further = of.next_trial(LEVEL)
    return {
        "log_ratio": of.mean,
        "se": of.se,
        "hartung_knapp_se": of.hartung_knapp_se,
        "low": low,
        "high": high,
        "between_sd": of.between_sd,
        "q": of.q,
        "trials": of.trials,
        "further": None if further is None else {"low": further[0], "high": further[1]},
    }


def _trial(one: Checked) -> dict[str, Any]:
    file, ratio, here = one.file, one.ratio, one.answer.here
    return {
        "source": file.source,
        "name": file.name,
        "season": file.season,
        "situation": file.situation,
        "class": one.answer.given.value,
        "broken": [broken.facts for broken in one.answer.broken],
        "left_out": one.left_out,
        "remarks": list(one.remarks),
        "locked_at": None if file.locked_at is None else file.locked_at.isoformat(),
        "sealed": file.sealed,
        "fed": one.colonies(fed=True),
        "check": one.colonies(fed=False),
        "log_ratio": None if ratio is None else ratio.estimate,
        "se": None if ratio is None else ratio.se,
        "difference": None if here is None else here.contrast.estimate,
        "difference_low": None if here is None else here.low,
        "difference_high": None if here is None else here.high,
        "digest": file.digest,
    }


def stands(told: Together, own: frozenset[str] = frozenset()) -> tuple[Stand, ...]:
    """The trials as the picture takes them; ``own`` are digests of one's own trials."""
    return tuple(_stand(group, own) for group in told.groups)


def _stand(group: Group, own: frozenset[str]) -> Stand:
    mean, further = None, None
    if group.mean is not None:
        low, high = group.mean.interval(LEVEL)
        mean, further = (low, group.mean.mean, high), group.mean.next_trial(LEVEL)
    return Stand(group.head, tuple(shown(one, own) for one in group.trials), mean, further)


def shown(one: Checked, own: frozenset[str] = frozenset()) -> Shown:
    """A trial as the picture takes it."""
    low, middle, high = ends_of(one) or (None, None, None)
    return Shown(
        one.file.name, low, middle, high, one.colonies(fed=False), one.left_out, one.file.digest in own
    )


def pooled_chart(told: Together, size: Size, own: frozenset[str] = frozenset()) -> str:
    """The picture of all trials, as SVG text."""
    return forest_chart(stands(told, own), tuple(shown(one, own) for one in told.left_out), size)


def pooled_sentence(told: Together) -> str:
    """What that picture shows, in words."""
    return forest_sentence(stands(told), tuple(shown(one) for one in told.left_out))


def pooled_rows(told: Together) -> list[tuple[str, str, str, str]]:
    """The picture as a table: what, trial, colonies, fed over check or why it is left out."""
    rows = []
    for group in told.groups:
        for one in group.trials:
            ends = ends_of(one)
            assert ends is not None
            rows.append((group.head, one.file.name, _colonies(one), said_range(*ends)))
        if group.mean is not None:
            low, high = group.mean.interval(LEVEL)
            rows.append((group.head, say("Together"), "", said_range(low, group.mean.mean, high)))
    return rows + [(say("Left out"), one.file.name, _colonies(one), one.left_out) for one in told.left_out]


def _colonies(one: Checked) -> str:
    return say("{fed} and {check}", fed=one.colonies(fed=True), check=one.colonies(fed=False))


def said_range(low: float, middle: float, high: float) -> str:
    """A ratio with its range, of low, middle and high: "+12 % (+2 % to +23 %)". [log ratio]"""
    least, usual, most = (per_cent(math.exp(v)) for v in (low, middle, high))
    return say("{typical} ({low} to {high})", typical=usual, low=least, high=most)
