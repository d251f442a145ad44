"""Random intercepts and slopes as sums over groups: all that a mixed model needs of its rows.

The covariance of the rows is V = s0 I + s1 Z1 Z1' + … + sK ZK ZK', one indicator
matrix Z for each grouping, its rows times a value of each row where the grouping has a
slope. Of the groupings without one that with the most levels (the *finest*) is taken
out in closed form, whatever the design. What is left falls into the connected
components of the graph whose nodes are levels and whose edges are rows: one
component a yard where groupings are nested, a larger one where they are crossed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_matrix, csr_matrix
from scipy.sparse.csgraph import connected_components

from breadline.span import FloatArray

IntArray = NDArray[np.int64]
Labels = Mapping[str, NDArray[Any]]


@dataclass(frozen=True)
class Layout:
    """Where each row stands among the levels; ``names`` are ordered, the finest grouping first."""

    names: tuple[str, ...]
    cell: IntArray  # (rows,) level of the finest grouping; levels are sorted by component, then size
    place: IntArray  # (rows, groupings - 1) place of the other levels within their component
    component: IntArray  # (rows,)
    grouping_of: IntArray  # (components, places) index into ``names``; 0 where a place is empty
    levels: IntArray  # (groupings,) number of levels
    value: FloatArray  # (rows, groupings - 1) what the other levels' effects are multiplied by [-]
    square: FloatArray  # (groupings,) sum of the squares of those values over the rows [-]


@dataclass(frozen=True)
class Sums:
    """Cross-products of [other levels | columns | outcome], for one or many outcomes at once.

    Cells are the levels of the finest grouping that lie in one component and have one
    size: their products add, so that the cost of a fit does not grow with their number.
    """

    rows: int
    columns: int
    names: tuple[str, ...]
    typical_size: FloatArray  # (groupings,) rows a level, or squares of its slope [rows]
    grouping_of: IntArray  # (components, places)
    size: FloatArray  # (components, cells) rows in each of the cell's levels; 0 for an empty cell [rows]
    count: FloatArray  # (components, cells) levels in the cell [levels]
    within: FloatArray  # (outcomes, components, k, k) products of the rows' deviations from their level [1]
    sums: FloatArray  # (outcomes, components, cells, k, k) products of the levels' sums [1]
    restricted: bool = True  # whether its likelihood leaves the columns out; else it is the full one

    @property
    def free(self) -> int:
        """Rows less the columns that the likelihood leaves out. [rows]"""
        return self.rows - self.columns * self.restricted

    @property
    def places(self) -> int:
        """Levels of the coarser groupings in the largest component."""
        return int(self.grouping_of.shape[1])

    def of(self, chosen: NDArray[Any]) -> Sums:
        """The same for some of the outcomes."""
        return replace(self, within=self.within[chosen], sums=self.sums[chosen])


def layout(groups: Labels, rows: int, slopes: Mapping[str, FloatArray] | None = None) -> Layout:
    """Number the levels, find the components and the order that keeps each together.

    ``slopes`` are the values, shape (rows,), of groupings that have one; one grouping at least has none.
    """
    slopes = slopes or {}
    coded = {name: np.unique(np.asarray(g), return_inverse=True)[1].reshape(-1) for name, g in groups.items()}
    names = tuple(sorted(coded, key=lambda name: (name in slopes, -int(coded[name].max() + 1))))
    codes = np.array([coded[name] for name in names], dtype=np.int64).reshape(len(names), rows)
    levels = codes.max(axis=1) + 1 if names else np.zeros(0, np.int64)
    if len(names) < 2:
        component, place, grouping_of = np.zeros(rows, np.int64), codes[1:].T, np.zeros((1, 0), np.int64)
    else:
        component, place, grouping_of = _components(codes, levels)
    cell = _sorted_levels(codes[0], component) if names else np.zeros(rows, np.int64)
    value = np.ones((rows, max(0, len(names) - 1)))
    for i, name in enumerate(names[1:]):
        if name in slopes:
            value[:, i] = slopes[name]
    square = np.array([float(rows), *(value**2).sum(axis=0)][: len(names)])
    return Layout(names, cell, place, component, grouping_of, levels, value, square)


def _components(codes: IntArray, levels: IntArray) -> tuple[IntArray, IntArray, IntArray]:
    """Component of each row, place of each of its coarser levels in it, grouping of each place."""
    node = codes + np.concatenate([[0], np.cumsum(levels)[:-1]])[:, None]
    ends = [np.tile(node[0], len(codes) - 1), node[1:].reshape(-1)]
    nodes = int(levels.sum())
    graph = coo_matrix((np.ones(ends[0].size, bool), (ends[0], ends[1])), shape=(nodes, nodes))
    number, label = connected_components(graph, directed=False)
    coarse = label[levels[0] :]
    order = np.argsort(coarse, kind="stable")
    at = np.arange(coarse.size) - np.searchsorted(coarse[order], coarse[order])
    place = np.empty(coarse.size, np.int64)
    place[order] = at
    grouping_of = np.zeros((number, int(at.max()) + 1), np.int64)
    grouping_of[coarse, place] = np.repeat(np.arange(1, len(levels)), levels[1:])
    return label[node[0]].astype(np.int64), place[node[1:] - levels[0]].T, grouping_of


def _sorted_levels(code: IntArray, component: IntArray) -> IntArray:
    size = np.bincount(code)
    of_level = np.zeros(size.size, np.int64)
    of_level[code] = component
    rank = np.empty(size.size, np.int64)
    rank[np.lexsort((size, of_level))] = np.arange(size.size)
    return rank[code]


def cross_products(where: Layout, columns: FloatArray, outcomes: FloatArray) -> Sums:
    """Everything a fit reads of its rows.

    Parameters
    ----------
    where
        Levels of the rows.
    columns
        Fixed effects, shape (rows, columns). [-]
    outcomes
        One outcome a line, shape (outcomes, rows). [any unit]
    """
    (rows, p), places = columns.shape, where.grouping_of.shape[1]
    design, outcome, cells = _level_sums(where, columns), _outcome_sums(where, outcomes), _cells(where)
    if where.names:
        size = np.bincount(where.cell)[where.cell]
        columns = columns - design[where.cell, places:] / size[:, None]
        outcomes = outcomes - outcome[:, where.cell] / size
    within = _row_outcome(where, columns, outcomes)
    within[:, :, :-1, :-1] = _row_design(where, columns)
    sums = np.zeros((*within.shape[:2], cells.size.shape[1], *within.shape[2:]))
    for c, at, a, b in zip(cells.component, cells.place, cells.start, cells.end, strict=True):
        d, y = design[a:b], outcome[:, a:b]
        sums[:, c, at, :-1, :-1] = d.T @ d
        sums[:, c, at, :-1, -1] = sums[:, c, at, -1, :-1] = y @ d
        sums[:, c, at, -1, -1] = np.einsum("ij,ij->i", y, y)
    between = sums[0, :, :, :places, :places] / np.maximum(cells.size, 1.0)[..., None, None]
    within[:, :, :places, :places] -= between.sum(axis=1)
    typical = where.square / where.levels
    return Sums(rows, p, where.names, typical, where.grouping_of, cells.size, cells.count, within, sums)


def _row_design(where: Layout, columns: FloatArray) -> FloatArray:
    places, p = where.grouping_of.shape[1], columns.shape[1]
    raw = np.zeros((len(where.grouping_of), places + p, places + p))
    raw[0, places:, places:] = columns.T @ columns  # only their total over components is ever used
    each = list(zip(where.place.T, where.value.T, strict=True))
    for a, x in each:
        times = x[:, None] * columns
        np.add.at(raw, (where.component[:, None], a[:, None], places + np.arange(p)), times)
        for b, z in each:
            np.add.at(raw, (where.component, a, b), x * z)
    raw[:, places:, :places] = np.swapaxes(raw[:, :places, places:], 1, 2)
    return raw


def _row_outcome(where: Layout, columns: FloatArray, outcomes: FloatArray) -> FloatArray:
    places, p = where.grouping_of.shape[1], columns.shape[1]
    k = places + p + 1
    raw = np.zeros((len(outcomes), len(where.grouping_of), k, k))
    raw[:, 0, places:-1, -1] = outcomes @ columns
    raw[:, 0, -1, -1] = np.einsum("ij,ij->i", outcomes, outcomes)
    for a, x in zip(where.place.T, where.value.T, strict=True):
        by_place = _added(where.component * places + a, len(raw[0]) * places, outcomes, x)
        raw[:, :, :places, -1] += by_place.reshape(len(outcomes), -1, places)
    raw[:, :, -1, :-1] = raw[:, :, :-1, -1]
    return raw


def _level_sums(where: Layout, columns: FloatArray) -> FloatArray:
    """Sums over each level of the finest grouping, shape (levels, places + columns)."""
    places, p = where.grouping_of.shape[1], columns.shape[1]
    if not where.names:
        return np.zeros((0, p))
    sums = np.zeros((int(where.levels[0]), places + p))
    for a, x in zip(where.place.T, where.value.T, strict=True):
        np.add.at(sums, (where.cell, a), x)
    np.add.at(sums[:, places:], where.cell, columns)
    return sums


def _outcome_sums(where: Layout, outcomes: FloatArray) -> FloatArray:
    if not where.names:
        return np.zeros((len(outcomes), 0))
    return _added(where.cell, int(where.levels[0]), outcomes, np.ones(where.cell.size))


def _added(level: IntArray, levels: int, outcomes: FloatArray, value: FloatArray) -> FloatArray:
    """Each outcome, times a value of each row, added over each level, shape (outcomes, levels)."""
    rows = np.arange(level.size)
    of_level = csr_matrix((value, (level, rows)), shape=(levels, level.size))
    return np.ascontiguousarray((of_level @ outcomes.T).T)


@dataclass(frozen=True)
class _Cells:
    """Levels of one size in one component; they stand beside each other."""

    component: IntArray  # (cells,)
    place: IntArray  # (cells,) which of its component's cells
    start: IntArray  # (cells,) first level
    end: IntArray  # (cells,)
    size: FloatArray  # (components, cells a component) [rows]
    count: FloatArray  # (components, cells a component) [levels]


def _cells(where: Layout) -> _Cells:
    none, components = np.zeros(0, np.int64), len(where.grouping_of)
    if not where.names:
        return _Cells(none, none, none, none, np.zeros((1, 0)), np.zeros((1, 0)))
    size = np.bincount(where.cell)
    of_level = np.zeros(size.size, np.int64)
    of_level[where.cell] = where.component
    start = np.flatnonzero((np.diff(of_level, prepend=-1) != 0) | (np.diff(size, prepend=-1) != 0))
    end = np.append(start[1:], size.size)
    component = of_level[start]
    place = np.arange(start.size) - np.searchsorted(component, component)
    sizes, counts = np.zeros((2, components, int(place.max()) + 1))
    sizes[component, place], counts[component, place] = size[start], end - start
    return _Cells(component, place, start, end, sizes, counts)
