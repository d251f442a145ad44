"""The plan as an iCalendar file (RFC 5545): rounds, mixing days, looks, stops and moves, all day long.

Written by hand because it needs one kind of entry only. An entry keeps its name (UID) when its
date moves, so that a calendar that reads the file again moves it instead of doubling it.

Sources: [rfc5545].
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Literal
from uuid import NAMESPACE_URL, uuid5

from breadline.errors import RecordError
from breadline.language import noted_as, say, say_as
from breadline.need.words import counted
from breadline.plan.cuts import mass_words
from breadline.plan.mixing_days import MixingDay
from breadline.plan.paper import Load
from breadline.sheets.syrup_words import sugar_said, syrup_said

Kind = Literal["round", "mixing", "look again", "stop", "move"]
KIND_WORDS: Mapping[Kind, str] = {  # what a calendar sorts its days by
    "round": noted_as("kind of day", "feeding round"), "mixing": noted_as("kind of day", "mixing day"),
    "look again": noted_as("kind of day", "look again"), "stop": noted_as("kind of day", "stop feeding?"),
    "move": noted_as("kind of day", "move"),
}  # fmt: skip
WIDEST = 75  # octets of a line, without its end
_NOT_TEXT = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\x7f]")  # control characters that no text may hold


@dataclass(frozen=True)
class Entry:
    """One day of the calendar.

    Parameters
    ----------
    kind, about
        What it is, and what tells it from others of its kind: a round's number, a yard.
        Both together keep their UID when the date moves.
    on
        The day.
    title, notes, where
        What a calendar shows.
    """

    kind: Kind
    about: str
    on: date
    title: str
    notes: str = ""
    where: str = ""


def round_entries(loads: Sequence[Load]) -> tuple[Entry, ...]:
    """One entry for each truck sheet."""
    told = []
    for n, load in enumerate(loads):
        units = load.patty.units
        sheet = (
            say(", sheet {part} of {of_parts}", part=load.part, of_parts=load.of_parts)
            if load.of_parts > 1
            else ""
        )
        lines = [
            say(
                "{patties} of {mass_words}, {spare_words}",
                patties=counted(load.patties, "patty", "patties"),
                mass_words=mass_words(load.patty.whole_g, units),
                spare_words=load.spare_words,
            )
        ]
        if load.syrup_l:
            lines.append(
                say("{syrup_said} of syrup", syrup_said=syrup_said(load.syrup_l + load.syrup_spare_l, units))
            )
        if load.dry_sugar_g:
            lines.append(say("{sugar_said} of dry sugar", sugar_said=sugar_said(load.dry_sugar_g, units)))
        if alone_g := load.sugar_pieces[1]:
            lines.append(say("{sugar_said} of patties of sugar alone", sugar_said=sugar_said(alone_g, units)))
        lines += [
            say(
                "{n}. {yard}: {fed} of {colonies}. {line}",
                n=n,
                yard=visit.yard,
                fed=visit.fed,
                colonies=counted(visit.colonies, "colony", "colonies"),
                line=visit.line,
            )
            + (
                say(" Combine {pairs} first.", pairs=counted(len(visit.combine), "pair"))
                if visit.joins
                else ""
            )
            for n, visit in enumerate(load.visits, start=1)
        ]
        of = {"round": load.round, "yards": counted(len(load.visits), "yard"), "sheet": sheet}
        title = (
            say("Round {round}: {yards}{sheet}", **of)
            if load.of_all is None
            else say("Round {round} of {of_rounds}: {yards}{sheet}", of_rounds=load.of_all, **of)
        )
        if len({other.feed for other in loads}) > 1:
            title = say("{title}, {feed}", title=title, feed=load.feed)
        which = 1 + sum(other.round == load.round for other in loads[:n])
        yards = ", ".join(visit.yard for visit in load.visits)
        told.append(Entry("round", f"{load.round}/{which}", load.on, title, "\n".join(lines), yards))
    return tuple(told)


def look_entries(loads: Sequence[Load]) -> tuple[Entry, ...]:
    """When to look whether the pieces are gone: one entry a round and day.

    A yard that the next round comes to by then is left out: that visit looks.
    """
    visits = [visit for load in loads for visit in load.visits if visit.fed]
    due: dict[tuple[int, date], list[str]] = {}
    for visit in visits:
        by = visit.on + timedelta(days=visit.days)
        if not any(v.yard == visit.yard and visit.on < v.on <= by for v in visits):
            due.setdefault((visit.round, by), []).append(visit.yard)
    numbers = {key: 1 + sum(r == key[0] and d < key[1] for r, d in due) for key in due}
    return tuple(
        Entry(
            "look again", f"{round_no}/{numbers[round_no, by]}", by,
            say("Pieces of round {n} gone? {yards}", n=round_no, yards=counted(len(yards), "yard")),
            say("What is left comes out by today; look for maggots."), ", ".join(yards),
        )
        for (round_no, by), yards in due.items()
    )  # fmt: skip


def stop_entries(stops: Sequence[tuple[str, date, str]]) -> tuple[Entry, ...]:
    """One entry a yard: from which day it is looked at whether to stop, and by what signs."""
    return tuple(
        Entry("stop", yard, on, say("Stop feeding? {yard}", yard=yard), signs, yard)
        for yard, on, signs in stops
    )


def move_entries(moves: Sequence[tuple[str, date]]) -> tuple[Entry, ...]:
    """One entry a yard: its first morning at the other place."""
    notes = say("First morning at the other place: loaded and driven the night before.")
    return tuple(Entry("move", yard, on, say("Move: {yard}", yard=yard), notes, yard) for yard, on in moves)


def mixing_entries(days: Sequence[MixingDay]) -> tuple[Entry, ...]:
    """One entry for each mixing day; the batch sheet has the rest."""
    told = []
    for n, day in enumerate(days):
        patties = counted(day.patties, "patty", "patties")
        title = say("Mix for round {n}: {patties}", n=day.round, patties=patties)
        if len({other.feed for other in days}) > 1:
            title = say("{title}, {feed}", title=title, feed=day.feed)
        before = sum(other.round == day.round for other in days[:n])
        of = f"{day.round}/{before + 1}" if before else f"{day.round}"
        notes = say("For {meant_for}. Take the batch sheet.", meant_for=day.meant_for)
        told.append(Entry("mixing", of, day.on, title, notes))
    return tuple(told)


def calendar_file(plan: str, name: str, entries: Iterable[Entry], stamp: datetime, changes: int = 0) -> bytes:
    """The file, in UTF-8.

    Parameters
    ----------
    plan
        What tells this plan from all others and stays when it is changed, such as its id.
    name
        What a calendar calls it.
    entries
        In any order; the file has them by date.
    stamp
        When it was written (DTSTAMP), with its zone.
    changes
        How often the plan was changed (SEQUENCE).

    Errors
    ------
    RecordError
        If the stamp has no zone, the plan no name, or two entries are of one kind about one thing.
    """
    if stamp.tzinfo is None:
        raise RecordError(
            "calendar", say("{stamp:%Y-%m-%d %H:%M} has no zone", stamp=stamp), say("a time with its zone")
        )
    if not plan.strip() or changes < 0:
        raise RecordError(
            "calendar", say("the plan has no name or a negative count of changes"), say("both as they are")
        )
    told = sorted(entries, key=lambda entry: (entry.on, entry.kind, entry.about))
    names = [(entry.kind, entry.about) for entry in told]
    for kind, about in names:
        if names.count((kind, about)) > 1:
            raise RecordError(
                "calendar",
                say("two entries are of the kind “{kind}” about “{about}”", kind=kind, about=about),
                say("one of each"),
            )
    head = ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Breadline//Rounds//EN", "CALSCALE:GREGORIAN",
            "METHOD:PUBLISH", f"NAME:{escaped(name)}", f"X-WR-CALNAME:{escaped(name)}"]  # fmt: skip
    body = [line for entry in told for line in _lines(plan, entry, stamp, changes)]
    return b"".join(folded(line) for line in [*head, *body, "END:VCALENDAR"])


def uid(plan: str, entry: Entry) -> str:
    """The entry's name in every calendar: the same for one plan, kind and subject, whatever its date."""
    return str(uuid5(NAMESPACE_URL, "\n".join(("breadline rounds", plan, entry.kind, entry.about))))


