"""A sheet understood: which column is what, what has to be asked, each row's values, what is to be mended."""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from datetime import date

from breadline.errors import RecordError
from breadline.going_on import still_wanted
from breadline.jobs.export import unguarded
from breadline.jobs.sheet_cells import Cells, Native, Rows, cells_of, clean
from breadline.jobs.sheet_fields import (
    FIELDS,
    Field,
    Holds,
    field_of,
    frame_words,
    guessed,
    head_row,
    what_it_holds,
)
from breadline.jobs.sheet_values import (
    Decimal,
    Mend,
    Order,
    Reading,
    Value,
    orders,
    typed,
    unsure_number,
    value_of,
)
from breadline.jobs.verdict_columns import plain
from breadline.language import noted, say, say_as

TOTALS = {"total", "totals", "sum", "mean", "average", "avg", "summe", "gesamt", "mittel", "count"}
NONE = "(leave out)"
LEAVE_OUT = noted("Leave it out")
HIVE_ONLY = ("queen_status", "patty_left")  # said of one hive, never of a yard's average


@dataclass(frozen=True)
class SheetAsked:
    """What was said of a sheet; None and empty where it was not said."""

    holds: Holds | None = None
    sheet: str = ""
    head: int | None = None  # number of the row with the heads
    columns: Mapping[str, str] = field(default_factory=dict)  # head → key of a field, or NONE
    decimal: Decimal | None = None
    order: Order | None = None
    units: Mapping[str, str] = field(default_factory=dict)  # key of a field → word of its unit
    yard: str = ""  # where no column says it
    new_colonies: bool | None = None  # whether tags that are not known are new hives
    same_feed: bool | None = None  # whether a yard's average is what its hives were fed that day, one by one


@dataclass(frozen=True)
class Question:
    """Something that only a person can say: what it sets, in words, and what can be answered."""

    key: str  # decimal, order, new-colonies, same-feed, yard, or unit:FIELD
    text: str
    choices: tuple[tuple[str, str], ...]  # answer, words


@dataclass(frozen=True)
class Fault:
    """What is to be mended in a row, and in which column; row 0 is the whole sheet."""

    line: int
    column: str
    what: str
    do: str

    def __str__(self) -> str:
        return self.told_of(say("row {n}", n=self.line) if self.line else say("the sheet"))

    def told_of(self, place: str) -> str:
        """The same of a place: "rows 3 to 9"."""
        column = say(", column {column}", column=self.column) if self.column else ""
        return f"{place}{column}: {self.what}. {self.do}".rstrip() + ("." if self.do else "")


@dataclass(frozen=True)
class Row:
    """A row by its line in the file: values by the key of their field, and a digest of what it says."""

    line: int
    values: Mapping[str, Value]
    digest: bytes  # the first 16 bytes of the SHA-256 of what it says
    sound: bool = True  # False where a cell of it is to be mended


@dataclass(frozen=True)
class Understood:
    """A sheet with its columns, before its rows are read."""

    cells: Cells
    sha256: str
    holds: Holds
    head: int
    heads: tuple[str, ...]
    columns: Mapping[int, str]  # place → key of a field
    questions: tuple[Question, ...]
    answered: tuple[Question, ...]
    said: tuple[str, ...]

    @property
    def unused(self) -> tuple[str, ...]:
        """Heads of columns that are left out."""
        return tuple(head for place, head in enumerate(self.heads) if head and place not in self.columns)

    @property
    def body(self) -> list[tuple[int, list[str]]]:
        """The rows under the heads."""
        return [row for row in self.cells.rows if row[0] > self.head]


def understood(name: str, content: bytes, asked: SheetAsked) -> Understood:
    """Which column of a sheet is what, and what has to be asked.

    Errors
    ------
    RecordError
        If it is no sheet, has no rows, or a needed column is in none of its heads.
    """
    cells = cells_of(name, content, asked.sheet)
    rows = [[clean(cell) for cell in row] for _, row in cells.rows[:200]]
    holds = asked.holds or what_it_holds(rows)
    place = _head_place(cells, asked, head_row(holds, rows))
    heads = tuple(map(unguarded, rows[place])) if place < len(rows) else ()
    columns = _columns(cells.name, holds, heads, asked)
    line = cells.rows[place][0]
    body = [row for row in cells.rows if row[0] > line]
    if not body:
        raise RecordError(
            cells.name,
            say("there is no row under the heads"),
            say("one row a thing"),
            say("Is this the sheet?"),
        )
    questions, answered, order = _questions(holds, columns, body, asked)
    said = list(cells.said)
    if place:
        said.append(say("The heads stand in row {n}; rows above it are left out.", n=line))
    if order and asked.order is None and len(order) == 1:
        said.append(
            say("Days are read with the day first: no other way fits them all.")
            if next(iter(order)).startswith("day")
            else say("Days are read with the month first: no other way fits them all.")
        )
    digest = hashlib.sha256(content).hexdigest()
    return Understood(
        cells, digest, holds, line, heads, columns, tuple(questions), tuple(answered), tuple(said)
    )


