"""A plan as a book keeps it when it is chosen: with the belief and the prices it was chosen under."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from breadline import __version__
from breadline.errors import InputToMend
from breadline.jobs.foretelling import draws_version
from breadline.jobs.rounds import RoundsAnswer, day_of
from breadline.jobs.rounds_file import FeedAsked
from breadline.jobs.rounds_paper_kept import paper_document
from breadline.jobs.rounds_told import plan_document
from breadline.jobs.rounds_words import break_even_of, chosen_name
from breadline.jobs.rounds_yard_paper import yard_paper
from breadline.knowledge.shelf import Shelf
from breadline.language import ENGLISH, LANGUAGES, speaking
from breadline.plan.ranked import Ranked
from breadline.records.plans import Chosen


def as_chosen(told: RoundsAnswer, at: Ranked, shelf: Shelf) -> Chosen:
    """A plan as it is kept: in English, with its sentences as other languages say them beside."""
    said = {}
    for code in LANGUAGES:
        with speaking(code):
            said[code] = {"sentence": chosen_name(told, at), "break_even": break_even_of(told, at)}
    with speaking(ENGLISH):
        return _as_kept(told, at, shelf, said)


def _as_kept(told: RoundsAnswer, at: Ranked, shelf: Shelf, said: Mapping[str, Mapping[str, str]]) -> Chosen:
    feed = told.answer.question.prices.feeds[at.plan.feed]
    asked = told.plan.feeds[at.plan.feed]
    ends = np.exp(np.quantile(feed.worth.gain, (0.05, 0.5, 0.95))).tolist()  # low, middle, high
    work = told.plan.work
    return Chosen(
        chosen_on=told.yard.today,
        asked=told.plan.text,
        sentence=said[ENGLISH]["sentence"],
        break_even=said[ENGLISH]["break_even"],
        feed=feed.name if at.plan.pieces else "",
        colonies=told.yard.colonies,
        belief={"situation": told.situation, "fed_over_unfed": [round(v, 3) for v in ends],
                "own_seasons": 0 if told.learnt is None else len(told.learnt.results), **_shift(asked)},
        prices={"money": asked.price.money, "feed_kg": round(asked.price.amount, 4),
                "feed_year": asked.price.year, "wage": work.wage.amount},
        foretold={**plan_document(told, at), "said": {code: dict(one) for code, one in said.items()}},
        seed=told.seed,
        program=__version__,
        draws=draws_version(shelf),
        rounds=tuple((day_of(told, piece.day), piece.grams) for piece in at.plan.pieces),
        paper=_paper(told, at),
        threshold=told.threshold,
    )  # fmt: skip


def _paper(told: RoundsAnswer, at: Ranked) -> dict[str, Any] | None:
    """None where no sheet can be printed: a plan may be chosen all the same."""
    try:
        return paper_document(yard_paper(told, at))
    except InputToMend:
        return None


def _shift(asked: FeedAsked) -> dict[str, Any]:
    """What the feed's own analysis moved the belief by, and which recipe or label that was."""
    known = asked.known
    if known is None:
        return {}
    of = {"kind": known.kind, "name": known.name, "version": known.version,
          "protein_pct": [round(v, 1) for v in (known.protein.low, known.protein.high)]}  # fmt: skip
    return {"shift": [round(known.shift.mean, 4), round(known.shift.sd, 4)], "by": of}
