"""Where a book lies, how large it is, and when it was last copied."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from breadline.jobs.export_json import count_of
from breadline.jobs.safe_copy import megabytes
from breadline.language import say
from breadline.need.words import day_and_year
from breadline.records import brought, yards
from breadline.records.address import BookAt, absolute
from breadline.records.engine import looking, open_book


@dataclass(frozen=True)
class Whereabouts:
    """Where a book lies and what is known of its copies."""

    place: str
    on_server: bool
    size: str  # as people say it; empty on a server
    records: int
    yards: int
    copied_at: datetime | None
    copied_to: str

    @property
    def sentence(self) -> str:
        """The sentence somebody came for."""
        if self.on_server:
            return say("Your book lies in a database: {place}.", place=self.place)
        return say("Your book lies on this machine only, in one file: {place}", place=self.place)

    def last_copy(self, now: datetime) -> str:
        """When it was last copied, and how long ago that is."""
        if self.copied_at is None:
            return say("No copy of it was made yet, as far as the book knows.")
        here = self.copied_at.astimezone(now.tzinfo)
        days = (now.date() - here.date()).days
        ago = {0: say("today"), 1: say("yesterday")}.get(days, say("{ago:,} days ago", ago=days))
        where = (
            say("to {copied_to}", copied_to=self.copied_to)
            if self.copied_to
            else say("sent to a browser as a download")
        )
        return say(
            "Last copy: {day_and_year} ({ago}), {where}.",
            day_and_year=day_and_year(here.date()),
            ago=ago,
            where=where,
        )


def whereabouts(at: BookAt) -> Whereabouts:
    """Where a book lies."""
    engine = open_book(at)
    with looking(engine) as session:
        last = brought.last_copy(session)
        records, listed = count_of(session.connection()), len(yards.yards(session))
    size = megabytes(_size(at)) if isinstance(at, Path) else ""
    return Whereabouts(
        absolute(at), not isinstance(at, Path), size, records, listed, *(last or (None, ""))
    )  # fmt: skip


def _size(path: Path) -> int:
    """The file and what still stands in its log. [bytes]"""
    log = path.with_name(f"{path.name}-wal")
    return path.stat().st_size + (log.stat().st_size if log.exists() else 0)
