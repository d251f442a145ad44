"""From the rows of a spreadsheet to the colonies of a trial: what each was, and what became of it."""

from __future__ import annotations

import re
from collections import defaultdict
from dataclasses import dataclass, replace
from datetime import date

from breadline.errors import TrialError
from breadline.going_on import still_wanted
from breadline.jobs.verdict_also import also_read
from breadline.jobs.verdict_arms import Arms, arms_of
from breadline.jobs.verdict_cells import Table
from breadline.jobs.verdict_columns import STATUS, UNSURE, Column, Columns, columns_of, plain, word_of
from breadline.jobs.verdict_numbers import Decimal, day, number
from breadline.language import noted, say, say_as, say_counted
from breadline.trial.colonies import AS_NOTHING, NOTHING_ELSE, UNKNOWN, Also, Became, Ended, Started
from breadline.trial.design import Unit
from breadline.verdict.ends_of import named
from breadline.verdict.fairness import Conduct
from breadline.verdict.visits import Visit

ONE_YARD = "the yard"
COLONIES_READ = noted("{n:,} of {all:,} colonies.")
_INTO = re.compile(r"(merged|united|combined|unid[ao]|fusionad[ao])\s+(?:into|with|a|con)\s+(.+)", re.I)
FRAMES_IN = 3.0  # rows a colony from which, without a visit, they are taken for frames [rows]
NEVER_BELOW_0: tuple[Column, ...] = ("end", "baseline", "again", "taken")


@dataclass(frozen=True)
class SheetAsked:
    """What has to be said of a spreadsheet, since it does not say so itself.

    Parameters
    ----------
    decimal
        Whether numbers have decimal points or commas.
    check, primary
        Names of the check group and of the fed group that is compared; "" where the file is plain.
    """

    decimal: Decimal = "point"
    check: str = ""
    primary: str = ""


@dataclass(frozen=True)
class SheetRead:
    """The colonies of a spreadsheet.

    Parameters
    ----------
    started, ended
        One a colony.
    arms
        Names of the groups, check first, and which fed one is compared.
    unit
        Colonies where a yard holds both groups; whole yards where none does.
    frames_as_rows, swapped
        What the rows show of how it was done.
    visits
        Earlier readings, where there are any.
    remarks
        What was understood that somebody may want to know.
    """

    started: tuple[Started, ...]
    ended: tuple[Ended, ...]
    arms: Arms
    unit: Unit
    frames_as_rows: bool
    swapped: tuple[str, ...]
    visits: tuple[Visit, ...]
    remarks: tuple[str, ...]

    def conduct(self, weakest_unfed: bool, differently: str) -> Conduct:
        """How the trial was carried out, with what people say of it."""
        return Conduct(weakest_unfed, differently, self.swapped, self.frames_as_rows)


@dataclass(frozen=True)
class _Row:
    line: int
    key: tuple[str, str]  # yard and tag
    arm: int
    cells: dict[Column, str]


def colonies_of(table: Table, asked: SheetAsked) -> SheetRead:
    """The colonies of a table.

    Errors
    ------
    TrialError
        With the file's own rows and heads: a colony in both groups, two rows for one colony, a blank
        end, words among numbers, boxes of several depths.
    """
    columns = columns_of(table)
    _refuse_depths(table, columns)
    arms, of_row = arms_of(table, columns, asked.check, asked.primary)
    rows = _rows(table, columns, of_row)
    groups: dict[tuple[str, str], list[_Row]] = defaultdict(list)
    for row in rows:
        groups[row.key].append(row)
    visited = bool({"visit", "date"} & columns.at.keys()) and any(len(each) > 1 for each in groups.values())
    frames = (
        not visited
        and ("frame" in columns.at or len(rows) >= FRAMES_IN * len(groups))
        and len(rows) > len(groups)
    )
    _refuse_twice(table, groups, visited or frames)
    tags = _tags(list(groups))
    started, ended, visits = [], [], []
    decimal: Decimal = "comma" if table.commas else asked.decimal
    also = also_read(table, columns, decimal)
    reader = _Reader(table, decimal, arms, {key[1]: tags[key] for key in groups})
    for n, (key, each) in enumerate(groups.items()):
        still_wanted(n, len(groups), COLONIES_READ)
        if visited:
            _refuse_same_visit(table, each, [reader.order(row) for row in each])
        last = max(each, key=lambda row: reader.order(row))
        started.append(reader.started(each[0], tags[key], min(each, key=reader.order).arm))
        ended.append(reader.ended(last, tags[key], _also(also.by_line, last, each)))
        if visited:
            visits += [reader.visit(row, tags[key]) for row in each]
    _refuse_open(table, reader.blank)
    swapped = tuple(tags[key] for key, each in groups.items() if len({row.arm for row in each}) > 1)
    return SheetRead(
        tuple(started),
        tuple(ended),
        arms,
        _unit(tuple(started)),
        frames,
        swapped,
        tuple(visits),
        (*_remarks(columns, groups, visited), *also.remarks, *_commas(table, asked)),
    )


