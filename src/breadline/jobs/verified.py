"""Is a book whole? Its file, keys, guards, values and histories, and what carries a digest or a seal."""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.jobs.export_json import count_of
from breadline.jobs.trial_book import Damaged, trials_in
from breadline.language import noted, say, say_counted
from breadline.records.address import BookAt, OnServer, absolute
from breadline.records.contents import Contents, reading_file, shape_of, where_it_can_be_read
from breadline.records.copy_digest import NO_DIGEST, is_untouched, kept_digest
from breadline.records.damage import Finding, damage, read_back
from breadline.records.digests import changed
from breadline.records.engine import checked, looking, only_reading, open_book
from breadline.records.log_file import DAMAGED, SAVE_BOTH, UNFINISHED, LogEnd, log_end
from breadline.records.shape import known_shapes

Carries = Literal["", "digest", "no digest"]


AS_IT_WAS = noted("It holds what it held when the copy was made.")


@dataclass(frozen=True)
class Verified:
    """A book that was looked over."""

    path: BookAt
    size: int  # [bytes]
    shape: str | None
    contents: Contents | None  # None where its pages cannot be read
    findings: tuple[Finding, ...]
    carries: Carries = ""  # of a copy that nobody opened as a book since
    log_unfinished: bool = False  # whether its log ends in the middle of an entry

    @property
    def _name(self) -> str:
        return self.path.name if isinstance(self.path, Path) else str(self.path)

    @property
    def sentence(self) -> str:
        """What was found, in a sentence or two."""
        told = [self._whole if self.contents is not None and not self.findings else self._damaged]
        if self.log_unfinished:
            told.append(say(UNFINISHED))
        return " ".join(told)

    @property
    def _whole(self) -> str:
        assert self.contents is not None
        whole = say(
            "{name} is whole: {n:,} records read, every key, guard, history, digest and seal "
            "as it should be.",
            name=self._name,
            n=self.contents.records,
        )
        more = {"": "", "no digest": NO_DIGEST, "digest": AS_IT_WAS}[self.carries]
        return f"{whole} {say(more)}" if more else whole

    @property
    def _damaged(self) -> str:
        count = len(self.findings)
        return say_counted(
            "{name} is damaged: {n} thing was found.", "{name} is damaged: {n} things were found.",
            count, name=self._name,
        )  # fmt: skip


def verified(path: BookAt) -> Verified:
    """Look a book over without changing it.

    Errors
    ------
    RecordError
        If it is not there, is no book, or was written by a newer version.
    """
    if not isinstance(path, Path):
        return _of_server(path)
    end = log_end(path)
    with where_it_can_be_read(path, end) as place:
        findings = [*_of_log(path, end), *damage(place)]
        held, shape = None, None
        carries: Carries = ""
        if not any(one.kind == "file" for one in findings):
            held, more = read_back(place)
            findings += more
            with reading_file(place) as connection:
                shape, carries = shape_of(connection), _carries(place, connection)
            head, _ = known_shapes()
            if shape == head and held and not any(one.kind == "values" for one in findings):
                findings += _within(place)
    return Verified(path, path.stat().st_size, shape, held, tuple(findings), carries, end.unfinished)


def _of_log(path: Path, end: LogEnd) -> list[Finding]:
    return [Finding("log", f"{path.name}-wal", say(DAMAGED), say(SAVE_BOTH))] if end.damaged else []


def _carries(path: Path, connection: sqlite3.Connection) -> Carries:
    if not is_untouched(path):
        return ""
    return "digest" if kept_digest(path, connection) else "no digest"


def verified_document(found: Verified) -> dict[str, Any]:
    """The same as one JSON object."""
    held = found.contents
    return {
        "shape": "breadline.verify/1",
        "book": absolute(found.path),
        "whole": not found.findings,
        "bytes": found.size,
        "database_shape": found.shape,
        "records": None if held is None else held.records,
        "tables": {} if held is None else dict(held.rows),
        "log_unfinished": found.log_unfinished,
        "copy_carries": found.carries or None,
        "sha256": None if held is None else held.sha256 or None,
        "findings": [
            {"kind": one.kind, "where": one.where, "what": one.what, "do": one.do} for one in found.findings
        ],
    }


def _of_server(at: OnServer) -> Verified:
    """A book in a database: the database looks after its own pages, we after the rest."""
    engine = open_book(at)
    findings = []
    try:
        checked(engine)
    except RecordError as fault:
        findings.append(Finding("keys", str(at), fault.what, fault.do))
    with looking(engine) as session:
        records = count_of(session.connection())
    findings += _within(at)
    head, _ = known_shapes()
    return Verified(at, 0, head, Contents((("all tables", records),), ""), tuple(findings))


def _within(at: BookAt) -> list[Finding]:
    """What carries a digest or a seal and is no longer what it was."""
    with only_reading(at) as session:
        return [*(Finding("digest", *one) for one in changed(session)), *_seals(session)]


def _seals(session: Session) -> list[Finding]:
    """Trials of which the lock or the draw does not stand as it was sealed."""
    do = say(
        "Keep this file as it is. The trial's own file, if one was sent, or your last copy holds it unchanged"
    )
    return [
        Finding("seal", say("trial “{name}”", name=one.name), one.why, do)
        for one in trials_in(session)
        if isinstance(one, Damaged)
    ]
