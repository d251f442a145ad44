"""A user's edits of figures as a file of exchange."""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import Any

from breadline.errors import FigureError
from breadline.knowledge.figure import Edit
from breadline.language import say

DECIMAL_COMMA = re.compile(r"=\s*(-?\d+),(\d+)")


def edits_from_toml(path: Path) -> dict[str, Edit]:
    """Edits by figure key, from a file with one table ``["figure.key"]`` an edit.

    Errors
    ------
    FigureError
        If the file cannot be read as TOML, or an edit lacks a number, its reason or its day.
    """
    expected = say("a file of edited figures")
    try:
        text = path.read_text("utf-8-sig")
    except FileNotFoundError:
        raise FigureError(str(path), say("there is no such file"), expected) from None
    except OSError as error:
        raise FigureError(
            str(path), say("it can't be read ({strerror})", strerror=error.strerror), expected
        ) from error
    except UnicodeDecodeError as error:
        raise FigureError(str(path), say("it is not UTF-8 ({error})", error=error), expected) from error
    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        comma = DECIMAL_COMMA.search(text)
        do = say("Write decimals with a point: {number}", number=f"{comma[1]}.{comma[2]}") if comma else ""
        raise FigureError(str(path), say("it is not TOML ({error})", error=error), expected, do) from error
    return edits_of_tables(tables, str(path))


def edits_of_tables(tables: Mapping[str, Any], where: str = "figures") -> dict[str, Edit]:
    """The same from the tables of such a file; ``where`` is how it is called in messages.

    Errors
    ------
    FigureError
        If an edit lacks a number, its reason or its day.
    """
    return {key: _edit(f"{where}, [{key}]", table) for key, table in _tables("", tables)}


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


def _tables(path: str, table: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    """Tables by dotted key; ``[bread.g_per_cell]`` typed without quotes names the same figure."""
    for name, inner in table.items():
        key = f"{path}.{name}" if path else name
        if isinstance(inner, dict) and inner and all(isinstance(part, dict) for part in inner.values()):
            yield from _tables(key, inner)
        else:
            yield key, inner


def _edit(where: str, table: Any) -> Edit:
    if not isinstance(table, dict):
        raise FigureError(where, say("it is not a table"), say('a table such as ["bread.g_per_cell"]'))
    typical = _number(where, table, "typical")
    low, high = (_number(where, table, name, typical) for name in ("low", "high"))
    why, on = table.get("why"), table.get("on")
    if not isinstance(why, str) or not why.strip():
        raise FigureError(
            where, say("why is missing"), say("your reason in a few words"), say('Add why = "…"')
        )
    if type(on) is not date:
        raise FigureError(
            where, say("on is {on!r}", on=on), say("a day such as 2026-02-20"), say("Add the day of the edit")
        )
    return Edit(low, typical, high, why, on)


def _number(where: str, table: Mapping[str, Any], name: str, default: float | None = None) -> float:
    value = table.get(name, default)
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise FigureError(
            where, say("{name} is {value!r}", name=name, value=value), say("a number in the figure's unit")
        )
    return float(value)
