"""Who in the yard gets which piece of a plan, and plans told as they are given: what is ordered is priced."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from math import fsum, inf

import numpy as np

from breadline.errors import PlanError
from breadline.jobs.rounds_answered import RoundsAnswer, day_of, worth_a_look
from breadline.jobs.rounds_cut import patty_of, piece_patty
from breadline.plan.bands import Band
from breadline.plan.classes import MEMBERS, Classes, Giving, classes
from breadline.plan.cuts import cut_down
from breadline.plan.given import as_given, more_than_full
from breadline.plan.paper import RoundVisit
from breadline.plan.plans import Piece, Plan, Way
from breadline.plan.portions import Step
from breadline.plan.ranked import Ranked
from breadline.plan.rounds import retold
from breadline.plan.tried import Question
from breadline.plan.truck_days import counted_by_hive, round_visits
from breadline.plan.turning import Give, Given, turning_points

ALL = (Band(0.0, inf, "full", 1.0),)


def with_classes(told: RoundsAnswer) -> RoundsAnswer:
    """The answer with every plan that may be followed told as its classes give it, and where it turns.

    Whether to feed at all goes by that too: a plan that its classes make worth its money is fed, one that
    beetles leave too little of is not.
    """
    full, question = told.answer.found, told.answer.question
    small = question.of(question.ensemble.few(MEMBERS))
    fed = [one for one in (*worth_a_look(told.answer), *full.frontier, *full.finalists) if one.plan.pieces]
    who = {one.plan.key: _classes(told, one, small) for one in {one.plan.key: one for one in fed}.values()}
    given = {one.plan.key: _given(told, one, who[one.plan.key]) for one in fed}
    told = _decided(told, given)
    points = turning_points(question, told.answer.found, _giving(told, small))
    found = replace(told.answer.found.told_as(given), flips_of=points)
    best = who.get(found.best.plan.key)
    answer = retold(told.answer, found, best, told.reader, told.allowed.patty.units)
    return replace(told, answer=answer.told(), who=who)


def _giving(told: RoundsAnswer, small: Question) -> Give:
    """How plans are given under any prices, in the seasons of ``small``."""
    belief = [feed.worth.gain[small.ensemble.draw] for feed in small.prices.feeds]

    def give(question: Question, at: Ranked) -> Given:
        who = _classes(told, at, replace(small, prices=question.prices, target=question.target))
        shares, holds = _shares(told, at, who), belief[at.plan.feed]
        if shares is None or who.mixed is None:
            return Given(at, np.zeros(holds.size), holds)
        return Given(as_given(at, who.mixed, *shares), more_than_full(who.mixed, *shares), holds)

    return give


def _decided(told: RoundsAnswer, given: Mapping[tuple[int, Way], Ranked]) -> RoundsAnswer:
    """The answer with the best plan that pays as it is given, where the best of full pieces does not."""
    found, close = told.answer.found, told.answer.question.close
    best = found.best
    if (best.plan.pieces and given[best.plan.key].gain > close) or told.answer.choose is None:
        return told
    pay = [one for one in found.finalists if one.plan.pieces and given[one.plan.key].gain > close]

    def chosen(one: Ranked) -> float:
        return found.in_choosing[one.plan.key] + given[one.plan.key].money - one.money

    now = max(pay, key=chosen, default=found.nothing)
    if now.plan.key == best.plan.key:
        return told
    answer = told.answer.choose(now)
    return replace(told, answer=answer, notes=(*answer.notes, *told.notes[len(told.answer.notes) :]))


def who_gets_it(told: RoundsAnswer, at: Ranked) -> Classes | None:
    """The classes of strength for a plan; None for "do nothing"."""
    if not at.plan.pieces:
        return None
    known = told.who.get(at.plan.key)
    return _classes(told, at, told.answer.question) if known is None else known


def _classes(told: RoundsAnswer, at: Ranked, question: Question) -> Classes:
    """By money; what was done last year as it was, less only where beetles allow a size less."""
    giving = Giving(told.allowed.clears, _half(told, at.plan), at.plan.kind == "last_year")
    # A fitted yard is searched from its first count; who is strong goes by the last look.
    return classes(question, at.plan, told.frames, told.reader, told.plan.hives, giving)


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
    shares = _shares(told, at, who)
    return at if shares is None or who.mixed is None else as_given(at, who.mixed, *shares)


def _shares(told: RoundsAnswer, at: Ranked, who: Classes) -> tuple[float, float] | None:
    """On a round of its truck sheets: of the colonies how many get any, and what one gets in the mean.

    None where all get the full piece, or where no sheet can be printed of it. [share]
    """
    try:
        visits = visits_given(told, at, who)
    except PlanError:  # smaller than people cut
        return None
    colonies, rounds = told.yard.colonies, len(visits)
    full = colonies * fsum(piece.grams for piece in at.plan.pieces)
    grams = fsum(
        count * step.cut * visit.patty.mass_g
        for visit in visits
        for step, count in zip(visit.steps, visit.counts, strict=True)
    )
    fed, piece = sum(visit.fed for visit in visits) / (colonies * rounds), grams / full
    return None if abs(fed - 1.0) < 1e-9 and abs(piece - 1.0) < 1e-9 else (fed, piece)


def visits_given(
    told: RoundsAnswer, at: Ranked, who: Classes | None, yard: RoundVisit | None = None
) -> tuple[RoundVisit, ...]:
    """The rounds of a plan with who gets what, in pieces that people cut; ``yard`` is any of its visits.

    Errors: PlanError if a piece is smaller than people cut.
    """
    yard = yard or bare_visit(told, at, who)
    pieces = [(day_of(told, piece.day), piece.grams) for piece in at.plan.pieces]
    patties = [piece_patty(told, at.plan.feed, piece.grams) for piece in at.plan.pieces]
    visits = round_visits(yard, bands_of(who), pieces, patties)
    if not any(visit.fed for visit in visits):  # few hives, and only a share of them would be fed
        visits = round_visits(yard, ALL, pieces, patties)
    on = visits[0].on if yard.combine else None
    return tuple(
        replace(visit, counts=counted_by_hive(visit, told.plan.hives), joined_on=on) for visit in visits
    )


def bare_visit(told: RoundsAnswer, at: Ranked, who: Classes | None) -> RoundVisit:
    """The first round of a plan before anybody has a piece of it."""
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
