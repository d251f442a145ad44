"""Brood, weight, honey and feed eaten: one set of heads, units and limits for every table that has them.

In a finished trial's spreadsheet nothing in them stops a verdict; in ends that are being entered a slip is
refused with its row, since whoever enters it can still mend it.
"""

from __future__ import annotations

from dataclasses import dataclass

from breadline.errors import TrialError
from breadline.jobs import spanish_words
from breadline.jobs.check_group_table import Row
from breadline.jobs.verdict_cells import Table
from breadline.jobs.verdict_columns import HONEY, NAMES, UNITS, Column, Columns
from breadline.jobs.verdict_numbers import Decimal, number
from breadline.language import say
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
WITHOUT_UNIT = "without its unit"


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
            remarks.append(
                say("Not used, {where}: {why}.", where=refused.where.removeprefix(table.name).strip(", "),
                    why=refused.what)
            )  # fmt: skip
            continue
        for line, value in values.items():
            found.setdefault(line, {})[name] = value
    return AlsoRead({line: Also(**read) for line, read in found.items()}, tuple(remarks))


def _values(table: Table, columns: Columns, column: Column, decimal: Decimal) -> dict[int, float]:
    place = columns.at[column]
    head = f"column {table.heads[place]}"
    if column in UNITS and column not in columns.unit:
        raise TrialError(
            head, say("{units} is not said behind its head", units=say(" or ").join(UNITS[column]))
        )
    factor, most = _factor(column, columns.unit.get(column, "")), _most(column)
    values = {}
    for line, cells in table.rows:
        where = f"{table.name}, row {line}, {head}"
        value = number(cells[place], where, decimal)
        if value is None:
            continue
        if not 0.0 <= value * factor <= most:
            raise TrialError(where, say("{text} cannot be", text=f"{value:g}"))
        values[line] = value * factor
    return values


def entered_columns() -> dict[str, tuple[str, ...]]:
    """The heads of a table of ends, the unit behind them: own name first, as ``rows_of`` takes them."""
    found: dict[str, tuple[str, ...]] = {}
    bare: list[str] = []
    for column in NAMED:
        names = [*NAMES[column].split("|"), *spanish_words.HEADS[column].split("|")]
        if column not in UNITS:
            found[column] = tuple(names[1:])
            continue
        bare += names
        more = (*names, *HONEY) if column == "honey taken" else tuple(names)
        for unit in UNITS[column]:
            found[f"{column} {unit}"] = tuple(f"{name} {unit}" for name in more[1:])
    return found | {WITHOUT_UNIT: tuple(bare)}


def also_entered(row: Row) -> Also:
    """The readings of one row of ends.

    Errors
    ------
    TrialError
        With the row: a word, a number that cannot be, or a column without its unit.
    """
    if row.text(WITHOUT_UNIT):
        raise row.error(
            say("of a weight, of honey taken or of feed eaten"), say("its unit is not said"),
            say("weight kg or weight lb, honey kg or honey lb, eaten g or eaten oz"),
            say("Write it into the head"),
        )  # fmt: skip
    return Also(**{name: _entered(row, column) for column, name in NAMED.items()})


def _entered(row: Row, column: Column) -> float | None:
    """A number in the first of its units that has one [frames, kg or g]."""
    for unit in UNITS.get(column, ("",)):
        factor = _factor(column, unit)
        head = f"{column} {unit}".strip()
        value = row.number_in(head, 0, _most(column) / factor, unit or say("frames of brood"))
        if value is not None:
            return value * factor
    return None


def _factor(column: Column, unit: str) -> float:
    return (IN_G if column == "eaten" else IN_KG).get(unit, 1.0)


def _most(column: Column) -> float:
    return MOST[column.removesuffix(" before")]
