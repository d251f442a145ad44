"""Mixed models fitted to data sets that were typed in here, one number of the answer at a time."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from breadline.verdict.reml import MixedFit, reml

DATA = Path(__file__).parent / "data"


@cache
def table(name: str) -> dict[str, NDArray[np.str_]]:
    """A data set by column; its first line says where it comes from."""
    lines = (DATA / f"{name}.csv").read_text(encoding="utf-8").splitlines()
    assert lines[0].startswith("# ")
    rows = list(csv.DictReader(lines[1:]))
    return {column: np.array([row[column] for row in rows]) for column in rows[0]}


def labels(name: str, grouping: str) -> NDArray[np.str_]:
    """``batch``, or levels within levels: ``batch:cask``."""
    parts = [table(name)[part] for part in grouping.split(":")]
    return np.array([":".join(row) for row in zip(*parts, strict=True)])


def design(name: str, columns: Sequence[str]) -> NDArray[np.float64]:
    """Intercept and columns; ``kinds of x`` stands for its levels but the first."""
    rows = len(next(iter(table(name).values())))
    made = [np.ones(rows)]
    for column in columns:
        values = table(name)[column.removeprefix("kinds of ")]
        levels = sorted(set(values))[1:] if column.startswith("kinds of ") else []
        made += [(values == level).astype(float) for level in levels] or [values.astype(float)]
    return np.column_stack(made)


def _slope(name: str, said: str) -> NDArray[np.float64]:
    """``days`` of a column, or ``1 + days``."""
    plus = said.startswith("1 + ")
    return table(name)[said.removeprefix("1 + ")].astype(float) + plus


@cache
def _fit(
    name: str, outcome: str, columns: tuple[str, ...], groups: tuple[str, ...], restricted: bool
) -> MixedFit:
    groupings = {g: labels(name, g.rpartition(" | ")[2]) for g in groups}
    slopes = {g: _slope(name, g.rpartition(" | ")[0]) for g in groups if " | " in g}
    return reml(table(name)[outcome].astype(float), design(name, columns), groupings, slopes, restricted)


def number(
    what: str, data: str, outcome: str, columns: Sequence[str], groups: Sequence[str], restricted: bool = True
) -> float:
    """One number of a fit; a group ``days | subject`` is a slope.

    ``covariance GROUPING`` is of intercepts and slopes: the variance of ``1 + x | GROUPING``, and ``whole
    GROUPING`` a variance with that in it.
    ``criterion`` · ``log likelihood`` · ``variance GROUPING`` · ``sd GROUPING`` · ``at none GROUPING``, and
    for the i-th effect ``effect i`` · ``plain se i`` · ``se i`` · ``df i`` · ``t i`` · ``p i``.
    """
    fit = _fit(data, outcome, tuple(map(str, columns)), tuple(map(str, groups)), restricted)
    if what.startswith(("whole ", "covariance ")):
        both = next(v for g, v in fit.variances.items() if g.startswith("1 + "))
        return both + fit.variances.get(what.removeprefix("whole "), 0.0)
    word, _, which = what.rpartition(" ")
    if what == "criterion":
        return fit.criterion
    if what == "log likelihood":
        return -fit.criterion / 2.0
    if word in ("variance", "sd", "at none"):
        known = {"variance": fit.variances, "sd": {k: v**0.5 for k, v in fit.variances.items()}}
        return float(known[word][which]) if word in known else float(which in fit.at_boundary)
    i = int(which)
    if word == "plain se":
        return float(np.sqrt(fit.covariance[i, i]))
    told = fit.effect(i)
    return {"effect": told.estimate, "se": told.se, "df": told.df, "t": told.t, "p": told.p}[word]
