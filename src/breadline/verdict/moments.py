"""Products with the inverse of V, from sums over groups: no matrix of rows by rows is ever built.

In units of the residual variance V = I + g1 Z1 Z1' + …, H its inverse, M = [columns | outcome].
The finest grouping is inverted level by level, the others by Woodbury's identity on
their columns within a component. Products with the identity (the residual's own
derivative) follow from I = V − Σ g Z Z'.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from breadline.span import FloatArray
from breadline.verdict.grouping import Sums


@dataclass(frozen=True)
class Moments:
    """At some ratios g; index 0 of a derivative is the residual, i the i-th grouping. Pure numbers. [-]"""

    log_det: FloatArray  # (outcomes,) log |V|
    within: FloatArray  # (outcomes, m, m) M'HM
    first: FloatArray  # (outcomes, 1 + K, m, m) M'H Gi H M
    second: FloatArray  # (outcomes, 1 + K, 1 + K, m, m) M'H Gi H Gj H M
    trace: FloatArray  # (outcomes, 1 + K) tr H Gi
    trace2: FloatArray  # (outcomes, 1 + K, 1 + K) tr H Gi H Gj


@dataclass(frozen=True)
class _Solved:
    """The coarser groupings' equations, solved for one set of ratios. Pure numbers. [-]"""

    log_det: FloatArray
    weighted: FloatArray  # (outcomes, components, k, k) products with the finest grouping taken out
    back: FloatArray  # B = (I + C D)^-1
    kernel: FloatArray  # D B, symmetric
    left: FloatArray  # B Z'M: what the coarser groupings leave of Z'M, solved for and not multiplied out
    fitted: FloatArray  # D B Z'M: their predicted intercepts


def log_det_and_within(sums: Sums, ratios: FloatArray) -> tuple[FloatArray, FloatArray]:
    """log |V| and M'HM at these variance ratios, shape (outcomes, groupings). [-]"""
    s = _solve(sums, ratios)
    return s.log_det, _within(sums, s)


def moments(sums: Sums, ratios: FloatArray) -> Moments:
    """All products at these variance ratios, shape (outcomes, groupings). [-]"""
    s = _solve(sums, ratios)
    within, k = _within(sums, s), len(sums.names)
    m, lanes = within.shape[-1], len(ratios)
    first, second = np.zeros((lanes, k, m, m)), np.zeros((lanes, k, k, m, m))
    trace, trace2 = np.zeros((lanes, k)), np.zeros((lanes, k, k))
    if k:
        _finest(sums, ratios, s, (first, second, trace, trace2))
    return _with_residual(sums.rows, ratios, s.log_det, within, (first, second, trace, trace2))


def _solve(sums: Sums, ratios: FloatArray) -> _Solved:
    z = sums.places
    if not sums.names:
        none, cross = np.zeros((len(ratios), 1, 0, 0)), sums.within[..., :0, :]
        return _Solved(np.zeros(len(ratios)), sums.within, none, none, cross, cross)
    first = ratios[:, 0, None, None]
    shrunk = 1.0 + first * sums.size
    # 1/n - g/(1 + g n), written so that nothing cancels where g is large
    (between,) = _by_component(sums, 1.0 / (np.maximum(sums.size, 1.0) * shrunk))
    weighted = sums.within + between
    log_det = _over_levels(np.log(shrunk), sums)
    d = _spread(sums, ratios)
    system = weighted[..., :z, :z] * d[..., None, :] + np.eye(z)
    back, left, size = _inverted(system, weighted[..., :z, z:])
    log_det = log_det + size.sum(axis=1)
    return _Solved(log_det, weighted, back, d[..., :, None] * back, left, d[..., :, None] * left)


