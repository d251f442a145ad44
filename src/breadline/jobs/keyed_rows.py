"""The rows of a tally sheet as they were keyed in, and what is to be mended in them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from breadline.errors import RecordError
from breadline.jobs.field_record import MOST
from breadline.jobs.keyed_cells import DEAD, value_of
from breadline.language import say
from breadline.records import field
from breadline.sheets.works import Ask

Document = dict[str, Any]


@dataclass(frozen=True)
class Row:
    """A row as it was keyed in.

    Parameters
    ----------
    listed
        Whether the sheet had its tag printed.
    cells
        Text by the key of its column; "note" beside those of the work.
    new
        Whether somebody said that an unlisted tag is a new hive.
    """

    tag: str
    listed: bool
    cells: Mapping[str, str]
    new: bool = False

    @property
    def blank(self) -> bool:
        """Whether nothing was keyed into it."""
        return not any(text.strip() for text in self.cells.values())


@dataclass(frozen=True)
class Keyed:
    """A sheet as it was keyed in; ``form`` is the key that was made when the page was asked for."""

    form: str
    work: str
    on: str
    who: str
    means: str
    rows: tuple[Row, ...]


@dataclass(frozen=True)
class Wrong:
    """What is to be mended, and in which field of the form."""

    field: str
    said: str


def blanked(row: Row) -> bool:
    """Whether it says nothing; a tag that somebody wrote on a line that is not listed does."""
    return row.blank and not (row.tag.strip() and not row.listed)


def record_of(
    n: int, row: Row, known: set[str], columns: tuple[Ask, ...], keyed: Keyed, wrong: list[Wrong]
) -> Document:
    """What row ``n`` says of its hive; what is to be mended in it goes into ``wrong``."""
    tag = row.tag.strip()
    where = say("Row {n}, hive {tag}", n=n + 1, tag=tag or "?")
    if not tag:
        wrong.append(
            Wrong(
                f"tag-{n}", say("{where}: it has no tag. Expected what its tag or its lid says.", where=where)
            )
        )
    elif tag.casefold() not in known and not row.new:
        said = say(
            "{where}: no such hive is listed here. Tick “new” if it is one, or mend the tag.", where=where
        )
        wrong.append(Wrong(f"tag-{n}", said))
    record: Document = {"row": n, "tag": tag, "seen": {}, "by": keyed.who.strip()[:80]}
    if note := row.cells.get("note", "").strip():
        record["spoken"] = note[:500]
    if row.new and tag.casefold() not in known:
        record["new"] = True
    if row.cells.get("frames", "").strip().casefold() in DEAD:
        record["standing"] = "dead"
    for ask in columns:
        text = row.cells.get(ask.key, "").strip()
        said = _cell(ask, text, f"{where}, {say(ask.label)}", record, keyed.means) if text else ""
        if said:
            wrong.append(Wrong(f"{ask.key}-{n}", said))
    return record


def _cell(ask: Ask, text: str, where: str, record: Document, means: str) -> str:
    """Put what a cell says into the record; what is wrong with it, or nothing."""
    if "standing" in record:
        return (
            ""
            if ask.key == "frames"
            else say("{where}: the hive is dead. Leave it blank, or mend the d.", where=where)
        )
    try:
        value = value_of(ask, text, where)
    except RecordError as error:
        return str(error)
    seen: Document = {"word": value} if isinstance(value, str) else {"value": value}
    if not isinstance(value, str):
        seen["unit"] = ask.unit
    if ask.key == "frames":
        seen["definition"] = means
    record["seen"][ask.kind] = seen
    return ""


def each_once(keyed: Keyed, wrong: list[Wrong]) -> None:
    """Tell of hives that stand on two rows, and of a sheet that is too long."""
    first: dict[str, int] = {}
    for n, row in enumerate(keyed.rows):
        tag = row.tag.strip().casefold()
        if row.blank or not tag:
            continue
        if tag in first:
            said = say(
                "Row {what}, hive {tag}: it is on row {what2} too. Blank one of them.",
                what=n + 1,
                tag=row.tag,
                what2=first[tag] + 1,
            )
            wrong.append(Wrong(f"tag-{n}" if not row.listed else f"frames-{n}", said))
        first.setdefault(tag, n)
    if len(first) > MOST:
        wrong.append(Wrong("frames-0", f"{len(first)} hives at once. Expected at most {MOST}."))


def noon_of(on: date) -> datetime:
    """The hour that the entries of a sheet of a day bear, by the clock of this computer."""
    return datetime(on.year, on.month, on.day, 12).astimezone()


def day_of(text: str, today: date, now: datetime, wrong: list[Wrong]) -> date | None:
    """The day of a sheet; None where it is none or ahead of the clock, which goes into ``wrong``."""
    try:
        on = date.fromisoformat(text.strip())
    except ValueError:
        wrong.append(
            Wrong("on", say("Date: “{text}” is no day. Expected year-month-day, 2026-05-03.", text=text))
        )
        return None
    if on > today or (today - on) > field.TOO_OLD:
        wrong.append(
            Wrong("on", say("Date: {on} is not within the last year. Expected the day of the visit.", on=on))
        )
        return None
    if noon_of(on) > now + field.AHEAD:
        said = say(
            "Date: {on} lies ahead of the clock of this computer. Expected the day of the visit; if that is "
            "right, mend the clock.",
            on=on,
        )
        wrong.append(Wrong("on", said))
        return None
    return on
