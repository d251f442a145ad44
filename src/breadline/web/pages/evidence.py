"""Evidence: published trials by forage and verdict, and what is believed of feeding beside them."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse
from markupsafe import Markup

from breadline.jobs.evidence import TRUST, Believed, EvidenceTold, evidence_told
from breadline.jobs.own_evidence import own_evidence
from breadline.knowledge.data import sources
from breadline.knowledge.evidence import CLASS_READ_WORDS, IN_WORDS, Comparison
from breadline.knowledge.figure import READ_WORDS, unit_words
from breadline.language import language, noted_as, say, say_as
from breadline.pictures.belief_chart import Situated, belief_chart
from breadline.pictures.evidence_sheet import per_cent
from breadline.pictures.frame import Size
from breadline.pictures.printed_chart import OUTCOMES, by_outcome, printed_chart, times
from breadline.pictures.verdict_chart import counts, verdict_chart
from breadline.web.drawings import Charts
from breadline.web.opened import book_of, shelf_of
from breadline.web.pages.evidence_own import known_of, under_way
from breadline.web.views import page

router = APIRouter()
VERDICT_WORDS = {
    "positive": noted_as("bees", "more"),
    "neutral": noted_as("bees", "no difference"),
    "negative": noted_as("bees", "fewer"),
    "not read": noted_as("bees", "could not be read"),
}


@dataclass(frozen=True)
class TrialRow:
    """One comparison as the long table shows it."""

    study: str
    cite: str
    where: str
    forage: str
    reason: str
    feed: str
    colonies: str
    outcome: str
    verdict: str
    read: str
    left_out: str


@router.get("/evidence")
def evidence(request: Request) -> HTMLResponse:
    """What trials found, what is believed, and how far to trust it."""
    book = book_of(request)
    told = evidence_told(shelf_of(book))
    return page(
        "evidence.html", "/evidence", book.operation_name, told=told, trust=TRUST,
        own=own_evidence(known_of(request)).sentence, under_way=under_way(request),
        verdicts=_drawn(verdict_chart, told.votes, language()),
        printed=_drawn(printed_chart, told.rows, language()),
        beliefs=_beliefs(tuple(one.situated for one in told.believed), language()),
        verdict_rows=verdict_rows(told), belief_rows=[belief_row(one) for one in told.believed],
        printed_rows=printed_rows(told), printed_studies=printed_studies(told),
        trials=[trial_row(row) for row in in_order(told.rows)],
    )  # fmt: skip


@lru_cache(maxsize=4)
def _drawn(
    draw: Callable[[tuple[Comparison, ...], Size], str], rows: tuple[Comparison, ...], _: str
) -> Charts:
    """A picture of the shipped trials in its three sizes; it changes only with program and language."""
    return Charts(*(Markup(draw(rows, size)) for size in ("wide", "phone", "print")))


@lru_cache(maxsize=4)
def _beliefs(situations: tuple[Situated, ...], _: str) -> Charts:
    return Charts(*(Markup(belief_chart(situations, size)) for size in ("wide", "phone", "print")))


def verdict_rows(told: EvidenceTold) -> list[tuple[str, int, int, int, int]]:
    """Forage, then how many comparisons found fewer, no difference and more, and from how many studies."""
    rows = []
    for forage, each in counts(told.votes).items():
        studies = {row.source for row in told.votes if row.forage_class == forage}
        rows.append(
            (say(IN_WORDS[forage]), each["negative"], each["neutral"], each["positive"], len(studies))
        )
    return rows


def belief_row(one: Believed) -> tuple[str, str, str, str]:
    """Forage, both readings of the verdicts, and the belief, each "middle (low to high)"."""
    parts = [(p.low, p.middle, p.high) for p in (one.plain, one.wary, one.belief)]
    plain, wary, belief = (_range(*part) for part in parts)
    return one.head, plain, wary, belief


def printed_rows(told: EvidenceTold) -> list[tuple[str, str, str, str]]:
    """Outcome, trial, both means and their ratio."""
    return [
        (
            say(OUTCOMES[outcome]),
            f"{row.study} {row.year}, {say(row.feed)}",
            say(
                "{fed:g} and {check:g} {unit}",
                fed=row.fed_mean,
                check=row.check_mean,
                unit=unit_words(row.unit),
            ),
            f"× {times(row):.1f}",
        )
        for outcome, each in by_outcome(told.rows)
        for row in each
    ]


def printed_studies(told: EvidenceTold) -> int:
    """From how many studies the printed numbers come."""
    return len({row.source for _, each in by_outcome(told.rows) for row in each})


def in_order(rows: tuple[Comparison, ...]) -> list[Comparison]:
    """By forage, then as they were collected."""
    order = list(IN_WORDS)
    return sorted(rows, key=lambda row: order.index(row.forage_class))


def trial_row(row: Comparison) -> TrialRow:
    """One comparison in words."""
    class_read, reason = say(CLASS_READ_WORDS[row.class_read]), say(row.forage_reason)
    return TrialRow(
        study=f"{row.study} {row.year}",
        cite=sources()[row.source],
        where=", ".join(say(part) for part in (row.place, row.when) if part),
        forage=say(IN_WORDS[row.forage_class]),
        reason=reason if row.class_read == "not stated" else f"{reason} ({class_read})",
        feed=say(row.feed),
        colonies=_colonies(row),
        outcome=say(row.outcome),
        verdict=say_as("bees", VERDICT_WORDS[row.verdict]),
        read=say(READ_WORDS[row.read]),
        left_out=say(row.why_no_vote) if row.why_no_vote else "",
    )


def _colonies(row: Comparison) -> str:
    if row.fed_colonies is None:
        return say("not said")
    if row.fed_colonies == row.check_colonies:
        return say("{n} each", n=row.fed_colonies)
    return say("{fed} and {check}", fed=row.fed_colonies, check=row.check_colonies)


def _range(low: float, middle: float, high: float) -> str:
    least, usual, most = (per_cent(math.exp(v)) for v in (low, middle, high))
    return say("{typical} ({low} to {high})", typical=usual, low=least, high=most)