def rows_read(
    told: Understood, asked: SheetAsked, today: date, progress: Callable[[int, int], None] = lambda a, b: None
) -> tuple[list[Row], list[Fault]]:
    """Every row with its values, and what is to be mended."""
    order = asked.order or _only(told)
    how = Reading(asked.decimal, order, today)
    fields = [(place, field_of(told.holds, key)) for place, key in told.columns.items()]
    rows, faults, body = [], [], told.body
    columns = [_Column(place, one, asked.units.get(one.key, ""), how) for place, one in fields]
    begun = f"{told.holds} {[asked.units.get(key, '') for key in ('frames_of_bees', 'bread')]}"
    said = _Said(begun)
    for number, (line, cells) in enumerate(body):
        values, wrong = _values(told, line, cells, columns, asked)
        faults += wrong
        rows.append(Row(line, values, b"" if wrong else said.digest(values), not wrong))
        if number % 1000 == 0:
            progress(number, len(body))
            still_wanted(number, len(body))
    return rows, faults


class _Column:
    """The cells of a column read once each: the same few stand in thousands of rows."""

    def __init__(self, place: int, of: Field, unit: str, how: Reading) -> None:
        self.place, self.of, self._unit, self._how = place, of, unit, how
        self._typed: dict[str, Value] = {}
        self._native: dict[str, Value] = {}

    def value(self, text: str) -> Value:
        """The value of a cell.

        Errors
        ------
        Mend
            With what is wrong; a row of totals is.
        """
        before = self._native if type(text) is Native else self._typed
        if text not in before:
            found = value_of(text, self.of, self._unit, self._how)
            if self.of.key in ("yard", "colony", "name") and found and plain(str(found)) in TOTALS:
                raise Mend(say("“{text}” looks like a row of totals", text=found), say(LEAVE_OUT))
            before[text] = found
        return before[text]


def _values(
    told: Understood, line: int, cells: list[str], columns: list[_Column], asked: SheetAsked
) -> tuple[dict[str, Value], list[Fault]]:
    values: dict[str, Value] = {"yard": asked.yard} if asked.yard else {}
    faults = []
    for column in columns:
        one, place = column.of, column.place
        try:
            found = column.value(cells[place] if place < len(cells) else "")
        except Mend as wrong:
            faults.append(Fault(line, told.heads[place], wrong.what, wrong.do))
            continue
        if found is not None and found != "":
            values[one.key] = found
        elif one.needed and not (one.key in values and not _of_totals(cells)):
            faults.append(_missing(line, told.heads[place], one, cells))
    if told.holds == "readings" and not faults:
        faults += _hive_only(line, values)
    totals = [one for one in faults if one.do == say(LEAVE_OUT)]  # then the rest of the row says nothing
    return values, totals[:1] or faults


def _missing(line: int, head: str, one: Field, cells: list[str]) -> Fault:
    if _of_totals(cells):
        return Fault(line, head, say("this looks like a row of totals"), say(LEAVE_OUT))
    do = (
        say("Fill it in; a name above merged cells has to stand in every row")
        if one.shape == "text"
        else say("Fill it in")
    )
    return Fault(line, head, say("the {what} is missing", what=say_as("column", one.name)), do)


def _of_totals(cells: list[str]) -> bool:
    return any(plain(cell) in TOTALS for cell in cells[:6])


def _hive_only(line: int, values: Mapping[str, Value]) -> list[Fault]:
    if "looked_in" in values and "colony" in values:
        what = say("how many hives were looked in is said of a yard's average, and a colony is named")
        return [Fault(line, "", what, say("Leave one of the two out"))]
    found = [field_of("readings", key) for key in HIVE_ONLY if key in values and "colony" not in values]
    return [
        Fault(
            line,
            "",
            say("the {what} is said of one hive, and no colony is named", what=say_as("column", one.name)),
            say("Name the colony"),
        )
        for one in found
    ]


class _Said:
    """What rows say, whatever kind of file they came in and in which order their columns stood."""

    def __init__(self, begun: str) -> None:
        self._begun = begun
        self._words: dict[tuple[str, type, Value], str] = {}  # a truth and a number can be equal

    def digest(self, values: Mapping[str, Value]) -> bytes:
        """The first 16 bytes of the SHA-256 of a row."""
        said, words = [self._begun], self._words
        for key in sorted(values):
            value = values[key]
            if (word := words.get((key, type(value), value))) is None:
                plain_value = float(value) if type(value) is int else value
                word = words[key, type(value), value] = f"{key}={plain_value!r}"
            said.append(word)
        return hashlib.sha256("\x1f".join(said).encode("utf-8", "surrogatepass")).digest()[:16]


