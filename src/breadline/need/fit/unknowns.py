"""Everything a fit does not know, as independent standard normal scores.

The draws before the fit are taken as they come: each unknown keeps the values it was
drawn with, pairs keep their correlation. A score of any size is some value between the
least and the largest draw, so nothing that is moved in scores leaves the published ranges.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtri

from breadline.span import FloatArray

SMALLEST_EIGENVALUE = 1e-3  # so that two unknowns that are one can still be told apart by the sum


@dataclass(frozen=True)
class Unknowns:
    """The way from values to scores and back.

    Values of an unknown are in its own unit, scores in standard deviations [-].
    """

    names: tuple[str, ...]
    ordered: FloatArray  # every unknown's draws from small to large, shape (unknowns, draws) [own unit]
    grid: FloatArray  # normal score of each place in that order, shape (draws,) [-]
    mixing: FloatArray  # lower triangle that gives scores their correlation, shape (unknowns, unknowns) [-]
    drawn: FloatArray  # scores of the draws themselves, shape (unknowns, draws) [-]

    def values(self, scores: FloatArray) -> dict[str, FloatArray]:
        """Values at scores [-] of shape (unknowns, members); shape (members,) each, in its own unit."""
        mixed = times(self.mixing, scores)
        return {name: np.interp(mixed[k], self.grid, self.ordered[k]) for k, name in enumerate(self.names)}


def times(matrix: FloatArray, columns: FloatArray) -> FloatArray:
    """The matrix [-] times many columns, in the unit of ``columns``, by plain loops.

    A library's threads cost more than they save on forty rows, much more on a busy machine.
    """
    return np.asarray(np.einsum("ij,jn->in", matrix, columns))


def unknowns(draws: Mapping[str, FloatArray], rng: np.random.Generator) -> Unknowns:
    """Scores of draws that all have shape (draws,), each in its own unit.

    An unknown that does not vary gets scores by chance, which nothing then depends on.
    """
    names = tuple(draws)
    count = len(next(iter(draws.values())))
    grid = ndtri((np.arange(count) + 0.5) / count)
    ordered = np.stack([np.sort(draws[name]) for name in names])
    scores = np.empty_like(ordered)
    for k, name in enumerate(names):
        shuffled = rng.permutation(count)  # equal values, as at the end of a range, get places by chance
        scores[k, shuffled[np.argsort(draws[name][shuffled], kind="stable")]] = grid
    values, vectors = np.linalg.eigh(np.atleast_2d(np.corrcoef(scores)))
    mended = (vectors * np.maximum(values, SMALLEST_EIGENVALUE)) @ vectors.T
    size = 1.0 / np.sqrt(np.diag(mended))
    mixing: FloatArray = np.asarray(np.linalg.cholesky(mended * np.outer(size, size)), dtype=np.float64)
    return Unknowns(names, ordered, grid, mixing, np.asarray(np.linalg.solve(mixing, scores)))
