"""The record of foretelling as lines for the terminal and as a document for other programs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from breadline.jobs.foretelling import Held, Record, YardRecord
from breadline.language import noted, say
from breadline.need.forecast import LEAVES_OUT
from breadline.need.foretold import Aside, Compared
from breadline.need.foretold_words import (
    OF,
    OWN_ERROR_OF_COUNTS,
    band_words,
    coverage_cell,
    coverage_sentence,
    days_before,
    died_sentence,
    go_together,
    of_hives,
    own_error_sentence,
    place_words,
)
from breadline.need.foretold_words import amount as amount_words
from breadline.need.words import counted, day_and_year

SHAPE = "breadline.record/1"
Line = tuple[str, str]  # style, text
NO_BROOD = noted(
    "{counts} of brood found none. Such a count says less than a tenth of a frame, as little as a keeper may "
    "overlook: it stands inside where the band begins below that, else below the band."
)


def record_lines(record: Record) -> Iterator[Line]:
    """The record for a terminal: over all, then yard by yard."""
    for held in (record.bees, record.brood):
        yield "bold", coverage_sentence(held.coverage, held.what)
        yield "", own_error_sentence(held.own_error, held.what)
    if died := died_sentence(record.bees.died):
        yield "", died
    for yard in record.yards:
        yield "", ""
        off = "" if yard.listed else say(", off the list")
        yield (
            "bold",
            say(
                "{name}{off}: {outlooks} kept",
                name=yard.name,
                off=off,
                outlooks=counted(yard.outlooks, "outlook"),
            ),
        )
        yield (
            "",
            say(
                "Bees {coverage_cell}. Brood {coverage_cell2}.",
                coverage_cell=coverage_cell(yard.bees.coverage),
                coverage_cell2=coverage_cell(yard.brood.coverage),
            ),
        )
        for row in yard.rows:
            yield "", f" {_row_words(row, yard)}"
        for aside in yard.aside:
            yield (
                "dim",
                say(
                    " {day_and_year}, {of}: not compared, {why}",
                    day_and_year=day_and_year(aside.on),
                    of=say(OF[aside.what]),
                    why=say(aside.why),
                ),
            )
    yield "", ""
    for text in rests_on(record):
        yield "dim", text


def rests_on(record: Record) -> tuple[str, ...]:
    """What has to be known beside the figures."""
    said = (
        [say(OWN_ERROR_OF_COUNTS), go_together()]
        if record.bees.coverage.of or record.brood.coverage.of
        else []
    )
    if record.versions > 1:
        said.append(
            say(
                "The outlooks are of {versions} versions of the program or its figures.",
                versions=record.versions,
            )
        )
    said.append(
        say(
            "An outlook is kept when it is shown from a book of records; a count is held against "
            "the last one shown before it that was made from an earlier count."
        )
    )
    said.append(
        say(
            "Every outlook leaves out: {listed}. A count holds them all.",
            listed=", ".join(say(one) for one in LEAVES_OUT),
        )
    )
    none = sum(row.what == "brood" and row.counted == 0 for yard in record.yards for row in yard.rows)
    if none:
        said.append(say(NO_BROOD, counts=counted(none, "count")))
    return tuple(said)


def _row_words(row: Compared, yard: YardRecord) -> str:
    a_frame = yard.bees_a_frame or 1.0
    unit = say("frames of bees") if row.what == "bees" else say("cells of brood")
    return say(
        "{day_and_year}: {amount_words} {unit}, foretold {band_words} {days} before: {places}",
        day_and_year=day_and_year(row.on),
        amount_words=amount_words(row.counted, row, a_frame),
        unit=f"{unit} ({of_hives(row)})" if row.hives else unit,
        band_words=band_words(row, a_frame),
        days=counted(days_before(row), "day"),
        places=place_words(row),
    )


def record_document(record: Record) -> dict[str, Any]:
    """The record as a JSON document; its shape is described in ``docs/guide/commands.md``."""
    return {
        "shape": SHAPE,
        "outlooks_kept": record.outlooks,
        "versions": record.versions,
        "band_should_hold": 0.8,
        "bees": _held(record.bees),
        "brood": _held(record.brood),
        "yards": [_yard(yard) for yard in record.yards],
        "notes": list(rests_on(record)),
    }


def _yard(yard: YardRecord) -> dict[str, Any]:
    return {
        "id": yard.id,
        "name": yard.name,
        "listed": yard.listed,
        "outlooks_kept": yard.outlooks,
        "bees_a_frame": yard.bees_a_frame,
        "bees": _held(yard.bees),
        "brood": _held(yard.brood),
        "counts": [_row(row) for row in yard.rows],
        "not_compared": [_aside(aside) for aside in yard.aside],
    }


def _held(held: Held) -> dict[str, Any]:
    own, told = held.own_error, held.coverage
    return {
        "inside": told.inside,
        "of": told.of,
        "expected_inside": round(told.expected, 1),
        "too_few": told.too_few,
        "yard_seasons": told.seasons,
        "share_low": None if told.low is None else round(told.low, 3),
        "share_high": None if told.high is None else round(told.high, 3),
        "died": held.died,
        "own_error_log_sd": None if own is None else round(own.log_sd, 3),
        "count_over_middle": None if own is None else round(own.leans, 3),
        "sentence": coverage_sentence(told, held.what),
    }


def _row(row: Compared) -> dict[str, Any]:
    return {
        "what": row.what,
        "on": row.on.isoformat(),
        "shown_on": row.shown_on.isoformat(),
        "made_from_count_of": row.counted_on.isoformat(),
        "low": round(row.low),
        "middle": round(row.middle),
        "high": round(row.high),
        "counted": round(row.counted),
        "hives": row.hives,
        "hives_without_bees": row.empty,
        "place": row.place,
        "ratio": None if row.ratio is None else round(row.ratio, 3),
        "model": row.model,
    }


def _aside(aside: Aside) -> dict[str, str]:
    return {"what": aside.what, "on": aside.on.isoformat(), "why": aside.why}
