"""Brood, weight, honey and feed eaten from a spreadsheet's columns; nothing in them stops a verdict."""

from __future__ import annotations

from dataclasses import dataclass

from breadline.errors import TrialError
from breadline.jobs.verdict_cells import Table
from breadline.jobs.verdict_columns import UNITS, Column, Columns
from breadline.jobs.verdict_numbers import Decimal, number
from breadline.plan.cuts import GRAMS_A_POUND
from breadline.trial.colonies import Also

POUND = GRAMS_A_POUND / 1000.0  # [kg]
NAMED: dict[Column, str] = {
    "brood": "brood", "brood before": "brood_before", "weight": "weight", "weight before": "weight_before",
    "honey taken": "honey", "eaten": "eaten",
}  # fmt: skip
IN_KG = {"kg": 1.0, "lb": POUND}
IN_G = {"g": 1.0, "kg": 1000.0, "lb": GRAMS_A_POUND, "oz": GRAMS_A_POUND / 16.0}
MOST = {"brood": 60.0, "weight": 500.0, "honey taken": 400.0, "eaten": 50_000.0}  # in frames, kg or g


@dataclass(frozen=True)
class AlsoRead:
    """What stands in those columns.

    Parameters
    ----------
    by_line
        Of each row that has any, by its number in the file.
    remarks
        Which columns were left out, and why.
    """

    by_line: dict[int, Also]
    remarks: tuple[str, ...]


def also_read(table: Table, columns: Columns, decimal: Decimal) -> AlsoRead:
    """The readings of every row.

    A column with a word among its numbers, or without the unit it needs, is left out and said so: it
    decides nothing, so it stops nothing.
    """
    found: dict[int, dict[str, float]] = {}
    remarks = []
    for column, name in NAMED.items():
        if column not in columns.at:
            continue
        try:
            values = _values(table, columns, column, decimal)
        except TrialError as refused:
            remarks.append(f"Not used, {refused.where.removeprefix(table.name).strip(', ')}: {refused.what}.")
            continue
        for line, value in values.items():
            found.setdefault(line, {})[name] = value
    return AlsoRead({line: Also(**read) for line, read in found.items()}, tuple(remarks))


def _values(table: Table, columns: Columns, column: Column, decimal: Decimal) -> dict[int, float]:
    place = columns.at[column]
    head = f"column {table.heads[place]}"
    if column in UNITS and column not in columns.unit:
        raise TrialError(head, f"{' or '.join(UNITS[column])} is not said behind its head")
    factor = (IN_G if column == "eaten" else IN_KG).get(columns.unit.get(column, ""), 1.0)
    most = MOST[column.removesuffix(" before")]
    values = {}
    for line, cells in table.rows:
        where = f"{table.name}, row {line}, {head}"
        value = number(cells[place], where, decimal)
        if value is None:
            continue
        if not 0.0 <= value * factor <= most:
            raise TrialError(where, f"{value:g} cannot be")
        values[line] = value * factor
    return values
