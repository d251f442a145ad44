"""Who in the yard gets which piece of a plan, and plans told as they are given: what is ordered is priced."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from math import fsum, inf

from breadline.errors import PlanError
from breadline.jobs.rounds_answered import RoundsAnswer, day_of, worth_a_look
from breadline.jobs.rounds_cut import patty_of, piece_patty
from breadline.plan.bands import Band
from breadline.plan.classes import Classes, Giving, classes
from breadline.plan.cuts import cut_down
from breadline.plan.given import as_given
from breadline.plan.paper import RoundVisit
from breadline.plan.plans import Piece, Plan
from breadline.plan.portions import Step
from breadline.plan.ranked import Ranked
from breadline.plan.rounds import retold
from breadline.plan.truck_days import counted_by_hive, round_visits

ALL = (Band(0.0, inf, "full", 1.0),)
PASSES = 5  # at most; a plan that comes onto the list by what the classes bring is told by its own


def with_classes(told: RoundsAnswer) -> RoundsAnswer:
    """The answer with every plan of the list told as its classes give it."""
    for _ in range(PASSES):
        shown = worth_a_look(told.answer)
        new = [one for one in shown if one.plan.pieces and one.plan.key not in told.who]
        if not new:
            return told
        who = {one.plan.key: _classes(told, one) for one in new}
        given = {one.plan.key: _given(told, one, who[one.plan.key]) for one in new}
        found = told.answer.found.told_as(given)
        best = who.get(found.best.plan.key, told.answer.classes)
        answer = retold(told.answer, found, best, told.reader, told.allowed.patty.units)
        told = replace(told, answer=answer, who={**told.who, **who})
    return told


def who_gets_it(told: RoundsAnswer, at: Ranked) -> Classes | None:
    """The classes of strength for a plan; None for "do nothing"."""
    if not at.plan.pieces:
        return None
    known = told.who.get(at.plan.key)
    return _classes(told, at) if known is None else known


def _classes(told: RoundsAnswer, at: Ranked) -> Classes:
    """By money where the search feeds; what was done last year, and plans that are not worth it, as named."""
    named = at.plan.kind == "last_year" or not told.answer.found.best.plan.pieces
    giving = Giving(told.allowed.clears, _half(told, at.plan), named)
    # A fitted yard is searched from its first count; who is strong goes by the last look.
    return classes(told.answer.question, at.plan, told.frames, told.reader, told.plan.hives, giving)


def _half(told: RoundsAnswer, plan: Plan) -> Plan:
    """The plan with half of its pieces, as people cut them; no piece where half of it is not cut."""
    pieces = []
    for piece in plan.pieces:
        patty = piece_patty(told, plan.feed, piece.grams)
        half = piece.grams / 2.0
        if cut := cut_down(half, patty, half / patty.mass_g):
            pieces.append(Piece(piece.day, cut * patty.mass_g))
    return replace(plan, pieces=tuple(pieces))


def _given(told: RoundsAnswer, at: Ranked, who: Classes) -> Ranked:
    """What is told of a plan as it is given: by its truck sheets; as it is where it has none."""
    try:
        visits = visits_given(told, at, who)
    except PlanError:  # smaller than people cut: no sheet can be printed of it
        return at
    colonies, rounds = told.yard.colonies, len(visits)
    full = colonies * fsum(piece.grams for piece in at.plan.pieces)
    grams = fsum(
        count * step.cut * visit.patty.mass_g
        for visit in visits
        for step, count in zip(visit.steps, visit.counts, strict=True)
    )
    fed, piece = sum(visit.fed for visit in visits) / (colonies * rounds), grams / full
    if who.mixed is None or (abs(fed - 1.0) < 1e-9 and abs(piece - 1.0) < 1e-9):
        return at
    return as_given(at, who.mixed, fed, piece)


def visits_given(
    told: RoundsAnswer, at: Ranked, who: Classes | None, yard: RoundVisit | None = None
) -> tuple[RoundVisit, ...]:
    """The rounds of a plan with who gets what, in pieces that people cut; ``yard`` is any of its visits.

    Errors: PlanError if a piece is smaller than people cut.
    """
    yard = yard or _bare(told, at, who)
    pieces = [(day_of(told, piece.day), piece.grams) for piece in at.plan.pieces]
    patties = [piece_patty(told, at.plan.feed, piece.grams) for piece in at.plan.pieces]
    visits = round_visits(yard, bands_of(who), pieces, patties)
    if not any(visit.fed for visit in visits):  # few hives, and only a share of them would be fed
        visits = round_visits(yard, ALL, pieces, patties)
    on = visits[0].on if yard.combine else None
    return tuple(
        replace(visit, counts=counted_by_hive(visit, told.plan.hives), joined_on=on) for visit in visits
    )


def _bare(told: RoundsAnswer, at: Ranked, who: Classes | None) -> RoundVisit:
    return RoundVisit(
        yard=told.yard.name,
        round=1,
        on=told.yard.today,
        steps=(Step(0.0, 0.0),),
        counts=(told.yard.colonies,),
        patty=patty_of(told, at),
        days=told.allowed.limit.days,
        combine=() if who is None else who.combine,
    )


def bands_of(who: Classes | None) -> Sequence[Band]:
    """The classes; a full piece for all where a keeper takes a plan that beetles leave to nobody."""
    found = () if who is None else (who.bands, who.at_most)
    return next((bands for bands in found if any(band.gets != "none" for band in bands)), ALL)
