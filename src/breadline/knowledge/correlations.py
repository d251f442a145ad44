"""Which figures of the season model trade off against each other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from breadline.knowledge.data import shipped
from breadline.span import FloatArray


@dataclass(frozen=True)
class Pair:
    """Two figures whose normal scores are drawn with correlation ``rho`` [-1 to 1]."""

    a: str
    b: str
    rho: float


def season_pairs() -> tuple[Pair, ...]:
    """The pairs of season figures that are not drawn apart."""
    rows = shipped("season_correlations.toml")["pairs"]
    return tuple(Pair(str(row["a"]), str(row["b"]), float(row["rho"])) for row in rows)


def season_correlation(keys: Sequence[str]) -> FloatArray:
    """Correlation matrix of the normal scores of ``keys``, shape (keys, keys).

    The pairs are rounded and do not name every pair, so the matrix is mended to
    the nearest one that can be drawn from: negative eigenvalues are lifted, the
    diagonal is set back to 1.
    """
    index = {key: i for i, key in enumerate(keys)}
    matrix = np.eye(len(keys), dtype=np.float64)
    for pair in season_pairs():
        if pair.a in index and pair.b in index:
            i, j = index[pair.a], index[pair.b]
            matrix[i, j] = matrix[j, i] = pair.rho
    values, vectors = np.linalg.eigh(matrix)
    if values.min() < 1e-6:
        lifted = (vectors * np.maximum(values, 1e-6)) @ vectors.T
        scale = 1.0 / np.sqrt(np.diag(lifted))
        matrix = lifted * np.outer(scale, scale)
    return np.asarray(matrix, dtype=np.float64)
