"""What phones and sheets sent of a yard, day by day, and the taking back of what was wrong."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Set
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta, timezone
from typing import Any
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.jobs.book import key_of
from breadline.jobs.field_book import FieldBook
from breadline.jobs.field_record import SHAPE
from breadline.jobs.field_why import why_said
from breadline.jobs.field_words import reading_words, said_words
from breadline.language import noted, say
from breadline.records import colonies, field_days, yards
from breadline.records.engine import looking
from breadline.records.field_before import seen_of
from breadline.records.field_given_way import LAPTOP, PAPER, WITHDRAWAL
from breadline.records.field_hive import MENDED
from breadline.records.field_tables import FieldAnswer, FieldEntry
from breadline.records.ids import new_id

STATES = {
    "stored": noted("in the book"), "conflict": noted("waits for your word"),
    "mended": noted("another one took its place"), "set aside": noted("set aside"),
    "withdrawn": noted("taken back"), "withdrawal": noted("takes back what has not come yet"),
}  # fmt: skip
OURS = {  # reasons that the program wrote itself, where nobody gave one
    MENDED: "", "taken back": "", "its mend was set aside": "",
    "decided on the page": noted("decided on the page"),
    "decided on the page, all of them together": noted("decided on the page, all of them together"),
}  # fmt: skip
CAME = {PAPER: noted("a sheet"), LAPTOP: noted("this machine")}


@dataclass(frozen=True)
class EntryLine:
    """An entry of a day as the page shows it.

    Parameters
    ----------
    at
        When it was seen, by the clock of the place.
    state
        In words; ``why`` says more where somebody gave a reason.
    key
        A fresh key for its taking back; empty where there is nothing to take back.
    with_it
        Whether what it is to take the place of goes along where it is taken back.
    """

    id: str
    tag: str
    at: str
    says: str
    came: str
    state: str
    why: str
    key: str
    with_it: bool = False


@dataclass(frozen=True)
class EntryDay:
    """The entries of one day in a yard; ``days`` are all on which something came, newest first."""

    yard: str
    on: date | None
    lines: tuple[EntryLine, ...]
    days: tuple[tuple[date, int], ...]


class EntryBook(FieldBook):
    """A book whose entries can be looked through and taken back."""

    def entry_day(self, yard_id: str, on: date | None = None) -> EntryDay:
        """The entries of a day, or of the newest one, in the order in which they were seen.

        Errors
        ------
        RecordError
            If there is no such yard.
        """
        key, worded = key_of(yard_id), self.worded()
        with looking(self._engine) as session:
            name, days = yards.fact(session, key).name, field_days.entry_days(session, key)
            shown = on or (days[0][0] if days else None)
            rows = field_days.entries_answered(session, key, shown) if shown else []
            held = field_days.kinds_held(session, key, shown) if shown else {}
            awaited = field_days.to_be_mended(session, [entry.id for entry, _ in rows])
            given = _given(session, key, shown) if shown else {}
            lines = [
                _line(entry, answer, worded, held.get(entry.id, set()), awaited, given.get(entry.id, ""))
                for entry, answer in rows
                if answer is None or answer.answer != WITHDRAWAL or _waits(session, entry)
            ]
        return EntryDay(name, shown, tuple(sorted(lines, key=lambda one: one.at)), tuple(days))

    def take_back(self, entry_id: str, key: str, because: str) -> str:
        """Take an entry back, once however often it is asked with one ``key``; how it was answered.

        Errors
        ------
        RecordError
            If there is no such entry, no reason, or it cannot be taken back.
        """
        because = because.strip()
        if not because:
            raise RecordError(
                "taking back", say("no reason is given"), say("why it was wrong"), say("Write a few words")
            )
        with looking(self._engine) as session:
            entry = session.get(FieldEntry, key_of(entry_id))
            if entry is None:
                raise RecordError("taking back", say("there is no such entry"), say("one of the list"))
            told = {"work": entry.work, "yard": str(entry.yard_id), "tag": entry.tag}
        told |= {"id": key, "withdraws": entry_id, "because": because[:200], "at": _now()}
        body: dict[str, Any] = {"shape": SHAPE, "phone": LAPTOP, "records": [told]}
        answer = self.take(json.dumps(body).encode(), own=LAPTOP)["answers"][0]
        if answer["answer"] == "refused":
            raise RecordError(
                f"hive {told['tag']}", answer["why"], say("an entry that holds"), say("Open the list again")
            )
        return str(answer["why"])


def _line(
    entry: FieldEntry, answer: FieldAnswer | None, worded: Callable[[str], str], held: Set[str],
    awaited: Mapping[UUID, UUID], given: str,
) -> EntryLine:  # fmt: skip
    word = "" if answer is None else answer.answer
    at = entry.seen_at.astimezone(timezone(timedelta(minutes=entry.offset_minutes)))
    why = "" if answer is None or word in ("stored", "conflict") else _because(answer)
    if answer is not None and (word == "conflict" or (word != "stored" and not answer.because)):
        why = worded(why_said(answer.why, answer.asked_by, reading_words))
    state = say(STATES.get(word, word))
    if word == "stored" and (out := _left_out(entry, held)):
        state = say("in the book, all but {what}, which counts as nothing", what=worded(out))
        why = "" if answer is None else _because(answer)
    if word == "stored" and given and given.casefold() != entry.tag.casefold():
        state = say("{state}, given to hive {tag}", state=state, tag=given)
    if word == "stored" and entry.id in awaited:
        state = say("{state}, until you have answered for what is to take its place", state=state)
    here = word in ("stored", "conflict") and entry.withdraws is None
    return EntryLine(
        str(entry.id), entry.tag, at.strftime("%H:%M"), worded(said_words(entry.told)),
        entry.by or say(CAME.get(entry.phone, noted("a phone"))), state, why,
        str(new_id()) if here else "", entry.id in awaited.values(),
    )  # fmt: skip


def _given(session: Session, yard_id: UUID, on: date) -> dict[UUID, str]:
    """The tags of the hives that entries of a day were given to, by entry."""
    tags = {one.id: one.tag for one in colonies.in_rows(session, yard_id)}
    hives = field_days.hives_given(session, yard_id, on)
    return {key: tags[hive] for key, hive in hives.items() if hive in tags}


def _because(answer: FieldAnswer) -> str:
    """The reason as somebody wrote it; ours in the reader's language, and none that says nothing more."""
    said = OURS.get(answer.because, answer.because)
    return say(said) if answer.because in OURS and said else said


def _left_out(entry: FieldEntry, held: Set[str]) -> str:
    """What an entry says and the book does not hold of it, such as feed where a sheet's average was kept."""
    gone = {one.kind for one in seen_of(entry.told)} - held
    told = {kind: one for kind, one in entry.told.get("seen", {}).items() if kind in gone}
    spoken = entry.told.get("spoken") if "note" in gone and "note" not in told else ""
    return said_words({"seen": told, "spoken": spoken}) if gone else ""


def _waits(session: Any, entry: FieldEntry) -> bool:
    """Whether what it takes back has not come yet; else the line of that entry tells it."""
    return entry.withdraws is not None and session.get(FieldEntry, entry.withdraws) is None


def _now() -> str:
    return datetime.now(UTC).astimezone().isoformat(timespec="seconds")
