"""What phones are told of feeding: what the chosen plan gives when, and whom a check group leaves out."""

from __future__ import annotations

from datetime import date
from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.errors import BreadlineError
from breadline.jobs.book import Book
from breadline.jobs.check_group_trial import Trial
from breadline.jobs.rounds_paper_kept import paper_from
from breadline.jobs.trial_book import Damaged, TrialsBook
from breadline.knowledge.cautions import caution
from breadline.language import noted, say
from breadline.need.words import half_frames
from breadline.pictures.wording import Units
from breadline.plan.cuts import Patty, cut_words, mass_words
from breadline.plan.paper import RoundVisit
from breadline.plan.strength_classes import cut_for
from breadline.records import plans
from breadline.records.engine import looking
from breadline.records.field_trials import AFTER
from breadline.trial.colonies import CHECK
from breadline.trial.design import CheckArm, Unit

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
            yard["rounds"] = rounds_of(session, UUID(yard["id"]), units)
            yard["check"], yard["worn"] = {}, []
            for trial in running:
                yard["worn"] += worn_in(trial, yard["name"], tags, book.today)
                yard["check"] |= groups_of(trial, yard["name"], tags, book.today)
    return listed


def rounds_of(session: Session, yard_id: UUID, units: Units) -> list[Document]:
    """The rounds of the plan that was chosen for a yard: number, day, and who gets which piece."""
    row = plans.plan_of(session, yard_id)
    if row is None:
        return []
    if visits := _visits(row.paper):
        return [_visit(one) for one in visits]
    given = plans.pieces(session, row.id)
    return [
        {"round": n, "on": on.isoformat(), "feed": row.feed,
         "steps": [{"from": 0.0, "grams": round(grams), "gets": mass_words(grams, units),
                    "piece": mass_words(grams, units)}]}
        for n, (on, grams) in enumerate(given, 1)
    ]  # fmt: skip


def _visits(paper: Document | None) -> tuple[RoundVisit, ...]:
    """None where an older book kept no sheets, or their recipe can no longer be read: days and grams stay."""
    try:
        kept = paper_from(paper)
    except BreadlineError:
        return ()
    return () if kept is None else kept.visits


def _visit(visit: RoundVisit) -> Document:
    steps = [_step(one.from_frames, one.cut, visit.patty) for one in visit.steps]
    return {"round": visit.round, "on": visit.on.isoformat(), "feed": visit.feed, "steps": steps,
            "says": _says(visit)}  # fmt: skip


def _says(visit: RoundVisit) -> dict[str, str]:
    """What is said of a hive whatever its frames: by tag, who goes into whom, and who gets nothing."""
    says = dict.fromkeys(visit.unfed, say("Give nothing: {why}", why=say(visit.unfed_why)))
    sick = caution("combining")
    for pair in visit.combine:
        if pair.hives:
            small, into = pair.hives
            gets = cut_words(cut_for(visit.steps, pair.frames), visit.patty)
            says[small] = say(
                "Combine into {into}, give nothing here. {line} Ask {ask}.",
                into=into,
                line=say(sick.line),
                ask=say(sick.ask),
            )
            says[into] = say(
                "Combine {small} into this one, then give {gets}. {line} Ask {ask}.",
                small=small,
                gets=gets,
                line=say(sick.line),
                ask=say(sick.ask),
            )
    return says


def _step(from_frames: float, cut: float, patty: Patty) -> Document:
    grams = cut * patty.mass_g
    piece = mass_words(grams, patty.units) if cut > 0.0 else say("Nothing")
    return {"from": from_frames, "grams": round(grams), "gets": cut_words(cut, patty), "piece": piece}


def groups_of(trial: Trial, yard: str, tags: frozenset[str], today: date) -> dict[str, str]:
    """What the check hives of a yard get, by tag, while a locked trial runs; ``*`` is the whole yard."""
    of = trial.design
    if trial.seal is None or today > of.grading:
        return {}
    says = say(GETS[of.check_arm])
    if trial.rescue_below > 0.0:
        says += say(
            "; under {half_frames} frames it is fed all the same", half_frames=half_frames(trial.rescue_below)
        )
    left_out = [one for one in trial.without_end if one.yard == yard and one.arm == CHECK]
    if of.unit is Unit.YARD:
        return {"*": says} if left_out else {}
    known = _names(yard, tags)
    found = [(one, known.get(one.hive.casefold(), one.tag)) for one in left_out]
    # a hive that was written down by the tag it wears is left out under that tag too
    return {name: says for one, hive in found for name in (hive, known.get(one.tag.casefold(), hive))}


def worn_in(trial: Trial, yard: str, tags: frozenset[str], today: date) -> list[list[str]]:
    """The tags that hives of a yard wear in a locked trial, each with its hive; nothing of the groups."""
    if trial.seal is None or today > trial.design.grading + AFTER:
        return []
    known = _names(yard, tags)
    drawn = [one for one in trial.design.started if one.yard == yard]
    return [[one.tag, known[one.hive.casefold()]] for one in drawn if one.hive.casefold() in known]


def _names(yard: str, tags: frozenset[str]) -> dict[str, str]:
    """The hives of a yard by their names, and as a trial over yards names them."""
    return {name.casefold(): tag for tag in sorted(tags) for name in (f"{yard} {tag}", tag)}
