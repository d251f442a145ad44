"""The published facts and how far a draw is from them."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from breadline.span import FloatArray

TARGETS = Path(__file__).parent / "targets.toml"


@dataclass(frozen=True)
class Fact:
    """One row of ``targets.toml``."""

    key: str
    fact: str
    published: float
    tolerance: float  # of the log ratio where ``log``, else in ``unit``
    unit: str
    climate: str
    source: str
    read: str
    use: str
    log: bool = False
    low: float | None = None
    high: float | None = None

    def misfit(self, model: FloatArray) -> FloatArray:
        """Distance in tolerances, the shape of ``model``; none within ``low`` and ``high``. [-]"""
        nearest = np.clip(model, self.low, self.high) if self.low is not None else self.published
        if self.log:
            return np.asarray(np.log(np.maximum(model, 1e-6) / nearest) / self.tolerance)
        return np.asarray((model - nearest) / self.tolerance)


def facts() -> dict[str, Fact]:
    """Every row, in the order of the file."""
    rows = tomllib.loads(TARGETS.read_text("utf-8"))
    return {key: Fact(key=key, **row) for key, row in rows.items()}


def total_misfit(model: Mapping[str, FloatArray]) -> FloatArray:
    """Sum of squares over the fitted facts, shape (draws,); a draw that dies counts as far off. [-]"""
    rows = [f for f in facts().values() if f.use == "fitted"]
    total = sum(np.minimum(f.misfit(model[f.key]) ** 2, 400.0) for f in rows)
    return np.asarray(np.where(np.isfinite(total), total, 1e4))
