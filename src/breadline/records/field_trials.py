"""What is entered of a colony of a running check group: its end goes into the trial, never over another.

A trial runs from the day of its lock until ``AFTER`` its day of grading. A hive that was found
dead has its end by any visit; a reading is one only where it was graded, on the day of grading
or later. What nobody said is no end: such a colony stays open.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from breadline.records import trials
from breadline.records.append_only import current, withdraw
from breadline.records.field_tables import ColonyFact, FieldEntry
from breadline.records.tables import Colony, YardFact
from breadline.records.trial_tables import TrialEndRow, TrialRow
from breadline.trial.colonies import Became, Ended, Started
from breadline.trial.design import Outcome

AFTER = timedelta(days=30)  # the day of grading: judged; what is seen later is of the next season
IN_FRAMES = (Outcome.FRAMES.value, Outcome.MAKING_GRADE.value)
GRADING = "grading"
BECAME = {"dead": Became.DEAD, "merged": Became.MERGED, "sold": Became.SOLD, "moved": Became.MOVED}


@dataclass(frozen=True)
class Told:
    """The end of a colony as it was told, and the trial that it belongs to."""

    trial: TrialRow
    end: Ended


def running(session: Session) -> bool:
    """Whether any trial is locked, so that entries have to be held against it."""
    return session.scalar(select(TrialRow.id).where(TrialRow.seal.is_not(None)).limit(1)) is not None


def told_of(session: Session, entry: FieldEntry, colony_id: UUID | None) -> Told | None:
    """What an entry says of the end of its hive in a running check group; None where nothing."""
    standing = entry.told.get("standing")
    frames = (entry.told.get("seen") or {}).get("frames_of_bees", {}).get("value")
    if standing != "dead" and (entry.work != GRADING or frames is None):
        return None
    found = _drawn(session, entry.yard_id, entry.on, _tags(session, entry.tag, colony_id))
    if found is None:
        return None
    trial, colony = found
    if standing == "dead":
        return Told(trial, Ended(colony.tag, Became.DEAD, None, entry.on, entry.by))
    design = trial.told["design"]
    if design["outcome"] not in IN_FRAMES or entry.on < date.fromisoformat(design["grading"]):
        return None
    return Told(trial, Ended(colony.tag, Became.GRADED, float(frames), entry.on, entry.by))


def ended_of(session: Session, colony_id: UUID, standing: str, on: date, into: UUID | None) -> Told | None:
    """What the row of hives says of the end of a colony in a running check group; None where nothing."""
    colony = session.get(Colony, colony_id)
    if colony is None or standing not in BECAME:
        return None
    found = _drawn(session, colony.yard_id, on, _tags(session, colony.name, colony_id))
    if found is None:
        return None
    other = None if into is None else _drawn(session, colony.yard_id, on, _tags(session, "", into))
    name = "" if into is None else other[1].tag if other else sorted(_tags(session, "", into))[0]
    return Told(found[0], Ended(found[1].tag, BECAME[standing], None, on, merged_into=name))


def against(session: Session, told: Told) -> str:
    """What the trial has in its place, in words; empty where it has none, or the same."""
    there = _there(session, told)
    if there is None or _same(there, told.end) or _after_its_reading(there, told.end):
        return ""
    is_so = there.became.value if there.outcome is None else f"{there.became.value}, {there.outcome:g}"
    return f"the check group “{told.trial.name}” has hive {told.end.tag} as {is_so} already"


def keep(session: Session, told: Told, because: str) -> None:
    """Write an end into its trial; whoever lets it replace another has asked a person."""
    there = _there(session, told)
    if there is None:
        trials.keep_end(session, told.trial, told.end, because)
    elif not (_same(there, told.end) or _after_its_reading(there, told.end)):
        parts = ("became", "outcome", "graded_on", "grader", "merged_into")  # what else was read stays
        new = replace(there, **{name: getattr(told.end, name) for name in parts})
        trials.keep_end(session, told.trial, new, because)


def take_away(session: Session, told: Told, because: str) -> None:
    """Withdraw an end where it still stands as it was told; its colony is open again."""
    there = _there(session, told)
    if there is None or not _same(there, told.end) or there.graded_on != told.end.graded_on:
        return
    of = told.trial.drawn or told.trial.id
    wanted = current(TrialEndRow).where(TrialEndRow.trial_id == of, TrialEndRow.tag == told.end.tag)
    for row in session.scalars(wanted):
        withdraw(session, row, because)


def hive_of(session: Session, yard_id: UUID, on: date, tag: str) -> str | None:
    """The hive of a yard that wears a tag of a running check group; None where none does."""
    found = _drawn(session, yard_id, on, {tag.casefold()})
    if found is None or not found[1].hive:
        return None
    return found[1].hive.removeprefix(f"{found[1].yard} ")


def _tags(session: Session, tag: str, colony_id: UUID | None) -> set[str]:
    """By which names a hive may have been drawn."""
    names = {tag}
    if colony_id is not None:
        fact = session.scalar(current(ColonyFact).where(ColonyFact.colony_id == colony_id))
        names = {session.get_one(Colony, colony_id).name} | ({fact.tag} if fact is not None else set())
    return {name.casefold() for name in names if name}


def _drawn(session: Session, yard_id: UUID, on: date, tags: set[str]) -> tuple[TrialRow, Started] | None:
    """The colony of a running trial that a hive of a yard is, by its own tag or that of the trial."""
    fact = session.scalar(current(YardFact).where(YardFact.yard_id == yard_id))
    if fact is None:
        return None
    called = tags | {f"{fact.name} {tag}".casefold() for tag in tags}
    for trial in reversed(trials.trials(session)):
        if trial.seal is None or not _runs(trial, on):
            continue
        for one in trials.colonies_of(session, trial):
            if one.yard == fact.name and called & ({one.tag.casefold(), one.hive.casefold()} - {""}):
                return trial, one
    return None


def _runs(trial: TrialRow, on: date) -> bool:
    locked, grading = trial.told.get("locked_at"), date.fromisoformat(trial.told["design"]["grading"])
    return locked is not None and datetime.fromisoformat(locked).date() <= on <= grading + AFTER


def _there(session: Session, told: Told) -> Ended | None:
    return next((one for one in trials.ends_of(session, told.trial) if one.tag == told.end.tag), None)


def _same(there: Ended, told: Ended) -> bool:
    return (there.became, there.outcome or 0.0) == (told.became, told.outcome or 0.0)


def _after_its_reading(there: Ended, told: Ended) -> bool:
    """Whether something befell it after its reading was taken: that is no part of the trial any more."""
    if there.became is not Became.GRADED or told.became is Became.GRADED:
        return False
    return there.graded_on is not None and told.graded_on is not None and there.graded_on < told.graded_on