def _inverted(system: FloatArray, right: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Inverse, solution and log determinant of each component's system; one number each where nested."""
    if system.shape[-1] == 1:
        return 1.0 / system, right / system, np.log(system[..., 0, 0])
    back: FloatArray = np.linalg.inv(system).astype(np.float64, copy=False)
    left: FloatArray = np.linalg.solve(system, right).astype(np.float64, copy=False)
    size: FloatArray = np.linalg.slogdet(system)[1]
    return back, left, size


def _over(a: FloatArray, b: FloatArray) -> FloatArray:
    """Products a'b of each component, added over components: one product of what stands below each other."""
    lanes, components, rows, p = a.shape
    stacked = a.reshape(lanes, components * rows, p), b.reshape(lanes, components * rows, b.shape[-1])
    return np.asarray(_t(stacked[0]) @ stacked[1])


def _spread(sums: Sums, ratios: FloatArray) -> FloatArray:
    """Each place's ratio, 0 where the place is empty; shape (outcomes, components, places)."""
    return np.asarray(np.where(sums.grouping_of > 0, ratios[:, sums.grouping_of], 0.0))


def _by_component(sums: Sums, *weights: FloatArray) -> FloatArray:
    """Products of level sums added within each component, once for each of the weights."""
    lanes, components, cells, k, _ = sums.sums.shape
    weight = np.stack(weights, axis=2)
    each = sums.sums.reshape(lanes, components, cells, k * k)
    added = weight * each if cells == 1 else weight @ each  # alike in size: nothing to add up
    return np.moveaxis(added.reshape(lanes, components, len(weights), k, k), 2, 0)


def _over_levels(each: FloatArray, sums: Sums) -> FloatArray:
    """A value of every cell, added over the levels of the finest grouping."""
    return np.asarray(np.einsum("ocs,cs->o", each, sums.count))


def _within(sums: Sums, s: _Solved) -> FloatArray:
    z = sums.places
    return np.asarray(s.weighted[..., z:, z:].sum(axis=1) - _over(s.weighted[..., :z, z:], s.fitted))


_Parts = tuple[FloatArray, FloatArray, FloatArray, FloatArray]


def _finest(sums: Sums, ratios: FloatArray, s: _Solved, out: _Parts) -> None:
    """Derivatives by the finest grouping, alone and with each coarser one; then the coarser ones."""
    first, second, trace, trace2 = out
    z = sums.places
    shrink = 1.0 / (1.0 + ratios[:, 0, None, None] * sums.size)
    once, twice = _by_component(sums, shrink**2, sums.size * shrink**3)
    own = once[..., :z, :z]
    first[:, 0], reach = _without_coarser(once, s.fitted)
    second[:, 0, 0] = _without_coarser(twice, s.fitted)[0] - _over(reach, _times(s.kernel, reach))
    d, ko = sums.size * shrink, _times(s.kernel, own)
    trace[:, 0] = _over_levels(d, sums) - np.einsum("ocii->o", ko)
    trace2[:, 0, 0] = (
        _over_levels(d**2, sums)
        - 2.0 * np.einsum("ocij,ocji->o", s.kernel, twice[..., :z, :z])
        + np.einsum("ocij,ocji->o", ko, ko)
    )
    if len(sums.names) > 1:
        _coarser(sums, s, (reach, own), out)


def _without_coarser(products: FloatArray, fitted: FloatArray) -> tuple[FloatArray, FloatArray]:
    """U'AU added over components, U the columns less what coarser groupings fit of them, and places of AU."""
    z = fitted.shape[2]
    reached = products[..., z:] - _times(products[..., :z], fitted)
    return reached[..., z:, :].sum(axis=1) - _over(fitted, reached[..., :z, :]), reached[..., :z, :]


def _times(a: FloatArray, b: FloatArray) -> FloatArray:
    """The product a b, quicker where one place stands between them."""
    return np.asarray(a * b if a.shape[-1] == 1 else a @ b)


def _coarser(sums: Sums, s: _Solved, finest: tuple[FloatArray, FloatArray], out: _Parts) -> None:
    first, second, trace, trace2 = out
    reach, own = finest
    z = sums.places
    c = s.weighted[..., :z, :z]
    between, left = _times(s.back, c), s.left
    rest = np.eye(z) - _times(s.kernel, c)
    squared = between**2
    shared, mixed = _times(_times(_t(rest), own), rest), _times(_t(rest), reach)
    for i in range(1, len(sums.names)):
        is_i = (sums.grouping_of == i).astype(np.float64)
        left_i = left * is_i[..., None]
        first[:, i] = _over(left_i, left)
        second[:, 0, i] = _over(mixed, left_i)
        second[:, i, 0] = _t(second[:, 0, i])
        trace[:, i] = np.einsum("ocjj,cj->o", between, is_i)
        trace2[:, 0, i] = trace2[:, i, 0] = np.einsum("ocjj,cj->o", shared, is_i)
        for j in range(1, len(sums.names)):
            is_j = (sums.grouping_of == j).astype(np.float64)
            second[:, i, j] = _over(left_i, _times(between, left * is_j[..., None]))
            both = is_i[:, :, None] * is_j[:, None, :]
            trace2[:, i, j] = np.einsum("ocjk,cjk->o", squared, both)


def _with_residual(
    rows: int, ratios: FloatArray, log_det: FloatArray, within: FloatArray, parts: _Parts
) -> Moments:
    """The same with the residual's own derivative in front, by I = V - sum of g Z Z'."""
    first, second, trace, trace2 = parts
    lanes, k = ratios.shape
    m = within.shape[-1]
    s, q = np.zeros((lanes, 1 + k, m, m)), np.zeros((lanes, 1 + k, 1 + k, m, m))
    t, t2 = np.zeros((lanes, 1 + k)), np.zeros((lanes, 1 + k, 1 + k))
    s[:, 1:], q[:, 1:, 1:], t[:, 1:], t2[:, 1:, 1:] = first, second, trace, trace2
    s[:, 0] = within - np.einsum("oi,oiab->oab", ratios, first)
    q[:, 0, 1:] = first - np.einsum("oi,oijab->ojab", ratios, second)
    q[:, 1:, 0] = _t(q[:, 0, 1:])
    q[:, 0, 0] = s[:, 0] - np.einsum("oi,oiab->oab", ratios, q[:, 1:, 0])
    t[:, 0] = rows - np.einsum("oi,oi->o", ratios, trace)
    t2[:, 0, 1:] = t2[:, 1:, 0] = trace - np.einsum("oi,oij->oj", ratios, trace2)
    t2[:, 0, 0] = t[:, 0] - np.einsum("oi,oi->o", ratios, t2[:, 1:, 0])
    return Moments(log_det, within, s, q, t, t2)


def _t(a: FloatArray) -> FloatArray:
    return np.swapaxes(a, -1, -2)
