"""A user's edits of figures as a file of exchange."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

from breadline.errors import FigureError
from breadline.knowledge.figure import Edit


def edits_from_toml(path: Path) -> dict[str, Edit]:
    """Edits by figure key, from a file with one table ``["figure.key"]`` an edit.

    Errors
    ------
    FigureError
        If the file cannot be read as TOML, or an edit lacks a number, its reason or its day.
    """
    try:
        tables = tomllib.loads(path.read_text("utf-8"))
    except FileNotFoundError:
        raise FigureError(str(path), "there is no such file", "a file of edited figures") from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise FigureError(
            str(path), f"it is not TOML in UTF-8 ({error})", "a file of edited figures"
        ) from error
    return {key: _edit(f"{path}, [{key}]", table) for key, table in tables.items()}


def edits_to_toml(edits: Mapping[str, Edit]) -> str:
    """The edits as the text of a file that :func:`edits_from_toml` reads."""
    blocks = [
        f'["{key}"]\nlow = {float(edit.low)!r}\ntypical = {float(edit.typical)!r}\n'
        f"high = {float(edit.high)!r}\nwhy = {_quoted(edit.why)}\n"
        f"on = {edit.on.isoformat()}\n"
        for key, edit in sorted(edits.items())
    ]
    return "\n".join(blocks)


def _quoted(text: str) -> str:
    """A TOML string: a JSON string, but for DEL, which TOML bars."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _edit(where: str, table: Any) -> Edit:
    if not isinstance(table, dict):
        raise FigureError(where, "it is not a table", 'a table such as ["bread.g_per_cell"]')
    typical = _number(where, table, "typical")
    low, high = (_number(where, table, name, typical) for name in ("low", "high"))
    why, on = table.get("why"), table.get("on")
    if not isinstance(why, str) or not why.strip():
        raise FigureError(where, "why is missing", "your reason in a few words", 'Add why = "…"')
    if type(on) is not date:
        raise FigureError(where, f"on is {on!r}", "a day such as 2026-02-20", "Add the day of the edit")
    return Edit(low, typical, high, why, on)


def _number(where: str, table: Mapping[str, Any], name: str, default: float | None = None) -> float:
    value = table.get(name, default)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise FigureError(where, f"{name} is {value!r}", "a number in the figure's unit")
    return float(value)