def _also(by_line: dict[int, Also], last: _Row, each: list[_Row]) -> Also:
    """What else was read at the last visit; what was taken or eaten on the way is added up."""
    found = by_line.get(last.line, NOTHING_ELSE)
    if len(each) == 1:
        return found
    others = [by_line[row.line] for row in each if row.line in by_line]
    sums = {
        name: sum(read) if (read := [v for one in others if (v := getattr(one, name)) is not None]) else None
        for name in ("honey", "eaten")
    }
    return replace(found, **sums)


def _refuse_depths(table: Table, columns: Columns) -> None:
    """Frames of deep and of shallow boxes are not the same bees."""
    if "box" not in columns.at:
        return
    place = columns.at["box"]
    depths = sorted({plain(cells[place]) for _, cells in table.rows} - {""})
    if len(depths) > 1:
        raise TrialError(
            f"{table.name}, column {table.heads[place]}",
            say("frames of different boxes are mixed: {boxes}", boxes=", ".join(depths)),
            say("frames of one depth, before and after, in both groups"),
            say("Turn them all into frames of one box first, or keep one kind of box"),
        )


def _rows(table: Table, columns: Columns, arms: tuple[int, ...]) -> list[_Row]:
    found = []
    spelled: dict[str, str] = {}  # "North", "north " and "NORTH" are one yard, by its first spelling
    for (line, cells), arm in zip(table.rows, arms, strict=True):
        by_column = {column: cells[place].strip() for column, place in columns.at.items()}
        tag = by_column.get("colony", f"row {line}")
        if not tag:
            raise TrialError(
                f"{table.name}, row {line}", say("the colony has no tag"), say("a tag in every row")
            )
        yard = by_column.get("yard", ONE_YARD) or say("no yard said")
        yard = spelled.setdefault(plain(yard) or yard, yard)
        found.append(_Row(line, (yard, tag), arm, by_column))
    return found


def _refuse_twice(table: Table, groups: dict[tuple[str, str], list[_Row]], repeated: bool) -> None:
    if repeated:
        return
    for (_, tag), each in groups.items():
        lines = ", ".join(str(row.line) for row in each)
        if len({row.arm for row in each}) > 1:
            raise TrialError(
                f"{table.name}, rows {lines}",
                say("colony {tag} stands in both groups", tag=tag),
                say("each colony in one group"),
                say(
                    "If it is one colony, which group was it in when the lots were drawn? Keep that row. If "
                    "two hives wear the same tag, rename one"
                ),
            )
        if len(each) > 1:
            raise TrialError(
                f"{table.name}, rows {lines}",
                say("colony {tag} has {n} rows", tag=tag, n=len(each)),
                say("one row a colony"),
                say(
                    "If two hives wear the same tag, rename one; if these are visits, add a visit or date "
                    "column"
                ),
            )


def _refuse_same_visit(table: Table, each: list[_Row], when: list[tuple[float, date]]) -> None:
    """Two rows of one colony at one visit: one of them would be lost in silence."""
    if len(set(when)) < len(when):
        lines = ", ".join(str(row.line) for row in each)
        raise TrialError(
            f"{table.name}, rows {lines}",
            say("colony {tag} has two rows for one visit", tag=each[0].key[1]),
            say("one row a colony and visit"),
            say("If two hives wear the same tag, rename one"),
        )


def _refuse_open(table: Table, blank: list[str]) -> None:
    if blank:
        raise TrialError(
            table.name,
            say_counted("colony has no end: {tags}", "{n} colonies have no end: {tags}", len(blank),
                        tags=named(blank)),
            say("what was graded, or a status: dead, merged, sold, stolen, moved, not found …"),
            say("Look what became of each; a blank is neither dead nor alive"),
        )  # fmt: skip


def _tags(keys: list[tuple[str, str]]) -> dict[tuple[str, str], str]:
    """A tag for each colony, with its yard before it where two yards have the same."""
    tags = [tag for _, tag in keys]
    alone = {tag for tag in tags if tags.count(tag) == 1} if len(set(tags)) < len(tags) else set(tags)
    return {(yard, tag): tag if tag in alone else f"{yard} {tag}" for yard, tag in keys}


def _unit(started: tuple[Started, ...]) -> Unit:
    """Whole yards, where no yard holds two groups and there are several."""
    by_yard: dict[str, set[int]] = defaultdict(set)
    for one in started:
        by_yard[one.yard].add(one.arm)
    return Unit.YARD if len(by_yard) > 2 and all(len(arms) == 1 for arms in by_yard.values()) else Unit.COLONY


def _commas(table: Table, asked: SheetAsked) -> tuple[str, ...]:
    told = table.commas and asked.decimal != "comma"
    if not told:
        return ()
    return (say("Columns stand apart by semicolons, so commas are read as decimal commas."),)


