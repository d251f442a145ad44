"""``breadline figures``: the shelf, filtered; and one's own values, kept apart from it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.table import Table

from breadline.cli.printed import shown
from breadline.errors import FigureError
from breadline.jobs.season import span_text
from breadline.knowledge.edits import edits_from_toml, edits_to_toml
from breadline.knowledge.figure import READ_WORDS, Edit, Figure
from breadline.knowledge.shelf import load


@dataclass(frozen=True)
class Asking:
    """What was typed."""

    words: str
    edits: Path | None
    set_key: str | None
    to: str | None
    why: str
    undo: str | None
    as_json: bool


def run(asking: Asking) -> None:
    """List, change or put back figures."""
    edits = edits_from_toml(asking.edits) if asking.edits and asking.edits.exists() else {}
    if asking.set_key or asking.undo:
        _change(asking, edits)
    shelf = load(edits)
    key = asking.set_key or asking.undo
    found = (shelf[key],) if key else shelf.find(asking.words)
    if asking.as_json:
        shown({"shape": "breadline.figures/1", "figures": [_plain(f) for f in found]})
        return
    _print(found, len(shelf))


def _change(asking: Asking, edits: dict[str, Edit]) -> None:
    if asking.edits is None:
        raise FigureError(
            "figures", "no file for your edits is named", "--edits figures.toml",
            "A figures.toml beside a yard file is used with that yard",
        )  # fmt: skip
    if asking.undo:
        if asking.undo not in edits:
            raise FigureError(asking.undo, f"is not edited in {asking.edits}", "an edited figure")
        del edits[asking.undo]
    if asking.set_key:
        if not asking.why.strip():
            raise FigureError(
                asking.set_key, "no reason is given", '--why "…"', "Say where the value is from"
            )
        edits[asking.set_key] = Edit(*_three(asking.set_key, asking.to), asking.why.strip(), date.today())
        load(edits)  # refuses an unknown key or an impossible value before anything is written
    asking.edits.write_text(edits_to_toml(edits), encoding="utf-8")


def _three(key: str, text: str | None) -> tuple[float, float, float]:
    try:
        values = [float(part) for part in (text or "").split(",")]
    except ValueError:
        values = []
    if len(values) == 1:
        values *= 3
    if len(values) != 3:
        raise FigureError(key, f'"{text or ""}" is not one number or three', "--to 100,125,190 or --to 125")
    return values[0], values[1], values[2]


def _plain(figure: Figure) -> dict[str, Any]:
    span, plain = figure.span, figure.shipped
    return {
        "key": figure.key,
        "meaning": figure.meaning,
        "unit": figure.unit,
        "low": span.low,
        "typical": span.typical,
        "high": span.high,
        "source": figure.source,
        "read": figure.read,
        "note": figure.note,
        "edited": figure.edited,
        "shipped": [plain.low, plain.typical, plain.high],
    }


def _print(found: tuple[Figure, ...], of: int) -> None:
    out = Console(highlight=False)
    table = Table(box=None, pad_edge=False, header_style="bold")
    for head in ("figure", "value", "unit", "how it was read", "source"):
        table.add_column(head, overflow="fold")
    for f in found:
        mark = " (edited by you)" if f.edited else ""
        value = span_text(f.span.low, f.span.typical, f.span.high) + mark
        table.add_row(f"{f.key}\n  {f.meaning}", value, f.unit, READ_WORDS[f.read], f.source)
    out.print(table)
    out.print(f"{len(found)} of {of} figures. A range runs from the 5th to the 95th percentile.")
