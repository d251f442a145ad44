"""The restricted likelihood of variance ratios, its derivatives, and its highest point; the full one too.

Minimised is −2 log of the likelihood with fixed effects and residual variance
profiled out, over r = log(1 + g·m) of each ratio g, with m the rows of a typical level.
In r the function is convex for balanced one-way data, no variance is r = 0 exactly, and a
very large one is no special case. Steps are exact Newton steps with the eigenvalues of
the second derivative turned positive, held at r ≥ 0.

Sources
-------
[patterson1971] for the restricted likelihood.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields
from typing import Any

import numpy as np
from numpy.typing import NDArray

from breadline.span import FloatArray
from breadline.verdict.grouping import Sums
from breadline.verdict.moments import Moments, log_det_and_within, moments

LARGEST = 24.0  # of r: 1 + g·m = 3e10; beyond it rounding leaves nothing within the levels
STEPS, LONGEST_STEP = 100, 3.0
SMALL_STEP = 1e-9  # of r
SMALL_GAIN = 1e-9  # of the deviance by a full step; the step after it would gain its square
NO_GAIN = 1e-6  # of the deviance; a search that ends with more to gain is said not to have settled
FAINT, FAR = 1e-3, 30.0  # variance ratios to start from: instead of none, and for a second search [-]
STARTS = (0.0, 0.1, 1.0, 10.0)  # variance ratios tried first [-]


@dataclass(frozen=True)
class Profile:
    """−2 log likelihood at some ratios with what follows from it, for each outcome. Pure numbers. [-]"""

    deviance: FloatArray  # (outcomes,) up to a constant
    gradient: FloatArray  # (outcomes, K) by ratio
    curvature: FloatArray  # (outcomes, K, K) by ratio
    effects: FloatArray  # (outcomes, p)
    covariance: FloatArray  # (outcomes, p, p) in units of the residual variance
    residual: FloatArray  # (outcomes,) residual variance
    information: FloatArray  # (outcomes, 1 + K, 1 + K) tr P Gi P Gj
    at: Moments


@dataclass(frozen=True)
class Optimum:
    """Where the search ended, for each outcome."""

    ratios: FloatArray  # (outcomes, K) variances over the residual variance [-]
    settled: FloatArray  # (outcomes,) 1 where the last step was too small to matter [-]
    steps: int


def profile(sums: Sums, ratios: FloatArray) -> Profile:
    """Likelihood, derivatives and fixed effects at these ratios, shape (outcomes, K). [-]"""
    at = moments(sums, ratios)
    p, free = sums.columns, sums.free
    cov, effects, left = _solved(at.within, p)
    v = np.concatenate([-effects, np.ones((len(effects), 1))], axis=1)
    seen = np.einsum("oiab,ob->oia", at.first, v)
    u = np.einsum("oia,oa->oi", seen, v)
    phi_s = cov[:, None] @ at.first[..., :p, :p]
    trace = at.trace - np.einsum("oiaa->oi", phi_s) if sums.restricted else at.trace
    info = (
        at.trace2
        if not sums.restricted
        else (
            at.trace2
            - 2.0 * np.einsum("oab,oijba->oij", cov, at.second[..., :p, :p])
            + np.einsum("oiab,ojba->oij", phi_s, phi_s)
        )
    )
    pairs = np.einsum("oa,oijab,ob->oij", v, at.second, v) - np.einsum(
        "oia,oab,ojb->oij", seen[..., :p], cov, seen[..., :p]
    )
    share = u / left[:, None]
    curved = -info + free * (2.0 * pairs / left[:, None, None] - share[:, :, None] * share[:, None, :])
    return Profile(
        _deviance(sums, at.log_det, at.within, left),
        trace[:, 1:] - free * share[:, 1:],
        curved[:, 1:, 1:],
        effects,
        cov,
        left / free,
        info,
        at,
    )


def _solved(within: FloatArray, p: int) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Covariance of the effects, the effects, the sum of squares left."""
    cov: FloatArray = np.linalg.inv(within[:, :p, :p]).astype(np.float64, copy=False)
    effects = np.einsum("oab,ob->oa", cov, within[:, :p, p])
    left = within[:, p, p] - np.einsum("oa,oa->o", within[:, :p, p], effects)
    return cov, effects, np.maximum(left, 1e-100)


def _deviance(sums: Sums, log_det: FloatArray, within: FloatArray, left: FloatArray) -> FloatArray:
    p, full = sums.columns, log_det + sums.free * np.log(left)
    return np.asarray(full + np.linalg.slogdet(within[:, :p, :p])[1] if sums.restricted else full)


def highest(sums: Sums) -> Optimum:
    """The ratios of largest likelihood, one line an outcome."""
    lanes, k = len(sums.within), len(sums.names)
    if not k:
        return Optimum(np.zeros((lanes, 0)), np.ones(lanes), 0)
    found = _search(sums, _start(sums))
    at_none = (found.ratios <= 0.0).any(axis=1)
    if k == 1 or not at_none.any():
        return found
    again = np.flatnonzero(at_none)
    far = np.full((again.size, k), FAR)
    other = _search(sums.of(again), np.log1p(far * sums.typical_size))
    return _better(sums, found, other, again)


