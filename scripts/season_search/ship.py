"""From the chains of all seeds to the draws that Breadline ships."""

from __future__ import annotations

import re
import subprocess
from pathlib import Path

import numpy as np
from scripts.season_search.priors import FIXED, SEARCHED, parameters, ranges

from breadline.need.parameters import NAMES, Parameters
from breadline.span import FloatArray

ROOT = Path(__file__).resolve().parents[2]
DRAWS = ROOT / "src/breadline/knowledge/season_draws.csv"
FIGURES = ROOT / "src/breadline/knowledge/figures/season_model.toml"
SHIPPED = 600


def ship(found: dict[int, FloatArray]) -> Parameters:
    """Thin the kept points of each seed to the same number, write them and their spans.

    ``found`` holds points of the unit cube by seed, each of shape (kept, searched).
    """
    each = SHIPPED // len(found)
    unit = np.concatenate(
        [kept[np.linspace(0, len(kept) - 1, each).astype(int)] for _, kept in sorted(found.items())]
    )
    par = parameters(unit)
    commit = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"], cwd=ROOT, capture_output=True, text=True, check=True
    ).stdout.strip()
    seeds = ", ".join(str(seed) for seed in sorted(found))
    head = [
        "# Sets of parameters of the season model that met the published facts together,",
        "# with every tolerance taken 1.5 times as wide.",
        f"# Made by scripts/season_search at commit {commit}, seeds {seeds}. "
        "Names and units: need/parameters.py.",
        ",".join(SEARCHED),
    ]
    rows = np.column_stack([getattr(par, name) for name in SEARCHED])
    lines = [",".join(f"{value:.5g}" for value in row) for row in rows]
    DRAWS.write_text("\n".join([*head, *lines]) + "\n", "utf-8")
    FIGURES.write_text(_with_spans(FIGURES.read_text("utf-8"), par), "utf-8")
    return par


def agreement(found: dict[int, FloatArray]) -> dict[str, float]:
    """Potential scale reduction of each parameter between the seeds; near 1 where they agree. [-]"""
    middle = np.array([kept.mean(0) for kept in found.values()])
    within = np.array([kept.var(0, ddof=1) for kept in found.values()]).mean(0)
    between = middle.var(0, ddof=1) if len(found) > 1 else np.zeros_like(within)
    return dict(zip(SEARCHED, np.sqrt(1 + between / np.maximum(within, 1e-12)).tolist(), strict=True))


def _with_spans(text: str, par: Parameters) -> str:
    """The shelf's entries with the 5th, 50th and 95th percentile of the draws."""
    for name in NAMES:
        if name in FIXED:
            continue
        low, middle, high = np.quantile(getattr(par, name), [0.05, 0.5, 0.95])
        if ranges()[name][0] == 0.0:
            low = max(low, 0.0)
        block = re.search(rf"\[season\.{name}\]\n(?:.+\n)+", text)
        if block is None:
            raise SystemExit(f"no entry [season.{name}] in {FIGURES.name}")
        new = block.group(0)
        for field, value in (("low", low), ("typical", middle), ("high", high)):
            new = re.sub(rf"(?m)^{field} = .*$", f"{field} = {value:.4g}", new, count=1)
        text = text.replace(block.group(0), new)
    return text
