"""What is entered of a colony of a running check group: its end goes into the trial, never over another.

A trial runs from the day of its lock until ``AFTER`` its day of grading. A hive that was found
dead has its end by any visit; a reading is one only where it was graded, on the day of grading
or later. What nobody said is no end: such a colony stays open.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from breadline.language import noted
from breadline.records import trials
from breadline.records.append_only import current, withdraw
from breadline.records.field_tables import ColonyFact, FieldEntry
from breadline.records.tables import Colony
from breadline.records.trial_tables import TrialEndRow, TrialRow
from breadline.records.whys import asking, asking_as
from breadline.records.yard_names import names_of
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


class Running:
    """The check groups that are locked, asked of the book once for all entries of a batch."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self._locked: list[TrialRow] | None = None
        self._drawn: dict[UUID, dict[tuple[str, str], Started]] = {}
        self._ends: dict[UUID, dict[str, Ended]] = {}
        self._yards: dict[UUID, tuple[str, ...]] = {}

    def locked(self) -> list[TrialRow]:
        """The trials that are locked, the newest first."""
        if self._locked is None:
            known = self.session.scalar(select(TrialRow.id).where(TrialRow.seal.is_not(None)).limit(1))
            rows = [] if known is None else trials.trials(self.session)
            self._locked = [row for row in reversed(rows) if row.seal is not None]
        return self._locked

    def drawn(self, yard_id: UUID, on: date, tags: set[str]) -> tuple[TrialRow, Started] | None:
        """The colony of a trial running on a day that a hive of a yard is, by its own tag or the trial's."""
        names = self._names(yard_id) if self.locked() else ()
        for trial in self.locked():
            worn = self._worn(trial) if names and _runs(trial, on) else {}
            for name in names:
                for tag in sorted(tags) + sorted(f"{name} {tag}".casefold() for tag in tags):
                    if (name, tag) in worn:
                        return trial, worn[name, tag]
        return None

    def groups(self, yard_id: UUID, on: date) -> set[int]:
        """The groups in which hives of a yard stand, of all trials that run on a day, by their number."""
        running = [trial for trial in self.locked() if _runs(trial, on)]
        names = set(self._names(yard_id)) if running else set()
        return {one.arm for trial in running for (yard, _), one in self._worn(trial).items() if yard in names}

    def ends(self, trial: TrialRow) -> dict[str, Ended]:
        """What the trial has of each colony, by its tag in the trial."""
        if trial.id not in self._ends:
            self._ends[trial.id] = {one.tag: one for one in trials.ends_of(self.session, trial)}
        return self._ends[trial.id]

    def _worn(self, trial: TrialRow) -> dict[tuple[str, str], Started]:
        if trial.id not in self._drawn:
            found: dict[tuple[str, str], Started] = {}
            for one in trials.colonies_of(self.session, trial):
                found |= {(one.yard, name.casefold()): one for name in (one.hive, one.tag) if name}
            self._drawn[trial.id] = found
        return self._drawn[trial.id]

    def _names(self, yard_id: UUID) -> tuple[str, ...]:
        if yard_id not in self._yards:
            self._yards[yard_id] = names_of(self.session, yard_id)
        return self._yards[yard_id]


def told_of(runs: Running, entry: FieldEntry, colony_id: UUID | None = None) -> Told | None:
    """What an entry says of the end of its hive in a running check group; None where nothing.

    The hive is the one that its tag names, or the one that a person gave it to.
    """
    standing = entry.told.get("standing")
    frames = (entry.told.get("seen") or {}).get("frames_of_bees", {}).get("value")
    if standing != "dead" and (entry.work != GRADING or frames is None):
        return None
    found = runs.drawn(entry.yard_id, entry.on, _tags(runs.session, entry.tag, colony_id))
    if found is None:
        return None
    trial, colony = found
    if standing == "dead":
        return Told(trial, Ended(colony.tag, Became.DEAD, None, entry.on, entry.by))
    design = trial.told["design"]
    if design["outcome"] not in IN_FRAMES or entry.on < date.fromisoformat(design["grading"]):
        return None
    return Told(trial, Ended(colony.tag, Became.GRADED, float(frames), entry.on, entry.by))


