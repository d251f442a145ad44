"""What a notebook hands in: a path, the tables of a file as a mapping, or a data frame of any library."""

from __future__ import annotations

import csv
import io
import json
import tomllib
from collections.abc import Mapping, Sequence
from datetime import date, datetime, time
from os import PathLike
from pathlib import Path
from typing import Any

from breadline.errors import InputToMend, TrialError
from breadline.language import say

Given = str | PathLike[str] | Mapping[str, Any]
"""A path of a file, or what stands in it as tables and lists."""

Columns = Any
"""A data frame (anything with ``columns`` and ``frame[name]``), a mapping of columns, or rows as mappings."""

NOTHING = {"", "nan", "NaN", "NaT", "<NA>", "None"}


def is_path(given: object) -> bool:
    """Whether a path was handed in."""
    return isinstance(given, (str, PathLike))


def columns_of(table: Columns, where: str, fault: type[InputToMend] = TrialError) -> dict[str, list[Any]]:
    """The columns of a table by name, all of one length.

    Errors
    ------
    TrialError
        Or the ``fault`` named: if it is no table, has no rows, or columns of several lengths.
    """
    columns = _columns(table)
    if columns is None:
        raise fault(where, f"{type(table).__name__} is no table", "a data frame, or columns by name")
    lengths = {len(column) for column in columns.values()}
    if len(lengths) > 1:
        raise fault(where, "its columns differ in length", "one value a row in each")
    if lengths <= {0}:
        raise fault(where, "it has no rows", "one row a colony, or a day")
    return columns


def _columns(table: Columns) -> dict[str, list[Any]] | None:
    if isinstance(table, Mapping):
        return {str(name): list(column) for name, column in table.items()}
    if hasattr(table, "columns") and hasattr(table, "__getitem__"):
        told = {str(name): list(table[name]) for name in table.columns}
        index: Any = getattr(table, "index", None)
        if str(getattr(index, "dtype", "")).startswith("datetime"):  # days as the index of a data frame
            told = {str(getattr(index, "name", None) or "date"): list(index), **told}
        return told
    if isinstance(table, Sequence) and all(isinstance(row, Mapping) for row in table):
        names = dict.fromkeys(str(name) for row in table for name in row)
        return {name: [row.get(name) for row in table] for name in names}
    return None


def csv_of(table: Columns, where: str, fault: type[InputToMend] = TrialError) -> str:
    """A table as the text of a CSV file with decimal points; what is missing is left blank.

    Errors
    ------
    TrialError
        Or the ``fault`` named, as ``columns_of``.
    """
    columns = {name: _cells(column) for name, column in columns_of(table, where, fault).items()}
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(columns)
    writer.writerows(zip(*columns.values(), strict=True))
    return out.getvalue()


def _cells(column: Sequence[Any]) -> list[str]:
    values = [plain(value) for value in column]
    times = [value for value in values if isinstance(value, datetime) and str(value) not in NOTHING]
    whole_days = all(value.time() == time() for value in times)
    return [_cell(value, whole_days) for value in values]


def _cell(value: object, whole_days: bool) -> str:
    if str(value) in NOTHING:
        return ""
    if isinstance(value, datetime):
        return value.date().isoformat() if whole_days else value.isoformat(sep=" ", timespec="minutes")
    return value.isoformat() if isinstance(value, date) else str(value)


def plain(value: Any) -> Any:
    """A scalar of an array library as Python's own; anything else as it is."""
    return value.item() if hasattr(value, "item") and not hasattr(value, "__len__") else value


def toml_of(tables: Mapping[str, Any]) -> str:
    """The text of a file that says what the mapping says.

    Errors
    ------
    TrialError
        If a value is nothing that such a file can hold.
    """
    return "\n".join(_lines(tables, ()))


def tables_of(given: Mapping[str, Any]) -> dict[str, Any]:
    """The same mapping as it comes out of a file: plain numbers, days and texts."""
    return tomllib.loads(toml_of(given))


def _lines(table: Mapping[str, Any], above: tuple[str, ...]) -> list[str]:
    held = {key: value for key, value in table.items() if value is not None}
    below = {key: value for key, value in held.items() if _is_table(value) or _is_list_of_tables(value)}
    lines = [f"{_key(key)} = {_value(value, key)}" for key, value in held.items() if key not in below]
    for key, value in below.items():
        name = ".".join(_key(one) for one in (*above, key))
        for one in [value] if _is_table(value) else value:
            lines.append(f"[{name}]" if _is_table(value) else f"[[{name}]]")
            lines += _lines(one, (*above, key))
    return lines


def _is_table(value: object) -> bool:
    return isinstance(value, Mapping)


def _is_list_of_tables(value: object) -> bool:
    return isinstance(value, (list, tuple)) and bool(value) and all(isinstance(v, Mapping) for v in value)


def _key(name: object) -> str:
    return json.dumps(str(name), ensure_ascii=False)


def _value(value: Any, key: str) -> str:
    value = plain(value)
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, (int, float)):
        return repr(value)
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, datetime):
        return value.date().isoformat()
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, (list, tuple)):
        return f"[{', '.join(_value(one, key) for one in value)}]"
    raise TrialError(
        key,
        say("{name} can't be held by a file", name=type(value).__name__),
        say("a number, text, day or list"),
    )


def path_of(given: Given) -> Path | None:
    """The path, where one was handed in."""
    return Path(given) if isinstance(given, (str, PathLike)) else None
