"""A batch of a phone, as it is sent or saved as a file: read strictly, each record for itself.

Its shape is ``breadline.field/1``: JSON, times as in RFC 3339 with their offset, keys as
in RFC 9562 (version 7).
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import Annotated, Any, Literal, cast
from uuid import UUID

from pydantic import AwareDatetime, BaseModel, ConfigDict, Field, ValidationError, model_validator

from breadline.errors import InputToMend
from breadline.jobs.field_clock import FEW_SECONDS, Met, clocked
from breadline.language import noted, say
from breadline.records.field_given_way import LAPTOP, PAPER
from breadline.records.field_sent import Sent
from breadline.records.readings import Kind, Seen

SHAPE = "breadline.field/1"
MOST = 1000  # records of one batch
LONGEST_BATCH = 1024 * 1024  # bytes; a record is some 400
LONGEST_WRONG = 100 * 366 * 86400.0  # of a clock; what is longer is none [s]
_WORDS = (  # how the kind of a fault begins, in our words, and which bound is said with them
    ("missing", noted("it is missing"), ""),
    ("extra_forbidden", noted("this program does not know it; a newer one may"), ""),
    ("uuid", noted("it is no key (a UUID)"), ""),
    ("timezone", noted("it is a time without its offset, such as 2026-03-12T10:00:00-05:00"), ""),
    ("datetime", noted("it is no time such as 2026-03-12T10:00:00-05:00"), ""),
    ("float", noted("it is no number"), ""),
    ("finite_number", noted("it is no number"), ""),
    ("bool", noted("it is neither true nor false"), ""),
    ("greater_than", noted("it is less than {n}"), "ge"),
    ("less_than", noted("it is more than {n}"), "le"),
    ("string_too_long", noted("it is longer than {n} letters"), "max_length"),
    ("string_too_short", noted("it is empty"), ""),
    ("string", noted("it is no text"), ""),
    ("literal", noted("it is none of {n}"), "expected"),
    ("dict", noted("it is no list of things by name"), ""),
    ("model", noted("it is no list of things by name"), ""),
)
_UNREADABLE = noted("it cannot be read")
Short = Annotated[str, Field(max_length=80)]
Frames = Annotated[float, Field(ge=0, le=60)]


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", allow_inf_nan=False)


class SeenTold(_Strict):
    """One thing seen: a value with its unit, or a word; ``definition`` says what a frame of bees is."""

    value: Annotated[float, Field(ge=0, le=100_000)] | None = None
    unit: Short = ""
    word: Short | None = None
    out_of: Frames | None = None
    definition: Short | None = None
    note: Annotated[str, Field(max_length=2000)] = ""


class ClockTold(_Strict):
    """How far the phone's clock was ahead [s] when it had last reached us, and when that was by ours."""

    ahead: Annotated[float, Field(ge=-LONGEST_WRONG, le=LONGEST_WRONG)]
    met: AwareDatetime


class RecordTold(_Strict):
    """One hive of one visit, or the taking back of what was sent of it (``withdraws``)."""

    id: UUID
    work: Literal["round", "grading", "look"]
    yard: UUID
    tag: Annotated[str, Field(min_length=1, max_length=40)]
    at: AwareDatetime
    seen: dict[Short, SeenTold] = {}
    standing: Literal["dead"] | None = None
    spoken: Annotated[str, Field(max_length=500)] = ""
    mends: UUID | None = None
    new: bool = False
    by: Short = ""
    withdraws: UUID | None = None
    because: Annotated[str, Field(max_length=200)] = ""
    clock: ClockTold | None = None

    @model_validator(mode="after")
    def _takes_back_or_tells(self) -> RecordTold:
        tells = self.seen or self.standing or self.spoken or self.mends or self.new
        if self.withdraws is not None and tells:
            raise ValueError(noted("what takes an entry back tells nothing else of the hive"))
        if self.because and self.withdraws is None:
            raise ValueError(noted("a reason is given without the key of what it takes back"))
        return self


@dataclass(frozen=True)
class Unread:
    """A record that cannot be read: its key and its hive's tag where it has them, and why."""

    id: str
    why: str
    tag: str = ""


@dataclass(frozen=True)
class Batch:
    """What came: records that can be read, and those that cannot."""

    phone: str
    records: tuple[Sent | Unread, ...]


