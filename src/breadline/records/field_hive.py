"""Which hive a record is of, and what speaks against writing it down: then a person is asked."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime, timedelta, timezone
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.language import noted
from breadline.records import colonies
from breadline.records.field_batch import Batch
from breadline.records.field_before import AVERAGE, SHEET, Before, said_by_kind
from breadline.records.field_given_way import PAPER, colony_of, give_way
from breadline.records.field_line import Older, answer_of, as_moved, line, mended_by
from breadline.records.field_sent import Sent, entry_of
from breadline.records.field_tables import FieldEntry
from breadline.records.field_trials import Running, hive_of, told_of
from breadline.records.field_trials import against as ends_against
from breadline.records.plausible import doubted
from breadline.records.whys import asking, read

MENDED = "mended on the phone"
HELD = ("stored", "mended")  # what was written down, whether or not something took its place
FED_ON_AVERAGE = noted("a sheet brought in what this yard had on average that day, {there}: which one holds?")


def place(batch: Batch, sent: Sent, sure: bool = False) -> tuple[UUID | None, str, UUID | None]:
    """The colony that a record is of; where it is a question, why, and against which entry.

    ``sure`` where a person said that its numbers are as they were meant.
    """
    if sent.mends is not None:
        batch.written(sent.mends)
    doubt = sent.day_doubt or ("" if sure else doubted(sent.seen))
    if doubt:
        return _doubted(batch, sent, doubt)
    if sent.mends is not None and (found := _mended(batch, sent)) is not None:
        return found
    rows = _worn(batch, sent)
    here = [one for one in rows if one.stood(sent.on)]
    if not rows and sent.new:
        return batch.new_hive(sent.yard_id, sent.tag), "", None
    if not rows:
        asks = noted("no hive {tag} is listed in this yard: is it new, or was the tag misread?")
        return None, asking(asks, tag=sent.tag), None
    if not here:
        return None, _gone(rows[-1]), None
    if len(here) > 1:
        asks = noted("{n} hives could wear the tag {tag} on {day}: which one is it?")
        return None, asking(asks, n=len(here), tag=sent.tag, day=sent.on), None
    if sent.standing == "dead" and here[-1].standing not in ("stands", "dead"):
        return here[-1].id, ended_so(here[-1], sent), None
    if sent.phone != PAPER and here[-1].gone_by(sent.on, sent.at):  # paper has no time of day
        return None, _gone(here[-1]), None
    against = _told_before(batch, here[-1].id, sent)
    if against is not None:
        return here[-1].id, twice(against, sent), stored_entry(against)
    return here[-1].id, "", None


def _doubted(batch: Batch, sent: Sent, doubt: str) -> tuple[UUID | None, str, UUID | None]:
    """What is asked of a record itself, against what it mends where that is written down: it stays so.

    What it mends and waits, waits no more: its question is closed, and this one is asked.
    """
    behind = _overtake(batch, sent)
    held = behind[-1].entry if behind and behind[-1].answer == "stored" else None
    if held is not None and held.tag.casefold() == sent.tag.casefold():
        return colony_of(batch.session, held), doubt, held.id
    here = [one for one in _worn(batch, sent) if one.stood(sent.on)]
    return here[0].id if len(here) == 1 else None, doubt, None if held is None else held.id


def _overtake(batch: Batch, sent: Sent) -> list[Older]:
    """What a record is to take the place of, with what waited of it closed: that is asked no more."""
    behind = line(batch.session, sent)
    for one in behind:
        if one.answer == "conflict":
            batch.gone(one.entry, give_way(batch.session, one.entry, MENDED, runs=batch.running))
    return behind


def where_moved(batch: Batch, sent: Sent) -> Sent:
    """A record that mends what a person moved to another day, of that day; any other as it is.

    The phone does not know of the word on the day: it names the entry that it sent, and the day of that.
    """
    if sent.mends is None:
        return sent
    batch.written(sent.mends)
    for one in mended_by(batch.session, sent):
        if (one.yard_id, one.work) != (sent.yard_id, sent.work):
            return sent
        new = as_moved(batch.session, one)
        if new.on != _came_on(one) and sent.on in (new.on, _came_on(one)):
            mends = new.id if one.id == sent.mends else sent.mends
            ahead = sent.seen_at + (new.on - sent.on)
            return replace(sent, mends=mends, seen_at=ahead, day_doubt="")
    return sent


def _came_on(entry: FieldEntry) -> date:
    """The day that an entry came for, which is another than its own where it went along with a moved one."""
    at = datetime.fromisoformat(str(entry.told["at"]))
    return (at - timedelta(seconds=entry.clock_ahead_s)).date()


def _worn(batch: Batch, sent: Sent) -> list[colonies.InRow]:
    """The hives that wear or wore a tag, or that of a running check group."""
    rows = batch.hives(sent.yard_id, sent.tag)
    if rows:
        return rows
    hive = hive_of(batch.running, sent.yard_id, sent.on, sent.tag)
    return rows if hive is None else batch.hives(sent.yard_id, hive)


def _gone(one: colonies.InRow) -> str:
    if one.standing == "merged":
        asks = noted("hive {tag} was merged into {into}{since}: is this {into}, or another hive?")
        return asking(asks, tag=one.tag, into=one.into, since=_since(one))
    asks = noted("hive {tag} is written down as {standing}{since}: is this another hive?")
    return asking(asks, tag=one.tag, standing=asking(one.standing), since=_since(one))


def _since(one: colonies.InRow) -> str:
    return asking(noted(" since {day}"), day=one.since) if one.since else ""


def ended_so(one: colonies.InRow, sent: Sent) -> str:
    """What asks whether a hive that is gone otherwise was found dead."""
    so = asking(one.standing)
    if one.standing == "merged":
        so = asking(noted("merged into {into}"), into=one.into)
    asks = noted("hive {tag} is written down as {standing}{since}: was it found dead on {day}?")
    return asking(asks, tag=one.tag, standing=so, since=_since(one), day=sent.on)


def stored_entry(against: Before) -> UUID | None:
    """The entry that stands in a record's way; None where that is a row of a sheet."""
    return None if against.phone in (SHEET, AVERAGE) else against.id