def _better(sums: Sums, found: Optimum, other: Optimum, again: NDArray[np.int64]) -> Optimum:
    """A search that ended with no variance somewhere is taken up from large ones; the lower end counts."""
    some = sums.of(again)
    one, two = (profile(some, r).deviance for r in (found.ratios[again], other.ratios))
    won = two < one - NO_GAIN
    ratios, settled = found.ratios.copy(), found.settled.copy()
    ratios[again[won]], settled[again[won]] = other.ratios[won], other.settled[won]
    return Optimum(ratios, settled, found.steps + other.steps)


def _search(sums: Sums, r: FloatArray) -> Optimum:
    """Newton steps from these r until none gains anything."""
    lanes = len(r)
    settled, open_lanes, steps = np.zeros(lanes), np.arange(lanes), 0
    here, found = sums, profile(sums, _ratio(sums, r))
    length = np.ones(lanes)
    while open_lanes.size and steps < STEPS:
        steps += 1
        move, gain = _newton(sums, r[open_lanes], found)
        trial = np.clip(r[open_lanes] + length[:, None] * move, 0.0, LARGEST)
        tried = profile(here, _ratio(sums, trial))
        better = tried.deviance <= found.deviance + 1e-13 * np.abs(found.deviance)
        far = np.abs(trial - r[open_lanes]).max(axis=1)
        r[open_lanes] = np.where(better[:, None], trial, r[open_lanes])
        found = _chosen(better, tried, found)
        length = np.where(better, 1.0, length / 4.0)
        ended = (far < SMALL_STEP) | (better & (gain < SMALL_GAIN))
        settled[open_lanes[ended]] = gain[ended] < NO_GAIN
        if ended.any():
            stay = ~ended
            open_lanes, length, here = open_lanes[stay], length[stay], here.of(stay)
            found = _some(found, stay)
    return Optimum(_ratio(sums, r), settled, steps)


def _ratio(sums: Sums, r: FloatArray) -> FloatArray:
    return np.asarray(np.expm1(r) / sums.typical_size, dtype=np.float64)


def _start(sums: Sums) -> FloatArray:
    """The best of a few: all ratios equal, and each alone."""
    k = len(sums.names)
    tried = {tuple([g] * k) for g in STARTS}
    tried |= {tuple(1.0 if i == j else 0.0 for i in range(k)) for j in range(k)}
    starts = np.array(sorted(tried))
    lanes = len(sums.within)
    seen = np.empty((len(starts), lanes))
    for i, ratios in enumerate(starts):
        log_det, within = log_det_and_within(sums, np.tile(ratios, (lanes, 1)))
        left = _solved(within, sums.columns)[2]
        seen[i] = _deviance(sums, log_det, within, left)
    # a start at exactly none would stay there where the slope is flat
    best = np.maximum(starts[seen.argmin(axis=0)], FAINT)
    return np.asarray(np.log1p(best * sums.typical_size), dtype=np.float64)


def _newton(sums: Sums, r: FloatArray, found: Profile) -> tuple[FloatArray, FloatArray]:
    """A step down in r and what it should gain; coordinates held at none by the slope do not move."""
    rise = np.exp(r) / sums.typical_size  # dg/dr, and d²g/dr² as well
    slope = found.gradient * rise
    k = r.shape[1]
    curve = found.curvature * rise[:, :, None] * rise[:, None, :]
    curve[:, range(k), range(k)] += slope
    held = ((r <= 0.0) & (slope > 0.0)) | ((r >= LARGEST) & (slope < 0.0))
    slope = np.where(held, 0.0, slope)
    curve = np.where(held[:, :, None] | held[:, None, :], np.eye(k), curve)
    value, vector = np.linalg.eigh(curve)
    value = np.maximum(np.abs(value), 1e-8 * np.abs(value).max(axis=1, keepdims=True) + 1e-300)
    step = -np.einsum("oij,oj->oi", vector, np.einsum("oji,oj->oi", vector, slope) / value)
    step = np.where(held, 0.0, step)
    longest = np.abs(step).max(axis=1, keepdims=True)
    step = step * np.minimum(1.0, LONGEST_STEP / np.maximum(longest, 1e-300))
    return step, -np.einsum("oi,oi->o", step, slope)


def _chosen(better: NDArray[np.bool_], tried: Profile, found: Profile) -> Profile:
    joined: Profile = _each(
        lambda a, b: np.where(better.reshape(-1, *[1] * (a.ndim - 1)), a, b), tried, found
    )
    return joined


def _some(found: Profile, stay: NDArray[np.bool_]) -> Profile:
    kept: Profile = _each(lambda a, _: a[stay], found, found)
    return kept


def _each(how: Callable[[Any, Any], Any], one: Any, other: Any) -> Any:
    """Every array of two profiles joined in one way."""
    if not isinstance(one, Profile | Moments):
        return how(one, other)
    both = {f.name: (getattr(one, f.name), getattr(other, f.name)) for f in fields(one)}
    return type(one)(**{name: _each(how, a, b) for name, (a, b) in both.items()})