def _remarks(columns: Columns, groups: dict[tuple[str, str], list[_Row]], visited: bool) -> tuple[str, ...]:
    said = []
    if "colony" not in columns.at:
        said.append(say("No column names the colonies: each row is taken for one."))
    if "yard" not in columns.at:
        said.append(say("No column names the yards: all are taken to stand in one."))
    if visited:
        most = max(len(each) for each in groups.values())
        said.append(say("Up to {n} visits a colony: the last one is compared.", n=most))
    if columns.unused:
        said.append(say("Not used: {columns}.", columns=", ".join(columns.unused[:8])))
    return tuple(said)


class _Reader:
    """Turns rows into colonies, and keeps the tags of those whose end is blank."""

    def __init__(self, table: Table, decimal: Decimal, arms: Arms, tag_of: dict[str, str]) -> None:
        self.table, self.decimal, self.arms, self.tag_of = table, decimal, arms, tag_of
        self.heads = {column: table.heads[place] for column, place in columns_of(table).at.items()}
        self.blank: list[str] = []

    def order(self, row: _Row) -> tuple[float, date]:
        """By visit, then by day."""
        visit = row.cells.get("visit", "")
        return (self._number(row, "visit") or 0.0) if visit else 0.0, self._day(row) or date.min

    def started(self, row: _Row, tag: str, arm: int) -> Started:
        cells = row.cells
        place, line = (self._number(row, column) for column in ("place", "row"))
        return Started(
            tag,
            row.key[0],
            cells.get("block", ""),
            arm,
            self._number(row, "baseline"),
            None if line is None else int(line),
            None if place is None else int(place),
            cells.get("queen", ""),
        )

    def ended(self, row: _Row, tag: str, also: Also = NOTHING_ELSE) -> Ended:
        became, into = self._became(row)
        outcome = self._outcome(row, became)
        if outcome is None and became not in AS_NOTHING | UNKNOWN:
            self.blank.append(f"{tag} (row {row.line})")
        if became is Became.MERGED and not into:
            raise TrialError(
                self._where(row, "status"),
                say("colony {tag} was merged, and into which hive is not said", tag=tag),
                say("its tag: bees that go over to the other group would break the comparison"),
                say(
                    "Write “merged into T7”, or add a column “merged into”; where nobody knows, “merged into "
                    "unknown”"
                ),
            )
        if outcome and became in (Became.DEAD, Became.ABSCONDED):
            raise TrialError(
                self._where(row, "end"),
                say(
                    "colony {tag} is {became}, and {n:g} stands at its end",
                    tag=tag,
                    became=say_as("end", became.value),
                    n=outcome,
                ),
                say("an end of 0, or another status"),
                say("Which of the two is right?"),
            )
        return Ended(
            tag,
            became,
            None if became in UNKNOWN else outcome,
            self._day(row),
            row.cells.get("grader", ""),
            self._number(row, "again"),
            self.arms.of(row.cells.get("guess", "")),
            self.tag_of.get(into, into),
            self._number(row, "taken") or 0.0,
            also,
        )

    def visit(self, row: _Row, tag: str) -> Visit:
        became, _ = self._became(row)
        outcome = 0.0 if became in AS_NOTHING else self._outcome(row, became)
        return Visit(tag, self.order(row), outcome)

    def _outcome(self, row: _Row, became: Became) -> float | None:
        text = row.cells["end"]
        if plain(text) and STATUS.get(word_of(text)) is became and not text.strip()[0].isdigit():
            return None  # "dead" written where the frames go
        return self._number(row, "end")

    def _became(self, row: _Row) -> tuple[Became, str]:
        said = row.cells.get("status", "") or (
            row.cells["end"] if word_of(row.cells["end"]) in STATUS else ""
        )
        if merged := _INTO.fullmatch(said.strip()):
            return Became.MERGED, merged[2].strip()
        word = word_of(said)
        if word not in STATUS:
            meant = UNSURE.get(word)
            raise TrialError(
                self._where(row, "status" if row.cells.get("status") else "end"),
                say("“{text}” is no end that is known", text=said),
                meant
                or say(
                    "graded, dead, absconded, below one frame, merged, received, requeened, robbed, rescued, "
                    "split, sold, stolen, moved or not found"
                ),
                say("Say which it was") if meant else "",
            )
        return STATUS[word], row.cells.get("into", "")

    def _number(self, row: _Row, column: Column) -> float | None:
        text = row.cells.get(column, "")
        value = number(text, self._where(row, column), self.decimal) if text else None
        if value is not None and value < 0 and column in NEVER_BELOW_0:
            raise TrialError(
                self._where(row, column), say("{text} cannot be", text=text), say("0 or more"),
                say("A loss goes into the status column") if column == "end" else "",
            )  # fmt: skip
        return value

    def _day(self, row: _Row) -> date | None:
        text = row.cells.get("date", "")
        return day(text, self._where(row, "date")) if text else None

    def _where(self, row: _Row, column: Column) -> str:
        return f"{self.table.name}, row {row.line}, column {self.heads.get(column, column)}"