def batch_of(body: bytes, now: datetime, saved: bool = False, own: str = "") -> Batch:
    """Read a batch as it was sent, or a file that a phone ``saved``; ``now`` is our clock, aware.

    Of a file only a clock that is ahead of ours can be told: behind it lies the way of the file.
    ``own`` says of which of our own pages it is; a phone cannot say so of itself.

    Errors
    ------
    InputToMend
        If it is no batch at all; a single record that cannot be read is told in its place.
    """
    told = _json(body)
    if not isinstance(told, dict) or told.get("shape") != SHAPE or not isinstance(told.get("records"), list):
        raise InputToMend(
            "file",
            say("it is no batch of a phone"),
            say('JSON with "shape": "{shape}"', shape=SHAPE),
            say("Send it again"),
        )
    if len(told["records"]) > MOST:
        raise InputToMend(
            "file",
            say("{told} records", told=len(told["records"])),
            say("at most {most}", most=MOST),
            say("Send it in parts"),
        )
    phone, ahead = own or _text(told.get("phone")), _ahead(told.get("now"), now)
    phone = "" if phone in (PAPER, LAPTOP) and not own else phone
    ahead = max(ahead, 0.0) if saved else ahead
    return Batch(phone, tuple(_record(one, phone, ahead, now) for one in told["records"]))


def _json(body: bytes) -> Any:
    try:
        return json.loads(body)
    except (ValueError, RecursionError):
        raise InputToMend(
            "file",
            say("it is cut short, or no batch of a phone"),
            say("the whole of it"),
            say("Save or send it once more"),
        ) from None


def _text(value: object) -> str:
    return value[:80] if isinstance(value, str) else ""


def _ahead(told: object, now: datetime) -> float:
    """How far the phone's clock is ahead of ours [s]; 0 where it did not say, or only by the way there."""
    try:
        theirs = datetime.fromisoformat(str(told))
    except ValueError:
        return 0.0
    if theirs.utcoffset() is None:
        return 0.0
    ahead = (theirs - now).total_seconds()
    return ahead if abs(ahead) > FEW_SECONDS else 0.0


def _record(told: Any, phone: str, ahead_s: float, now: datetime) -> Sent | Unread:
    try:
        read = RecordTold.model_validate(told)
    except ValidationError as wrong:
        key = told.get("id") if isinstance(told, Mapping) else None
        tag = _text(told.get("tag")) if isinstance(told, Mapping) else ""
        return Unread(_text(key), _why(wrong), tag)
    if read.id.version != 7:
        return Unread(str(read.id), say("its key is no UUID of version 7"), read.tag)
    text = json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    seen = tuple(
        Seen(cast(Kind, kind), one.value, one.unit, one.word, one.out_of, one.definition, note=one.note)
        for kind, one in read.seen.items()
    )  # fmt: skip
    if read.spoken:
        seen += (Seen("note", note=read.spoken),) if "note" not in read.seen else ()
    met = None if read.clock is None else Met(read.clock.ahead, read.clock.met)
    clock = clocked(read.at, ahead_s, met, now)
    return Sent(
        id=read.id, phone=phone, work=read.work, yard_id=read.yard, tag=read.tag.strip(), seen_at=read.at,
        told=dict(told), digest=hashlib.sha256(text.encode()).hexdigest(), ahead_s=clock.ahead_s, by=read.by,
        seen=seen, standing=read.standing, mends=read.mends, new=read.new,
        withdraws=read.withdraws, because=read.because, day_doubt=clock.doubt,
    )  # fmt: skip


def _why(wrong: ValidationError) -> str:
    """What is wrong with a record, in our words: which part of it, and what would be right."""
    first = wrong.errors()[0]
    where = ", ".join(str(part) for part in first["loc"]) or say("the record")
    kind, holds = str(first["type"]), {"n": "", **first.get("ctx", {})}
    if kind == "value_error":  # our own sentence
        return say(str(first["ctx"]["error"]))
    for begins, words, limit in _WORDS:
        if kind.startswith(begins):
            bound = holds.get(limit, "")
            bound = f"{bound:,g}" if isinstance(bound, float) else str(bound).replace(" or ", ", ")
            return say("{part}: {wrong}", part=where, wrong=say(words, n=bound) if limit else say(words))
    return say("{part}: {wrong}", part=where, wrong=say(_UNREADABLE))
