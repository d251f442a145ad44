"""What must be a whole number: bags that are not opened, and how many ingredients there are."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from breadline.ration.problem import Problem

FloatArray = NDArray[np.float64]
TRACE = 1e-9  # less than this is rounding [share or bags]


@dataclass(frozen=True)
class Whole:
    """Columns and rows beyond the plain shares of a full mixer.

    Parameters
    ----------
    unit
        Share of a full mixer that one unit of each ingredient's column is (a bag, or
        all of it), shape (ingredients,). [share]
    upper
        Most of each column, shape (columns,).
    integer
        Which columns are whole numbers, shape (columns,).
    rows, row_lower, row_upper
        Rows that tie ingredients to whether they go in, shape (rows, columns) and (rows,).
    """

    unit: FloatArray
    upper: FloatArray
    integer: NDArray[np.bool_]
    rows: FloatArray
    row_lower: FloatArray
    row_upper: FloatArray

    @property
    def columns(self) -> int:
        """How many columns there are in all."""
        return len(self.upper)

    def shares_of(self, columns: FloatArray) -> FloatArray:
        """Shares of a full mixer, whole numbers made exactly whole, shape (ingredients,). [share]"""
        n = len(self.unit)
        values = np.where(self.integer[:n], np.round(columns[:n]), columns[:n])
        values = np.where(values < TRACE, 0.0, values)
        if self.columns > n:  # HiGHS takes a switch of a millionth for none, and lets a trace through
            values = np.where(columns[n : 2 * n] < 0.5, 0.0, values)
        return values * self.unit

    def columns_of(self, shares: FloatArray) -> FloatArray:
        """Column values of a mix given as shares of a full mixer [share], shape (columns,). [1]"""
        amounts = shares / self.unit
        whole = self.integer[: len(amounts)]
        amounts = np.where(whole, np.round(amounts), amounts)
        return np.concatenate([amounts, (shares > 0.0).astype(float)])[: self.columns]


def whole_of(problem: Problem) -> Whole:
    """What the making of a mix asks of whole numbers."""
    making, keys = problem.making, problem.keys
    n = len(keys)
    unit = np.ones(n)
    for i, key in enumerate(keys):
        if key in making.whole_bags:
            unit[i] = (problem.prices[key].bag_kg or 0.0) / (making.batch_kg or 1.0)
    bags = np.array([k in making.whole_bags for k in keys])
    most = np.where(bags, np.floor(1.0 / unit + 1e-9), 1.0)
    if making.most_ingredients is None and making.least_if_used is None:
        return Whole(unit, most, bags, np.zeros((0, n)), np.zeros(0), np.zeros(0))
    return _with_switches(problem, unit, most, bags)


def _with_switches(problem: Problem, unit: FloatArray, most: FloatArray, bags: NDArray[np.bool_]) -> Whole:
    """One switch an ingredient: off, and none of it goes in."""
    making, n = problem.making, len(unit)
    amount, switch = np.diag(unit), np.eye(n)
    rows = [np.hstack([amount, -switch])]  # no more than all of it, and only when switched on
    lower, upper = [np.full(n, -np.inf)], [np.zeros(n)]
    if making.least_if_used is not None:
        rows.append(np.hstack([amount, -switch * making.least_if_used / 100.0]))
        lower.append(np.zeros(n))
        upper.append(np.full(n, np.inf))
    if making.most_ingredients is not None:
        rows.append(np.concatenate([np.zeros(n), np.ones(n)])[None, :])
        lower.append(np.zeros(1))
        upper.append(np.array([float(making.most_ingredients)]))
    return Whole(
        unit, np.concatenate([most, np.ones(n)]), np.concatenate([bags, np.ones(n, dtype=bool)]),
        np.vstack(rows), np.concatenate(lower), np.concatenate(upper),
    )  # fmt: skip
