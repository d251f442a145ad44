"""A fit to a yard's own counts, for the terminal and as a document for other programs."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from breadline.need.fit.told import Bands, Fitted
from breadline.need.fit.words import headline, sentences
from breadline.need.outlook import Band, Range


def fit_lines(told: Fitted) -> Iterator[str]:
    """What the counts changed: the sentence, before and after, what was foretold, what it rests on."""
    yield headline(told)
    yield from sentences(told)


def fit_document(told: Fitted) -> dict[str, Any]:
    """Units are in the names; its shape is described in ``docs/guide/commands.md``."""
    return {
        "fits": told.fits,
        "headline": headline(told),
        "sentences": list(sentences(told)),
        "draws": told.draws,
        "effective_draws_first": round(told.effective_first, 1),
        "effective_draws": round(told.effective, 1),
        "draws_moved": told.moved,
        "chance_of_such_counts": round(told.chance_of_misfit, 5),
        "feed_known": told.feed_known,
        "inspections_before_the_last": told.from_inspections,
        "foretold": [
            {
                "on": f.on.isoformat(),
                "what": f.what,
                "counted": round(f.counted),
                "low": round(f.low),
                "middle": round(f.middle),
                "high": round(f.high),
                "inside": f.inside,
                "ratio": round(f.ratio, 3),
            }
            for f in told.foretold
        ],
        "counted": [
            {
                "on": one.on.isoformat(),
                "what": one.what,
                "counted": round(one.counted),
                "low": round(one.low),
                "high": round(one.high),
                "colonies": one.colonies,
            }
            for one in told.looked
        ],
        "dates": [on.isoformat() for on in told.dates],
        "before": _bands(told.before),
        "after": _bands(told.after),
    }


def _bands(bands: Bands) -> dict[str, Any]:
    return {
        "adults": _band(bands.adults),
        "brood_cells": _band(bands.brood),
        "bread_g": _band(bands.bread_g),
        "site": _range(bands.site),
    }


def _band(band: Band) -> dict[str, list[int]]:
    return {k: [round(float(v)) for v in getattr(band, k)] for k in ("low", "middle", "high")}


def _range(value: Range) -> dict[str, float]:
    return {k: round(getattr(value, k), 3) for k in ("low", "middle", "high")}
