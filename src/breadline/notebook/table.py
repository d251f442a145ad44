"""Tables for notebooks: columns by name, which any library of data frames takes as they are."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from html import escape
from typing import Any

SHOWN = 20  # rows of a table as a notebook shows it


class Table(dict[str, list[Any]]):
    """A table as columns by name, all of one length; ``pandas.DataFrame(table)`` takes it as it is.

    Days are ``datetime.date``, numbers plain, and what is missing is None. Units stand in the names of the
    columns or in the docstring of what holds the table.
    """

    @property
    def rows(self) -> int:
        """How many rows it has. [rows]"""
        return len(next(iter(self.values()), []))

    def records(self) -> list[dict[str, Any]]:
        """One dictionary a row."""
        return [dict(zip(self, row, strict=True)) for row in zip(*self.values(), strict=True)]

    def __repr__(self) -> str:
        return f"Table of {self.rows} rows: {', '.join(self)}"

    def _repr_html_(self) -> str:
        """The first rows, as a notebook shows them."""
        head = "".join(f"<th>{escape(name)}</th>" for name in self)
        body = "".join(
            f"<tr>{''.join(f'<td>{_cell(value)}</td>' for value in row)}</tr>"
            for row in list(zip(*self.values(), strict=True))[:SHOWN]
        )
        more = f"<p>{self.rows - SHOWN} more rows</p>" if self.rows > SHOWN else ""
        return f"<table><thead><tr>{head}</tr></thead><tbody>{body}</tbody></table>{more}"


def table_of(rows: Iterable[Mapping[str, Any]], columns: Sequence[str] = ()) -> Table:
    """A table of rows; their names in the order in which they first come, after ``columns``.

    A part of a row that has parts of its own becomes columns of its own: ``cost`` with ``feed`` is
    ``cost_feed``. A list of plain values becomes one text.
    """
    flat = [_flat(row) for row in rows]
    names = dict.fromkeys([*columns, *(name for row in flat for name in row)])
    return Table({name: [row.get(name) for row in flat] for name in names})


def _flat(row: Mapping[str, Any], above: str = "") -> dict[str, Any]:
    told: dict[str, Any] = {}
    for key, value in row.items():
        name = f"{above}{key}"
        if isinstance(value, Mapping):
            told |= _flat(value, f"{name}_")
        elif isinstance(value, (list, tuple)):
            told[name] = ", ".join(str(one) for one in value)
        else:
            told[name] = value
    return told


def _cell(value: object) -> str:
    if value is None:
        return ""
    return escape(f"{value:.6g}" if isinstance(value, float) else str(value))