def _head_place(cells: Cells, asked: SheetAsked, guess: int) -> int:
    if asked.head is None:
        return guess
    for place, (line, _) in enumerate(cells.rows):
        if line == asked.head:
            return place
    raise RecordError(
        cells.name,
        say("there is nothing in row {n}", n=asked.head),
        say("the row with the heads"),
        say("Look again"),
    )


def _columns(name: str, holds: Holds, heads: tuple[str, ...], asked: SheetAsked) -> dict[int, str]:
    found = guessed(holds, list(heads))
    known = {one.key for one in FIELDS[holds]}
    for head, key in asked.columns.items():
        places = [n for n, here in enumerate(heads) if here == head]
        if not places or (key not in known and key != NONE):
            raise RecordError(
                name, say("“{head}” cannot be “{key}”", head=head, key=key),
                say("a head, and one of {names}", names=", ".join(sorted(known))),
                say("The heads are: {heads}", heads=", ".join(h for h in heads if h)),
            )  # fmt: skip
        found = {n: k for n, k in found.items() if k != key and n != places[0]}
        if key != NONE:
            found[places[0]] = key
    for one in FIELDS[holds]:
        if one.needed and one.key not in found.values() and not (one.key == "yard" and holds != "yards"):
            raise RecordError(
                name, say("no column says the {column}", column=say_as("column", one.name)),
                say("a head such as {names}", names=", ".join(one.names()[:5])),
                say("The heads are: {heads}. Say which column it is",
                    heads=", ".join(h for h in heads if h)[:300]),
            )  # fmt: skip
    if holds == "readings" and not set(found.values()) - {"yard", "colony", "day", "looked_in"}:
        raise RecordError(
            name, say("no column holds anything that was seen or counted"), say("frames, mites, bread …"),
            say("The heads are: {heads}", heads=", ".join(h for h in heads if h)[:300]),
        )  # fmt: skip
    return dict(sorted(found.items()))


def _questions(
    holds: Holds, columns: Mapping[int, str], body: Rows, asked: SheetAsked
) -> tuple[list[Question], list[Question], set[Order]]:
    """What is open, what was answered, and in which orders the days can be read."""
    found: list[Question] = []
    answered: list[Question] = []
    texts = {place: _typed(body, place) for place in columns}
    filled = {p for p in columns if texts[p] or any(p < len(row) and row[p].strip() for _, row in body)}
    numbers = [p for p, key in columns.items() if field_of(holds, key).shape in ("number", "whole")]
    unsure = next((t for p in numbers for t in texts[p] if unsure_number(t)), None)
    if unsure is not None:
        to = found if asked.decimal is None else answered
        to.append(Question("decimal", say("Which is the decimal sign? “{text}” stands in the "
                                          "sheet.", text=clean(unsure)),
                              (("point", say("the point: 8.5")), ("comma", say("the comma: "
                                                                               "8,5")))))  # fmt: skip
    days = [p for p, key in columns.items() if field_of(holds, key).shape == "day"]
    order = orders(text for p in days for text in texts[p])
    if len(order) == 2:
        to = found if asked.order is None else answered
        such = next(t for p in days for t in texts[p] if orders([t]))
        to.append(Question("order", say("Which comes first in “{text}”?", text=clean(such)),
                              (("day-month", say("the day")), ("month-day", say("the month")))))  # fmt: skip
    for place, key in columns.items():
        one = field_of(holds, key)
        if not one.units or place not in filled:
            continue
        if key in asked.units and asked.units[key] not in one.units:
            raise RecordError(
                one.name, say("“{text}” is no unit for it", text=asked.units[key]), ", ".join(one.units)
            )
        words = frame_words() if key == "frames_of_bees" else {unit: unit for unit in one.units}
        text = (
            say("What is a frame of bees here?")
            if key == "frames_of_bees"
            else say("In what unit are the numbers for {what}?", what=say_as("column", one.name))
        )
        to = answered if key in asked.units else found
        to.append(Question(f"unit:{key}", text, tuple((unit, words[unit]) for unit in one.units)))
    return found, answered, order


def _typed(body: Rows, place: int) -> list[str]:
    """What people typed into a column, each text once: the same few stand in thousands of rows."""
    cells = dict.fromkeys(row[place] for _, row in body if place < len(row))
    return [typed(text) for text in cells if type(text) is not Native and text.strip()]


def _only(told: Understood) -> Order | None:
    places = [place for place, key in told.columns.items() if field_of(told.holds, key).shape == "day"]
    found = orders(text for place in places for text in _typed(told.body, place))
    return next(iter(found)) if len(found) == 1 else None
