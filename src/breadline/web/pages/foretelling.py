"""Foretelling: how often a later count fell inside the band that had been shown for its day."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse
from markupsafe import Markup

from breadline.jobs.foretelling import Record, YardRecord
from breadline.jobs.foretelling_told import rests_on
from breadline.language import say
from breadline.need.foretold import Compared
from breadline.need.foretold_words import (
    OF,
    amount,
    band_words,
    coverage_cell,
    coverage_sentence,
    days_before,
    died_sentence,
    of_hives,
    own_error_sentence,
    place_words,
)
from breadline.need.words import counted, day_and_year
from breadline.pictures.foretold_mark import foretold_mark
from breadline.web.opened import book_of
from breadline.web.views import page

router = APIRouter()


@dataclass(frozen=True)
class Row:
    """One count in words and one mark."""

    on: str
    counted: str
    of_hives: str
    foretold: str
    shown: str
    place: str
    outside: bool
    mark: Markup


@dataclass(frozen=True)
class YardShown:
    """One yard's record as the page shows it."""

    id: str
    name: str
    listed: bool
    under: str
    bees: str
    brood: str
    rows: tuple[Row, ...]
    aside: tuple[str, ...]


@router.get("/foretelling")
def foretelling(request: Request) -> HTMLResponse:
    """The record of a book, over all and yard by yard."""
    book = book_of(request)
    record = book.record()
    return page(
        "foretelling.html", "/foretelling", book.operation_name, under=under(record, book.operation_name),
        sentence=coverage_sentence(record.bees.coverage, "bees"), more=more(record),
        yards=[yard_shown(yard) for yard in record.yards], notes=rests_on(record),
    )  # fmt: skip


def under(record: Record, operation: str) -> str:
    """The line under the head: how much there is, and whose it is."""
    kept = say(
        "{outlooks} kept in {yards}",
        outlooks=counted(record.outlooks, "outlook"),
        yards=counted(len(record.yards), "yard"),
    )
    return say("{kept} of {operation}.", kept=kept, operation=operation) if operation else f"{kept}."


def more(record: Record) -> list[str]:
    """The sentences under the first: brood, what died, and the model's own error."""
    said = [coverage_sentence(record.brood.coverage, "brood"), died_sentence(record.bees.died)]
    said += [own_error_sentence(held.own_error, held.what) for held in (record.bees, record.brood)]
    return [text for text in said if text]


def yard_shown(yard: YardRecord) -> YardShown:
    """One yard with its counts, newest first, bees on one scale and brood on another."""
    tops = {
        what: max((max(row.high, row.counted) for row in yard.rows if row.what == what), default=1.0)
        for what in OF
    }
    return YardShown(
        id=yard.id,
        name=yard.name,
        listed=yard.listed,
        under=say("{outlooks} kept", outlooks=counted(yard.outlooks, "outlook"))
        + ("" if yard.listed else say(", taken off the list since")),
        bees=coverage_cell(yard.bees.coverage),
        brood=coverage_cell(yard.brood.coverage),
        rows=tuple(_row(one, yard.bees_a_frame or 1.0, tops[one.what]) for one in yard.rows),
        aside=tuple(f"{day_and_year(one.on)}, {say(OF[one.what])}: {say(one.why)}" for one in yard.aside),
    )


def _row(one: Compared, a_frame: float, top: float) -> Row:
    unit = say("frames of bees") if one.what == "bees" else say("cells of brood")
    return Row(
        on=day_and_year(one.on),
        counted=f"{amount(one.counted, one, a_frame)} {unit}",
        of_hives=of_hives(one),
        foretold=band_words(one, a_frame),
        shown=say("{days} before", days=counted(days_before(one), "day")),
        place=place_words(one),
        outside=one.place != "inside",
        mark=Markup(foretold_mark(one, top)),
    )