def ended_of(runs: Running, colony_id: UUID, standing: str, on: date, into: UUID | None) -> Told | None:
    """What the row of hives says of the end of a colony in a running check group; None where nothing."""
    session = runs.session
    colony = session.get(Colony, colony_id)
    if colony is None or standing not in BECAME:
        return None
    found = runs.drawn(colony.yard_id, on, _tags(session, colony.name, colony_id))
    if found is None:
        return None
    other = None if into is None else runs.drawn(colony.yard_id, on, _tags(session, "", into))
    name = "" if into is None else other[1].tag if other else session.get_one(Colony, into).name
    return Told(found[0], Ended(found[1].tag, BECAME[standing], None, on, merged_into=name))


def against(runs: Running, told: Told) -> str:
    """What the trial has in its place, in words; empty where it has none, or the same."""
    there = runs.ends(told.trial).get(told.end.tag)
    if there is None or _same(there, told.end) or _after_its_reading(there, told.end):
        return ""
    became, of = asking_as("end", there.became.value), {"name": told.trial.name, "tag": told.end.tag}
    if there.outcome is None:
        return asking(
            noted("the check group “{name}” has hive {tag} as {became} already"), became=became, **of
        )
    has = noted("the check group “{name}” has hive {tag} as {became}, {outcome} already")
    return asking(has, became=became, outcome=there.outcome, **of)


def keep(runs: Running, told: Told, because: str) -> None:
    """Write an end into its trial; whoever lets it replace another has asked a person."""
    ends, new = runs.ends(told.trial), told.end
    there = ends.get(new.tag)
    if there is not None:
        if _same(there, new) or _after_its_reading(there, new):
            return
        parts = ("became", "outcome", "graded_on", "grader", "merged_into")  # what else was read stays
        new = replace(there, **{name: getattr(new, name) for name in parts})
    trials.keep_end(runs.session, told.trial, new, because)
    ends[new.tag] = new


def take_away(runs: Running, told: Told, because: str) -> None:
    """Withdraw an end where it still stands as it was told; its colony is open again."""
    there = runs.ends(told.trial).get(told.end.tag)
    if there is None or not _same(there, told.end) or there.graded_on != told.end.graded_on:
        return
    of = told.trial.drawn or told.trial.id
    wanted = current(TrialEndRow).where(TrialEndRow.trial_id == of, TrialEndRow.tag == told.end.tag)
    for row in runs.session.scalars(wanted):
        withdraw(runs.session, row, because)
    del runs.ends(told.trial)[told.end.tag]


def hand_over(runs: Running, told: Told, others: Sequence[Ended], because: str) -> None:
    """An entry that told an end is gone: it holds by what others told, oldest first, or is open again."""
    there = runs.ends(told.trial).get(told.end.tag)
    if there is None or not _same(there, told.end) or there.graded_on != told.end.graded_on:
        return
    same = [one for one in others if _same(one, there)]
    if not same:
        take_away(runs, told, because)
        for one in others:
            if not against(runs, Told(told.trial, one)):
                keep(runs, Told(told.trial, one), because)
    elif all(one.graded_on != there.graded_on for one in same):
        new = replace(there, graded_on=same[0].graded_on, grader=same[0].grader)
        trials.keep_end(runs.session, told.trial, new, because)
        runs.ends(told.trial)[new.tag] = new


def hive_of(runs: Running, yard_id: UUID, on: date, tag: str) -> str | None:
    """The hive of a yard that wears a tag of a running check group; None where none does."""
    found = runs.drawn(yard_id, on, {tag.casefold()})
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


def _runs(trial: TrialRow, on: date) -> bool:
    locked, grading = trial.told.get("locked_at"), date.fromisoformat(trial.told["design"]["grading"])
    if locked is None:
        return False
    since = datetime.fromisoformat(locked)  # the day of the lock by the clock here, as days in the yard are
    return (since.astimezone() if since.tzinfo else since).date() <= on <= grading + AFTER


def _same(there: Ended, told: Ended) -> bool:
    return (there.became, there.outcome or 0.0) == (told.became, told.outcome or 0.0)


def _after_its_reading(there: Ended, told: Ended) -> bool:
    """Whether something befell it after its reading was taken: that is no part of the trial any more."""
    if there.became is not Became.GRADED or told.became is Became.GRADED:
        return False
    return there.graded_on is not None and told.graded_on is not None and there.graded_on < told.graded_on
