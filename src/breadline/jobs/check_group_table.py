"""A table of hives as people keep it: read by the names of its columns; errors name row and column."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import StringIO
from math import isfinite
from pathlib import Path

from breadline.errors import TrialError
from breadline.jobs.verdict_columns import word_of
from breadline.language import say

MOST_ROWS = 50_000
SEPARATORS = (";", "\t", ",")


@dataclass(frozen=True)
class Row:
    """One row: where it stands, and what is in its columns by the names that they go by here."""

    file: str
    number: int
    cells: Mapping[str, str]
    comma: bool  # whether a number may be written with a decimal comma

    def text(self, column: str) -> str:
        """What stands in a column; empty where it is blank or not there."""
        return self.cells.get(column, "")

    def number_in(self, column: str, low: float, high: float, unit: str) -> float | None:
        """A number [unit named]; None where the cell is blank.

        Errors
        ------
        TrialError
            If it is text, or outside of ``low`` to ``high``.
        """
        text = self.text(column)
        if not text:
            return None
        try:
            value = float(text.replace(",", ".") if self.comma else text)
        except ValueError:
            do = (
                say("Write a decimal point, or separate columns by ;")
                if "," in text and not self.comma
                else say("Write the number alone")
            )
            raise self.error(
                column, say('"{text}" is not a number', text=text), say("a number of {unit}", unit=unit), do
            ) from None
        if not isfinite(value) or not low <= value <= high:
            raise self.error(
                column, say("{text} cannot be", text=f"{text} {unit}"),
                say("{least:g} to {most:g} {unit}", least=low, most=high, unit=unit),
            )  # fmt: skip
        return value

    def whole_in(self, column: str, high: int, unit: str) -> int | None:
        """A whole number from 1; None where the cell is blank."""
        value = self.number_in(column, 1, high, unit)
        if value is not None and value != int(value):
            raise self.error(column, say("{value:g} is not a whole number", value=value), f"1, 2, 3 … {unit}")
        return None if value is None else int(value)

    def error(self, column: str, what: str, expected: str = "", do: str = "") -> TrialError:
        """An error that names file, row and column."""
        return TrialError(f"{self.file}, row {self.number}, column {column}", what, expected, do)


def text_of(path: Path, expected: str = "a table (.csv)") -> str:
    """The text of a file, or what was ``expected`` where it cannot be read.

    Errors
    ------
    TrialError
        If it is not there, or not UTF-8.
    """
    try:
        return path.read_bytes().decode("utf-8-sig")
    except OSError as error:
        raise TrialError(str(path), say("it can't be read ({why})", why=error.strerror), expected) from None
    except UnicodeDecodeError:
        raise TrialError(
            path.name, say("the file is not in UTF-8"), say("a text file in UTF-8"),
            say('Save it again as "CSV UTF-8" in your spreadsheet'),
        ) from None  # fmt: skip


def rows_of(text: str, file: str, columns: Mapping[str, Sequence[str]], needed: Sequence[str]) -> list[Row]:
    """The rows of a table; ``columns`` gives the names that a column may go by, the first its own.

    Blank rows are passed over. A column of another name is left alone.

    Errors
    ------
    TrialError
        If the table is empty or too long, or a needed column is missing or stands twice.
    """
    lines = text.replace("\r\n", "\n").replace("\r", "\n")
    head = next((line for line in lines.split("\n") if line.strip()), "")
    if not head:
        raise TrialError(
            file, say("the table is empty"), say("columns {names} and a row a hive", names=", ".join(needed))
        )
    separator = max(SEPARATORS, key=head.count)
    read = list(csv.reader(StringIO(lines), delimiter=separator, strict=False))
    first = next(n for n, row in enumerate(read) if any(cell.strip() for cell in row))
    names = _named(read[first], file, columns, needed)
    found = []
    for number, row in enumerate(read[first + 1 :], first + 2):
        cells = {name: row[n].strip() for n, name in names.items() if n < len(row)}
        if any(cells.values()):
            found.append(Row(file, number, cells, separator != ","))
    if not found:
        raise TrialError(file, say("no hive is listed"), say("a row a hive below the names of the columns"))
    if len(found) > MOST_ROWS:
        raise TrialError(file, say("{n:,} rows", n=len(found)), say("at most {n:,}", n=MOST_ROWS))
    return found


def _named(
    head: Sequence[str], file: str, columns: Mapping[str, Sequence[str]], needed: Sequence[str]
) -> dict[int, str]:
    told = [word_of(cell) for cell in head]
    found: dict[int, str] = {}
    for name, others in columns.items():
        at = [n for n, cell in enumerate(told) if cell in (name, *others)]
        if len(at) > 1:
            raise TrialError(
                f"{file}, head",
                say("{n} columns are the {name}: {one}, {other}", n=len(at), name=name, one=head[at[0]],
                    other=head[at[1]]),
                say("one"),
            )  # fmt: skip
        if at:
            found[at[0]] = name
    for name in needed:
        if name not in found.values():
            others = ", ".join(f'"{other}"' for other in (name, *columns[name]))
            raise TrialError(
                f"{file}, head", say("no column is the {name}", name=name),
                say("one headed {names}", names=others),
            )  # fmt: skip
    return found
