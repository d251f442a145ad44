"""What carries a digest of itself, held against it: weather files, recipes, outlooks, entries of phones."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator
from contextlib import suppress
from datetime import date
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session, undefer

from breadline.errors import RecordError
from breadline.language import noted, say
from breadline.need.yard import Given
from breadline.records.field_before import READ, seen_of
from breadline.records.field_tables import FieldEntry, FieldReading
from breadline.records.outlooks import Shown
from breadline.records.readings import Seen, fitting
from breadline.records.tables import OutlookRow, Reading, RecipeRow, Weather

OF_ENTRY = noted(
    "Keep this file as it is. Hold the hive's page against the phone or the paper it was entered from, and "
    "correct what differs; your last copy holds it unchanged"
)


def changed(session: Session) -> Iterator[tuple[str, str, str]]:
    """Where, what, and what to do: entries that are no longer what they were when they were kept."""
    for weather in session.scalars(select(Weather).options(undefer(Weather.content))):
        if hashlib.sha256(weather.content).hexdigest() != weather.sha256:
            yield (
                "weather",
                say("the kept file {name} is not the one that came", name=weather.name),
                say("Add the file again"),
            )
    for recipe in session.scalars(select(RecipeRow)):
        if hashlib.sha256(recipe.text.encode()).hexdigest() != recipe.sha256:
            yield (
                "recipe", say("a version of “{name}” is not what was written down", name=recipe.name),
                say("Write it down again from its sheet; its batches name the version that was changed"),
            )  # fmt: skip
    for row in session.scalars(select(OutlookRow).options(undefer(OutlookRow.bands))):
        if _shown(row) != row.sha256:
            yield (
                "outlook",
                say("the outlook shown on {day} is not what was shown", day=row.shown_on),
                say(
                    "The record of foretelling must not count it; "
                    "the yard's own entries are not touched by it"
                ),
            )
    yield from _entries(session)


def _entries(session: Session) -> Iterator[tuple[str, str, str]]:
    """Entries of phones that are not what was sent, and readings that are not what their entry says."""
    says: dict[UUID, set[tuple[Any, ...]]] = {}
    for entry in session.scalars(select(FieldEntry).execution_options(yield_per=1000)):
        where = say("entry of hive {tag} on {day}", tag=entry.tag, day=entry.on)
        if entry.sha256 not in _digests(entry.told):
            yield where, say("it is not what was sent"), say(OF_ENTRY)
            continue
        told = entry.told
        if (entry.tag, entry.work, entry.by) != (
            _tag(told),
            told.get("work", entry.work),
            told.get("by", ""),
        ):
            yield where, say("its hive, its work or its name is not what was sent"), say(OF_ENTRY)
        says[entry.id] = {(one.kind, *(getattr(one, name) for name in READ)) for one in _seen(told)}
    columns = [getattr(Reading, name) for name in ("kind", *READ)]
    wanted = select(FieldReading.entry_id, FieldEntry.tag, FieldEntry.on, *columns)
    joined = wanted.join(Reading, Reading.id == FieldReading.reading_id)
    rows = session.execute(joined.join(FieldEntry, FieldEntry.id == FieldReading.entry_id))
    for entry_id, tag, on, kind, *said in rows:
        if entry_id in says and (kind, *said) not in says[entry_id]:
            what = say("the {kind} written down from it is not what was sent", kind=kind.replace("_", " "))
            yield say("entry of hive {tag} on {day}", tag=tag, day=on), what, say(OF_ENTRY)


def _digests(told: dict[str, Any]) -> set[str]:
    """Those of a record as a phone sent it, and as it is entered anew for another day."""
    sent = json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return {hashlib.sha256(text.encode()).hexdigest() for text in (sent, json.dumps(told, sort_keys=True))}


def _tag(told: dict[str, Any]) -> str:
    return str(told.get("tag", "")).strip()


def _seen(told: dict[str, Any]) -> Iterator[Seen]:
    for one in seen_of(told):
        with suppress(RecordError):
            yield fitting(one)


def _shown(row: OutlookRow) -> str:
    """The digest of an outlook as it stands there."""
    told = {name: getattr(row, name) for name in Shown.__dataclass_fields__}
    try:
        given = tuple(Given(date.fromisoformat(on), grams) for on, grams in row.given)
        return Shown(**(told | {"given": given})).sha256
    except (KeyError, TypeError, ValueError):
        return ""