def twice(against: Before, sent: Sent) -> str:
    """What asks which of two holds: what was written down before, or a record."""
    said = said_by_kind(sent.seen)
    if against.phone == SHEET:
        there = [read(kind, *of) for kind, of in against.said.items()]
        asks = noted(
            "hive {tag} was brought in from a sheet for this day too, with {there}: which one holds?"
        )
        return asking(asks, tag=sent.tag, there=there)
    if against.phone == AVERAGE:
        there = [read("put_on", *against.said["put_on"])]
        return asking(FED_ON_AVERAGE, there=there)
    how = asking(noted("with other numbers"))
    if against.lives_and_is_dead(said, sent.standing):
        how = asking(noted("as dead") if against.standing == "dead" else noted("as alive"))
    at = against.seen_at.astimezone(timezone(timedelta(minutes=against.offset_minutes))).strftime("%H:%M")
    if against.phone == PAPER:
        asks = noted("hive {tag} was keyed in from paper too, {how}: which one holds?")
        return asking(asks, tag=sent.tag, how=how)
    who = noted("on this phone") if against.phone == sent.phone else noted("on another phone")
    who = noted("on a phone") if sent.phone == PAPER else who
    asks = noted("hive {tag} was entered {who} at {at} too, {how}: which one holds?")
    return asking(asks, tag=sent.tag, who=asking(who), at=at, how=how)


def _told_before(batch: Batch, colony_id: UUID, sent: Sent, but: UUID | None = None) -> Before | None:
    """What was written down of the same hive and day and does not go with a record."""
    told = batch.against(sent, colony_id, said_by_kind(sent.seen), sent.standing)
    return next((one for one in told if one.id != but), None)


def of_another_visit(session: Session, sent: Sent | FieldEntry) -> bool:
    """Whether it names an entry of another day, yard or work: a page that was left open, and no mending."""
    old = None if sent.mends is None else session.get(FieldEntry, sent.mends)
    return old is not None and (old.yard_id, old.on, old.work) != (sent.yard_id, sent.on, sent.work)


def _mended(batch: Batch, sent: Sent) -> tuple[UUID | None, str, UUID | None] | None:
    """An entry that takes the place of an earlier one of the same phone; None where it is a whole one."""
    assert sent.mends is not None
    session = batch.session
    old = session.get(FieldEntry, sent.mends)
    if old is None or answer_of(session, old.id) is None:
        return None, asking(noted("it mends an entry that never came: is it a whole one?")), None
    if old.phone != sent.phone and of_another_visit(session, sent):
        return None
    if old.phone != sent.phone:
        asks = noted("it mends what was entered of hive {tag} on another phone: which one holds?")
        why = asking(asks, tag=old.tag)
        return colony_of(session, old), why, old.id
    behind = _overtake(batch, sent)
    held = next((one for one in behind if one.answer in HELD and not one.overtaken), None)
    if held is None:  # of another visit, or nothing is written down from what it mends
        return None
    old, changed = held.entry, held.answer == "mended" or any(one.answer == "set aside" for one in behind)
    colony_id = colony_of(session, old)
    if changed or old.tag.casefold() != sent.tag.casefold():
        asks = noted("the entry that it mends was changed in the meantime: which one holds?")
        return colony_id, asking(asks), old.id
    if colony_id is None:
        asks = noted("it mends an entry of {tag} that a person gave to a hive: which hive is it?")
        return None, asking(asks, tag=sent.tag), old.id
    gone = batch.no_longer(sent.yard_id, colony_id, sent.on)
    if gone is not None:
        return colony_id, _gone(gone), old.id
    ended = batch.ended_alive(sent.yard_id, colony_id) if sent.standing == "dead" else None
    if ended is not None:
        return colony_id, ended_so(ended, sent), old.id
    against = _told_before(batch, colony_id, sent, but=old.id)
    if against is not None:
        return colony_id, twice(against, sent), stored_entry(against)
    trial_has = _gives_way(batch, old, entry_of(sent, colony_id))
    if not trial_has:
        return colony_id, "", None
    return colony_id, asking(noted("{has}: which one holds?"), has=trial_has), old.id


def _gives_way(batch: Batch, old: FieldEntry, new: FieldEntry) -> str:
    """Let an entry give way to its mend; where a trial then says otherwise, what it has, and all stays."""
    step = batch.session.begin_nested()
    runs = Running(batch.session)  # the batch's own would know of what is rolled back
    withdrawn = give_way(batch.session, old, MENDED, runs=runs)
    told = told_of(runs, new)
    if told is not None and (has := ends_against(runs, told)):
        step.rollback()
        return has
    step.commit()
    batch.running = runs
    batch.gone(old, withdrawn)
    return ""
