"""Both parts of the evidence as lines for a terminal and as a document for programs."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from breadline.belief.carried import Carried, Ends
from breadline.belief.gain import by_per_cent
from breadline.jobs.belief_book import Known, Lesson
from breadline.jobs.evidence import TRUST, EvidenceTold
from breadline.jobs.own_evidence import OwnEvidence, own_evidence
from breadline.knowledge.evidence import IN_WORDS
from breadline.language import say
from breadline.pictures.verdict_chart import counts
from breadline.verdict.words_drift import taken_as_seen

SHAPE = "breadline.evidence/1"
AGAIN = "On the page Evidence, or by breadline evidence FILE --learn --book BOOK."
Line = tuple[str, str]  # style, text


def evidence_lines(told: EvidenceTold, known: Known | None) -> Iterator[Line]:
    """One's own first, where there is a book; then published trials by forage, and what is believed."""
    if known is not None:
        yield from own_lines(own_evidence(known))
        yield "", ""
    yield "bold", told.sentence
    yield "", ""
    yield "bold", say("What published trials found: fewer, no difference, more where fed")
    for forage, each in counts(told.votes).items():
        found = f"{each['negative']}, {each['neutral']}, {each['positive']}"
        yield "", f"  - {say(IN_WORDS[forage])}: {found}"
    yield "", ""
    yield "bold", say("What is believed of it")
    for one in told.believed:
        yield "", f"  - {one.sentence}{' ' + say('(your own figure)') if one.edited else ''}"
    yield "", ""
    yield "bold", say("How far to trust it")
    yield from (("dim", f"  - {say(text)}") for text in TRUST)


def own_lines(own: OwnEvidence) -> Iterator[Line]:
    """What one's own check groups taught."""
    if not own.situations:
        yield "bold", own.sentence
        return
    for n, one in enumerate(own.situations):
        if n:
            yield "", ""
        yield "bold", one.sentence
        yield "bold", one.next_season
        yield from (("", f"  - {text}") for text in one.why)
        for trial in one.trials:
            learnt = say(
                "{trial}, learnt on {day}: {result}",
                trial=trial.name,
                day=trial.learnt_on,
                result=trial.result,
            )
            yield "", f"  - {learnt}; {trial.moved}."
            yield from (("", f"    {text}") for text in trial.worth)
            if trial.drift:
                yield "", f"    {trial.drift}"
            if trial.older:
                yield "", f"    {trial.older} {AGAIN}"


def evidence_document(told: EvidenceTold, known: Known | None) -> dict[str, Any]:
    """Both parts for other programs; ``own`` is null without a book."""
    return {
        "shape": SHAPE,
        "sentence": told.sentence,
        "comparisons": len(told.rows),
        "voting": len(told.votes),
        "studies": told.studies,
        "published": [
            {
                "situation": one.situation,
                "head": one.head,
                "at_their_word": _three(one.plain.low, one.plain.middle, one.plain.high),
                "read_warily": _three(one.wary.low, one.wary.middle, one.wary.high),
                "believed": _three(one.belief.low, one.belief.middle, one.belief.high),
                "figure": one.key,
                "edited": one.edited,
                "sentence": one.sentence,
            }
            for one in told.believed
        ],
        "trust": [say(text) for text in TRUST],
        "own": None if known is None else _own(known),
    }


def _own(known: Known) -> dict[str, Any]:
    told = own_evidence(known)
    return {
        "sentence": told.sentence,
        "situations": [
            _of(known.beliefs[one.situation]) | {"sentence": one.sentence, "why": list(one.why)}
            for one in told.situations
        ],
        "trials": [_lesson(one) for one in known.lessons],
    }


def _of(now: Carried) -> dict[str, Any]:
    return {
        "situation": now.situation,
        "before": _ends(now.before),
        "after": _ends(now.after),
        "next_before": _ends(now.next_before),
        "next_after": _ends(now.next_after),
        "season_sd": _ends(now.season_sd),
        "seasons": len(now.results),
        "next_season": say(
            "{by_per_cent} in the middle case", by_per_cent=by_per_cent(math.exp(now.next_after.middle))
        ),
    }


def _lesson(one: Lesson) -> dict[str, Any]:
    of = one.taught
    return {
        "name": of.name,
        "season": of.season,
        "situation": of.situation,
        "graded_on": of.graded_on.isoformat(),
        "learnt_on": one.learnt_on.isoformat(),
        "class": of.given,
        "program": one.program,
        "log_ratio": of.log_ratio,
        "se": of.se,
        "fed": of.fed,
        "check": of.check,
        "one_row": of.one_row,
        "drift_said": taken_as_seen(of.one_row) or None,
        "lived": None if of.lived is None else asdict(of.lived),
        "before": _ends(one.before),
        "after": _ends(one.after),
        "equivalence": [
            {"low": m.low, "middle": m.middle, "high": m.high, "share": m.share} for m in of.modes
        ],
        "digest": of.trial,
    }


def _ends(of: Ends) -> dict[str, float]:
    return _three(of.low, of.middle, of.high)


def _three(low: float, middle: float, high: float) -> dict[str, float]:
    return {"low": round(low, 4), "middle": round(middle, 4), "high": round(high, 4)}
