"""Data sets of the literature, retyped, each with its citation in the first line."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

HERE = Path(__file__).parent


def columns(name: str) -> dict[str, list[str]]:
    """Columns of one data set as they are written."""
    lines = (HERE / f"{name}.csv").read_text("utf-8").splitlines()
    assert lines[0].startswith("# "), f"{name} does not say where it comes from"
    rows = list(csv.DictReader(lines[1:]))
    return {column: [row[column] for row in rows] for column in rows[0]}


def numbers(name: str, column: str) -> NDArray[np.float64]:
    """One column as numbers."""
    return np.array([float(value) for value in columns(name)[column]])
