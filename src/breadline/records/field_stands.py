"""What stands already at the hive that an entry is taken for, and whether it was shown to who takes it."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from uuid import UUID

from breadline.errors import RecordError
from breadline.language import noted, say
from breadline.records.field_batch import Batch
from breadline.records.field_before import AVERAGE, SHEET, Before, said_by_kind, seen_of
from breadline.records.field_hive import ended_so, twice
from breadline.records.field_sent import Sent
from breadline.records.field_tables import FieldEntry
from breadline.records.field_trials import Running, Told
from breadline.records.field_trials import against as ends_against
from breadline.records.whys import asking

WHICH = noted("{has}: which one holds?")


@dataclass(frozen=True)
class Taken:
    """For which hive a person takes an entry: a listed one, a new one, else as it was entered.

    ``shown`` are the keys of what they were shown to stand there, see ``There``; None where that is
    what stands beside the question now.
    """

    colony_id: UUID | None = None
    new: bool = False
    shown: frozenset[str] | None = None


@dataclass(frozen=True)
class There:
    """Something that gives way where an entry is taken: an entry, a row of a sheet, what became of a hive.

    ``key`` is of it as it stands now, so that it is another one as soon as anything of it is changed.
    """

    key: str
    why: str  # what asks which one holds
    before: Before | None = None


class StandsThere(RecordError):
    """Something stands at the hive that was not shown to who takes an entry for it: nothing is written."""

    there: tuple[There, ...]

    @classmethod
    def of(cls, tag: str, there: Sequence[There]) -> StandsThere:
        """That of an entry of a tag, with all that stands there."""
        made = cls(
            say("hive {tag}", tag=tag),
            say("nothing is written down yet: more stands there for that day than you were shown"),
            say("your word on what stands there"), say("Decide this entry by itself"),
        )  # fmt: skip
        made.there = tuple(there)
        return made


def told_there(batch: Batch, sent: Sent, of: UUID, but: Collection[UUID]) -> list[There]:
    """What a hive has for the day of a record and does not go with it, but for these."""
    told = batch.against(sent, of, said_by_kind(sent.seen), sent.standing)
    found = [There(_as_it_stands(one), twice(one, sent), one) for one in told if one.id not in but]
    ended = batch.ended_alive(sent.yard_id, of) if sent.standing == "dead" else None
    return found if ended is None else [*found, _by_words(ended_so(ended, sent))]


def end_there(runs: Running, told: Told | None) -> list[There]:
    """What a running check group has as the end of a colony, where it is told another one."""
    has = "" if told is None else ends_against(runs, told)
    return [_by_words(asking(WHICH, has=has))] if has else []


def shown_beside(there: Sequence[There], why: str, against: FieldEntry | None) -> frozenset[str]:
    """Of what stands at a hive, what a question showed: the other entry, and what says the same as it does.

    ``why`` is what the question asks, which names a sheet's row, its average, or an end.
    """
    rows = [(one.key, one.before) for one in there if one.before is not None]
    found = {one.key for one in there if one.why == why and not _is_entry(one)}
    if against is not None and any(before.id == against.id for _, before in rows):
        same = said_by_kind(seen_of(against.told)), against.told.get("standing") or None
        alike = [one.key for one in there if _is_entry(one) and one.before is not None
                 and (one.before.said, one.before.standing) == same]  # fmt: skip
        found.update(alike)
        found.update(key for key, before in rows if before.id == against.id)
    return frozenset(found)


def words_key(why: str) -> str:
    """Key of what has nothing but words: an end of a check group, or what became of a hive."""
    return _digest("words", str(why))


def _is_entry(one: There) -> bool:
    return one.before is not None and one.before.phone not in (SHEET, AVERAGE)


def _as_it_stands(one: Before) -> str:
    kind = one.phone if one.phone in (SHEET, AVERAGE) else "entry"
    return _digest(kind, str(one.id), sorted(one.said.items()), one.standing)


def _by_words(why: str) -> There:
    return There(words_key(why), why)


def _digest(*parts: object) -> str:
    return hashlib.sha256(json.dumps(parts, default=str).encode()).hexdigest()[:24]
