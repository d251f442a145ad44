"""A table of hives as people keep it: read by the names of its columns; errors name row and column."""

from __future__ import annotations

import csv
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from io import StringIO
from math import isfinite
from pathlib import Path

from breadline.errors import TrialError
from breadline.jobs.verdict_columns import plain

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
                "Write a decimal point, or separate columns by ;" if "," in text else "Write the number alone"
            )
            raise self.error(column, f'"{text}" is not a number', f"a number of {unit}", do) from None
        if not isfinite(value) or not low <= value <= high:
            raise self.error(column, f"{text} {unit} cannot be", f"{low:g} to {high:g} {unit}")
        return value

    def whole_in(self, column: str, high: int, unit: str) -> int | None:
        """A whole number from 1; None where the cell is blank."""
        value = self.number_in(column, 1, high, unit)
        if value is not None and value != int(value):
            raise self.error(column, f"{value:g} is not a whole number", f"1, 2, 3 … {unit}")
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
        raise TrialError(str(path), f"it can't be read ({error.strerror})", expected) from None
    except UnicodeDecodeError:
        raise TrialError(
            path.name, "the file is not in UTF-8", "a text file in UTF-8",
            'Save it again as "CSV UTF-8" in your spreadsheet',
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
        raise TrialError(file, "the table is empty", f"columns {', '.join(needed)} and a row a hive")
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
        raise TrialError(file, "no hive is listed", "a row a hive below the names of the columns")
    if len(found) > MOST_ROWS:
        raise TrialError(file, f"{len(found):,} rows", f"at most {MOST_ROWS:,}")
    return found


def _named(
    head: Sequence[str], file: str, columns: Mapping[str, Sequence[str]], needed: Sequence[str]
) -> dict[int, str]:
    told = [plain(cell) for cell in head]
    found: dict[int, str] = {}
    for name, others in columns.items():
        at = [n for n, cell in enumerate(told) if cell in (name, *others)]
        if len(at) > 1:
            raise TrialError(
                f"{file}, head", f"{len(at)} columns are the {name}: {head[at[0]]}, {head[at[1]]}", "one"
            )
        if at:
            found[at[0]] = name
    for name in needed:
        if name not in found.values():
            others = ", ".join(f'"{other}"' for other in (name, *columns[name]))
            raise TrialError(f"{file}, head", f"no column is the {name}", f"one headed {others}")
    return found
