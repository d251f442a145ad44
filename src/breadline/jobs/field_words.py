"""What an entry, a row of a sheet or an end says, and who entered it, in the words of whoever reads."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta, timezone
from typing import Any

from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.jobs.field_why import why_said
from breadline.language import noted, say
from breadline.records.field_before import AVERAGE, SHEET
from breadline.records.field_given_way import PAPER
from breadline.records.field_stands import StandsThere, There
from breadline.records.field_tables import FieldEntry
from breadline.records.whys import read, told_by

Document = dict[str, Any]


@dataclass(frozen=True)
class OnPage:
    """What the page that a word was said on had: the key of its question, and of what it showed to stand.

    ``asked`` is empty where that is not known; ``shown`` is None but after ``MoreThere``.
    """

    asked: str = ""
    shown: Sequence[str] | None = None


@dataclass(frozen=True)
class Stands:
    """Something that stands at the hive an entry is taken for: its key, what it says, and whose it is."""

    key: str
    says: str
    who: str


class MoreThere(RecordError):
    """Something stands at the hive that was not shown to who takes an entry for it; nothing is written."""

    stands: tuple[Stands, ...]


def more_there(session: Session, found: StandsThere, worded: Callable[[str], str]) -> MoreThere:
    """What stands there in the words of the reader; ``worded`` puts amounts into those of the country."""
    made = MoreThere(found.where, found.what, found.expected, found.do)
    made.stands = tuple(_stands(session, one, worded) for one in found.there)
    return made


def _stands(session: Session, one: There, worded: Callable[[str], str]) -> Stands:
    before = one.before
    if before is None:
        return Stands(one.key, worded(why_said(one.why, told_by(one.why), reading_words)), "")
    if before.phone not in (SHEET, AVERAGE):
        entry = session.get_one(FieldEntry, before.id)
        return Stands(one.key, worded(said_words(entry.told)), entered(entry))
    there = [told_by(read(kind, *of)) or {} for kind, of in before.said.items()]
    who = say("from a sheet") if before.phone == SHEET else say("from a sheet, of the yard on average")
    return Stands(one.key, worded("; ".join(reading_words(each["read"], each) for each in there)), who)


def entered(entry: FieldEntry) -> str:
    """Who entered it, and at what time of the yard's day; paper has none."""
    if entry.phone == PAPER:
        return say("{who}, on paper", who=entry.by) if entry.by else say("on paper")
    at = entry.seen_at.astimezone(timezone(timedelta(minutes=entry.offset_minutes))).strftime("%H:%M")
    return say("{who} at {at}", who=entry.by, at=at) if entry.by else say("at {at}", at=at)


def alone(against: FieldEntry, entry: FieldEntry) -> str:
    """What one entry has of a hive and another has not; empty where there is nothing."""
    mine = entry.told.get("seen", {})
    seen = {kind: one for kind, one in against.told.get("seen", {}).items() if kind not in mine}
    spoken = against.told.get("spoken") if against.told.get("spoken") != entry.told.get("spoken") else ""
    return said_words({"seen": seen, "spoken": spoken}) if (seen or spoken) and not entry.withdraws else ""


def said_words(told: Document) -> str:
    """What a record says, on one line."""
    parts = [f"{say(NAMES.get(kind, kind))} {_value(one)}" for kind, one in told.get("seen", {}).items()]
    if told.get("standing"):
        parts.insert(0, say(str(told["standing"])))
    if told.get("withdraws"):
        return say("take back what was entered: {why}", why=told.get("because") or say("no reason given"))
    if told.get("spoken"):
        parts.append(f"“{told['spoken']}”")
    return "; ".join(parts) or say("nothing seen")


def there_words(asked_by: Mapping[str, Any]) -> str:
    """What a sheet said in the place of an entry; empty where nothing did."""
    there = asked_by.get("there")
    return "; ".join(reading_words(one["read"], one) for one in there) if isinstance(there, list) else ""


def reading_words(kind: str, one: Mapping[str, Any]) -> str:
    """One kind that was read of a hive, in words."""
    unit = {"put_on": "g", "weight": "kg"}.get(kind, "yes/no" if kind in YES_OR_NO else "")
    name = say(NAMES[kind]) if kind in NAMES else kind.replace("_", " ")
    return f"{name} {_value({**one, 'unit': unit})}".strip()


NAMES = {
    "frames_of_bees": noted("bees"), "frames_of_brood": noted("brood"), "bread": noted("bread"),
    "patty_left": noted("left over"), "put_on": noted("put on"), "queen_status": noted("queen"),
    "maggots_seen": noted("maggots"), "mites_per_100": noted("mites"), "weight": noted("weight"),
    "beetles_seen": noted("beetles"), "note": noted("note"), "foulbrood_signs": noted("signs of foulbrood"),
}  # fmt: skip
OTHERS = (
    noted("dead"), noted("merged"), noted("sold"), noted("moved"), noted("stands"), noted("frames"),
)  # fmt: skip
YES_OR_NO = ("maggots_seen", "beetles_seen", "foulbrood_signs")
YES_NO = {1.0: noted("yes"), 0.0: noted("no")}


def _value(one: Document) -> str:
    if one.get("word"):
        word, said = str(one["word"]), say(str(one["word"]).capitalize())
        return word if said == word.capitalize() else said.lower()
    if one.get("unit") == "yes/no" and one.get("value") in YES_NO:
        return say(YES_NO[one["value"]])
    if (one.get("value"), one.get("unit")) == (1.0, "frames"):
        return say("1 frame")
    value = "" if one.get("value") is None else f"{one['value']:g} {say(one.get('unit') or '')}".strip()
    return " ".join(part for part in (value, one.get("note", "")) if part)
