"""Every parameter of the season model, what it may be and where that comes from, for the method page."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
from scripts.season_search.priors import SEARCHED, ranges

from breadline.knowledge.figure import Figure
from breadline.knowledge.season_draws import shipped_draws
from breadline.knowledge.shelf import load

PAGE = Path(__file__).resolve().parents[2] / "docs/method/need.md"
BEGINS, ENDS = "<!-- parameters: begin -->\n", "<!-- parameters: end -->\n"
HARDLY = 0.1  # share of a range below which the facts told next to nothing


def narrowed(unit: np.ndarray) -> np.ndarray:
    """Share of the range searched that the facts took away from each parameter, shape (searched,). [share]

    ``unit`` holds points of the unit cube, shape (points, searched). [-]
    """
    left = np.quantile(unit, 0.95, axis=0) - np.quantile(unit, 0.05, axis=0)
    return np.asarray(1 - left / 0.9)


def taken_away() -> dict[str, float]:
    """That share by name, for the sets that are shipped. [share]"""
    sets = shipped_draws()
    away = narrowed(np.column_stack([_unit(name, sets[name]) for name in SEARCHED]))
    return dict(zip(SEARCHED, away.tolist(), strict=True))


def sources_table() -> str:
    """The searched parameters and the figures that stay as they are, from the shelf."""
    return "\n".join([*_searched(), "", *_not_searched()]) + "\n"


def _searched() -> list[str]:
    away, shelf = taken_away(), load()
    lines = [
        "| parameter | unit | 5th / 50th / 95th percentile | searched | taken away | source |",
        "|---|---|---|---|---|---|",
    ]
    for name in SEARCHED:
        figure, (low, high, _) = shelf[f"season.{name}"], ranges()[name]
        spread = " / ".join(_short(v) for v in (figure.span.low, figure.span.typical, figure.span.high))
        cells = (
            _meaning(figure),
            figure.unit,
            spread,
            f"{_short(low)} to {_short(high)}",
            f"{max(0.0, away[name]):.0%}",
            _source(figure),
        )
        lines.append(f"| {' | '.join(cells)} |")
    return lines


def _not_searched() -> list[str]:
    lines = ["| figure not searched | unit | value | source |", "|---|---|---|---|"]
    for figure in load().below("season"):
        if figure.key.removeprefix("season.") not in SEARCHED:
            span = figure.span
            value = f"{span.typical:.3g}"
            if span.low < span.high:
                value += f" ({span.low:.3g} to {span.high:.3g})"
            lines.append(f"| {_meaning(figure)} | {figure.unit} | {value} | {_source(figure)} |")
    return lines


def with_sources(page: str) -> str:
    """The method page with the table as the shelf and the shipped sets have it now."""
    before, rest = page.split(BEGINS)
    return before + BEGINS + "\n" + sources_table() + "\n" + ENDS + rest.split(ENDS)[1]


def _unit(name: str, values: np.ndarray) -> np.ndarray:
    low, high, scale = ranges()[name]
    if scale == "log":
        return np.asarray(np.log(values / low) / np.log(high / low))
    return np.asarray((values - low) / (high - low))


def _meaning(figure: Figure) -> str:
    """With the short name in front, as the equations have it."""
    name = figure.key.removeprefix("season.")
    return f"`{name}` {re.sub(rf' [(]{name}[)]$', '', figure.meaning)}"


def _source(figure: Figure) -> str:
    if figure.source in {"judged", "season_search"}:
        return "ours, judged"
    return f"{figure.source}, {figure.read}"


def _short(value: float) -> str:
    return f"{value:,.0f}" if value >= 1000 else f"{value:.3g}"