def _lines(plan: str, entry: Entry, stamp: datetime, changes: int) -> list[str]:
    kind = say_as("kind of day", KIND_WORDS[entry.kind])
    lines = [
        "BEGIN:VEVENT",
        f"UID:{uid(plan, entry)}",
        f"DTSTAMP:{stamp.astimezone(UTC):%Y%m%dT%H%M%SZ}",
        f"DTSTART;VALUE=DATE:{_day(entry.on)}",
        f"DTEND;VALUE=DATE:{_day(entry.on + timedelta(days=1))}",
        f"SEQUENCE:{changes}",
        f"SUMMARY:{escaped(entry.title)}",
        f"CATEGORIES:{escaped(kind)}",
        "TRANSP:TRANSPARENT",
    ]
    if entry.notes:
        lines.append(f"DESCRIPTION:{escaped(entry.notes)}")
    if entry.where:
        lines.append(f"LOCATION:{escaped(entry.where)}")
    return [*lines, "END:VEVENT"]


def _day(on: date) -> str:
    return f"{on.year:04d}{on.month:02d}{on.day:02d}"


def escaped(text: str) -> str:
    """Text as a value: backslash, semicolon, comma and line ends written out, control characters dropped."""
    text = text.replace("\r\n", "\n").replace("\r", "\n")
    text = (
        _NOT_TEXT.sub("", text).encode("utf-8", "ignore").decode("utf-8")
    )  # half a surrogate pair is no text
    for mark in ("\\", ";", ","):
        text = text.replace(mark, "\\" + mark)
    return text.replace("\n", "\\n")


def folded(line: str) -> bytes:
    """A line in UTF-8, broken where it is longer than 75 octets, never within a letter, with its end."""
    pieces, piece = [], b""
    for letter in line:
        octets = letter.encode("utf-8")
        if len(piece) + len(octets) > WIDEST:
            pieces.append(piece)
            piece = b" "
        piece += octets
    return b"\r\n".join([*pieces, piece]) + b"\r\n"
