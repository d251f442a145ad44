"""What phones are told of feeding: what the chosen plan gives when, and whom a check group leaves out."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.errors import BreadlineError
from breadline.jobs.book import Book
from breadline.jobs.check_group_trial import Trial
from breadline.jobs.check_hives import hives_known, kept_back, left_out
from breadline.jobs.kept_back import Kept
from breadline.jobs.rounds_paper_kept import paper_from
from breadline.jobs.trial_book import Damaged, TrialsBook
from breadline.knowledge.cautions import caution
from breadline.language import noted, say
from breadline.measures import Units
from breadline.need.words import half_frames
from breadline.plan.cuts import Patty, cut_words, mass_words
from breadline.plan.paper import RoundVisit
from breadline.plan.strength_classes import cut_for
from breadline.records import plans
from breadline.records.engine import looking
from breadline.records.field_trials import AFTER
from breadline.records.yard_names import names_of
from breadline.trial.design import CheckArm

Document = dict[str, Any]
GETS = {
    CheckArm.SAME_CARE: noted("no protein feed"),
    CheckArm.USUAL: noted("as you usually do"),
    CheckArm.HALF: noted("half a piece"),
    CheckArm.SUGAR: noted("a patty of sugar alone"),
}


def given_there(book: Book, listed: list[Document], units: Units) -> list[Document]:
    """The same yards, each with its rounds, the check hives of a trial that runs, and the tags worn in it."""
    kept = TrialsBook(book.path, book.today).trials()
    running = [one.trial for one in kept if not isinstance(one, Damaged)]
    with looking(book._engine) as session:
        for yard in listed:
            tags = frozenset(one["tag"] for one in yard["hives"])
            names = names_of(session, UUID(yard["id"]))
            back = [kept_back(trial, names, tags, book.today) for trial in running]
            yard["rounds"] = rounds_of(session, UUID(yard["id"]), units, [one for one in back if one])
            yard["check"], yard["worn"] = {}, []
            for trial in running:
                yard["worn"] += worn_in(trial, names, tags, book.today)
                yard["check"] |= groups_of(trial, names, tags, book.today)
    return listed


def rounds_of(session: Session, yard_id: UUID, units: Units, kept: Sequence[Kept] = ()) -> list[Document]:
    """The rounds of the plan that was chosen for a yard: number, day, and who gets which piece.

    ``kept`` is what check groups keep back there: none of their hives is combined.
    """
    row = plans.plan_of(session, yard_id)
    if row is None:
        return []
    if visits := _visits(row.paper, kept):
        return [_visit(one) for one in visits]
    given = plans.pieces(session, row.id)
    return [
        {"round": n, "on": on.isoformat(), "feed": row.feed,
         "steps": [{"from": 0.0, "grams": round(grams), "gets": mass_words(grams, units),
                    "piece": mass_words(grams, units)}]}
        for n, (on, grams) in enumerate(given, 1)
    ]  # fmt: skip


def _visits(paper: Document | None, back: Sequence[Kept]) -> tuple[RoundVisit, ...]:
    """None where an older book kept no sheets, or their recipe can no longer be read: days and grams stay."""
    try:
        kept = paper_from(paper)
    except BreadlineError:
        return ()
    return () if kept is None else left_out(kept, back).visits


def _visit(visit: RoundVisit) -> Document:
    steps = [_step(one.from_frames, one.cut, visit.patty) for one in visit.steps]
    joined = {} if visit.joins else {pair.hives[1]: pair.frames for pair in visit.combine if pair.hives}
    return {"round": visit.round, "on": visit.on.isoformat(), "feed": visit.feed, "steps": steps,
            "says": _says(visit), "why": _why(visit), "joined": joined}  # fmt: skip


def _says(visit: RoundVisit) -> dict[str, str]:
    """What is said of a hive whatever its frames: by tag, who goes into whom, and who gets nothing."""
    says = dict.fromkeys(visit.unfed, say("Give nothing: {why}", why=say(visit.unfed_why)))
    for small, into, cut in _joining(visit):
        piece = mass_words(cut * visit.patty.mass_g, visit.patty.units) if cut else say("nothing")
        says[small] = say("If healthy, combine into {into}", into=into)
        says[into] = say("If healthy, combine {small} here: {piece}", small=small, piece=piece)
    return says


def _why(visit: RoundVisit) -> dict[str, str]:
    """What stands behind a tap, by tag: the whole of what is to be done, and what to look for first."""
    sick, why = caution("combining"), {}
    for small, into, cut in _joining(visit):
        why[small] = why[into] = say(
            "Combine {small} into {into}, then give {into} {gets} and {small} nothing. {line} Ask {ask}.",
            small=small,
            into=into,
            gets=cut_words(cut, visit.patty),
            line=say(sick.line),
            ask=say(sick.ask),
        )
    return why


def _joining(visit: RoundVisit) -> list[tuple[str, str, float]]:
    """Who goes into whom on this visit, by name, and what the joined hive then gets [patties]."""
    named = [pair for pair in visit.combine if pair.hives and visit.joins]
    return [(pair.hives[0], pair.hives[1], cut_for(visit.steps, pair.frames)) for pair in named]


def _step(from_frames: float, cut: float, patty: Patty) -> Document:
    grams = cut * patty.mass_g
    piece = mass_words(grams, patty.units) if cut > 0.0 else say("Nothing")
    return {"from": from_frames, "grams": round(grams), "gets": cut_words(cut, patty), "piece": piece}


def groups_of(trial: Trial, names: Sequence[str], tags: frozenset[str], today: date) -> dict[str, str]:
    """What the check hives of a yard get, by tag, while a locked trial runs; ``*`` is the whole yard.

    ``names`` are those of the yard, with the ones it had before.
    """
    kept = kept_back(trial, names, tags, today)
    if kept is None:
        return {}
    says = say(GETS[kept.gets])
    if trial.rescue_below > 0.0:
        says += say(
            "; under {half_frames} frames it is fed all the same", half_frames=half_frames(trial.rescue_below)
        )
    if kept.whole:
        return {"*": says}
    # a hive that was written down by the tag it wears is left out under that tag too
    return {name: says for one in kept.hives for name in (one.listed, one.worn_by or one.listed)}


def worn_in(trial: Trial, names: Sequence[str], tags: frozenset[str], today: date) -> list[list[str]]:
    """The tags that hives of a yard wear in a locked trial, each with its hive; nothing of the groups."""
    if trial.seal is None or today > trial.design.grading + AFTER:
        return []
    known = hives_known(names, tags)
    drawn = [one for one in trial.design.started if one.yard in names]
    return [[one.tag, known[one.hive.casefold()]] for one in drawn if one.hive.casefold() in known]
