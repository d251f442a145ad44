"""A kept plan's name as its reader wants it: in their language, and in their units."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from itertools import pairwise
from typing import cast

from breadline.errors import InputToMend
from breadline.jobs.rounds_paper_kept import paper_from
from breadline.language import language, say
from breadline.measures import units_of
from breadline.plan.cuts import Patty
from breadline.plan.plans import Piece, Plan, pieces_words
from breadline.records.tables import PlanRow

CUTS = 8  # of a patty: half of a quarter is the smallest piece
TENTH_G = 0.06  # as grams are kept with a plan [g]


def kept_said(row: PlanRow) -> dict[str, str]:
    """Name and break-even of a plan in this language, as they were kept; of older books English alone."""
    said = {"sentence": row.sentence, "break_even": row.break_even}
    return said | cast(dict[str, str], row.foretold.get("said", {}).get(language(), {}))


def kept_name(row: PlanRow) -> str:
    """Its name with amounts in the reader's units, out of its figures.

    As it was kept where those were its units, where it kept no figures to tell it by, and where they do not
    give the name that it had.
    """
    kept = kept_said(row)["sentence"]
    try:
        paper = paper_from(row.paper)
    except InputToMend:  # its recipe can no longer be read
        return kept
    rounds = [(date.fromisoformat(one["on"]), one["grams"]) for one in row.foretold.get("rounds", ())]
    if paper is None or not paper.visits or not rounds:
        return kept
    patty, units = paper.visits[0].patty, units_of(paper.country)
    if units == patty.units:
        return kept
    was = [even for even in (True, False) if _name(row, rounds, patty, even) == kept]
    return _name(row, rounds, replace(patty, units=units), was[0]) if was else kept


def _name(row: PlanRow, rounds: Sequence[tuple[date, float]], patty: Patty, even: bool) -> str:
    """The name; ``even`` tells rounds that are as far apart as each other by their interval."""
    days = [(on - rounds[0][0]).days for on, _ in rounds]
    gaps = {after - before for before, after in pairwise(days)}
    pieces = tuple(Piece(day, _cut(grams, patty)) for day, (_, grams) in zip(days, rounds, strict=True))
    apart = gaps.pop() if even and len(gaps) == 1 else 0
    by_rule = bool(row.foretold.get("until_pollen"))
    words = pieces_words(Plan("search", pieces, interval=apart, by_rule=by_rule), patty, row.threshold)
    return say("As last year: {plan}", plan=words) if row.foretold.get("kind") == "last_year" else words


def _cut(grams: float, patty: Patty) -> float:
    """A mass that was kept in tenths of a gram as the cut of the patty that it is. [g]"""
    cut = round(CUTS * grams / patty.mass_g) / CUTS * patty.mass_g
    return cut if abs(cut - grams) <= TENTH_G else grams
