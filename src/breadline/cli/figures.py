"""``breadline figures``: the shelf, filtered; and one's own values, kept apart from it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

from breadline.cli.printed import say, shown, told
from breadline.errors import FigureError
from breadline.jobs.season import span_text
from breadline.knowledge.edits import edits_from_toml, edits_to_toml
from breadline.knowledge.figure import READ_WORDS, Edit, Figure, unit_words
from breadline.knowledge.shelf import load
from breadline.language import say as worded
from breadline.need.words import day_and_year
from breadline.span import Span


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
    key = asking.set_key or asking.undo
    _check(asking)
    edits = edits_from_toml(asking.edits) if asking.edits and not _begins(asking) else {}
    shelf = load(_change(asking, edits) if key else edits)
    found = (shelf[key],) if key else shelf.find(asking.words)
    if asking.as_json:
        shown({"shape": "breadline.figures/1", "figures": [_plain(f) for f in found]})
        return
    _print(found, len(shelf))


def _check(asking: Asking) -> None:
    key = asking.set_key or asking.undo
    if asking.set_key and asking.undo:
        raise FigureError(
            "figures", worded("--set and --undo stand together"), worded("one of them at a time")
        )
    if not asking.set_key and (asking.to is not None or asking.why):
        raise FigureError(
            "figures", worded("--to and --why go with --set"), worded('--set KEY --to VALUES --why "…"')
        )
    if key and asking.edits is None:
        raise FigureError(
            "figures", worded("no file for your edits is named"), worded("--edits figures.toml"),
            worded("A figures.toml beside a yard file is used with that yard"),
        )  # fmt: skip


def _begins(asking: Asking) -> bool:
    """True where the first edit makes the file; elsewhere a file that is not there is a slip."""
    return bool(asking.set_key and asking.edits and not asking.edits.exists())


def _change(asking: Asking, edits: dict[str, Edit]) -> dict[str, Edit]:
    """The edits with the change, written down once the shelf has taken them."""
    assert asking.edits is not None, "checked before"
    if asking.undo:
        if asking.undo not in edits:
            raise FigureError(
                asking.undo,
                worded("it is not edited in {edits}", edits=asking.edits),
                worded("an edited figure"),
            )
        del edits[asking.undo]
    if asking.set_key:
        edits[asking.set_key] = _edit(load()[asking.set_key], asking.to, asking.why.strip())
        load(edits)  # refuses an impossible value before anything is written
    asking.edits.write_text(edits_to_toml(edits), encoding="utf-8")
    return edits


def _edit(figure: Figure, to: str | None, why: str) -> Edit:
    low, typical, high = _three(figure, to or "")
    if not why:
        raise FigureError(
            figure.key,
            worded("no reason is given"),
            worded('--why "…"'),
            worded("Say where the value is from"),
        )
    return Edit(low, typical, high, why, date.today())


def _three(figure: Figure, text: str) -> tuple[float, float, float]:
    """Low, typical and high; commas stand between the three, so a decimal comma is refused, not guessed."""
    s = figure.shipped
    such = f"{s.typical:g}"
    if s.low < s.high:
        such = worded("{one} or {other}", one=such, other=f"{s.low:g},{s.typical:g},{s.high:g}")
    wanted = worded(
        "one number or low,typical,high in {unit}, such as {such}", unit=unit_words(figure.unit), such=such
    )
    parts = [part.strip() for part in text.split(",")]
    if not text.strip():
        raise FigureError(
            figure.key, worded("no value is given"), worded("--to with {wanted}", wanted=wanted)
        )
    if len(parts) not in (1, 3):
        pointed = re.sub(r"(\d+),(\d+)", r"\1.\2", text).replace(";", ",")
        do = worded(
            "Write decimals with a point ({pointed}); commas stand between the three", pointed=pointed
        )
        raise FigureError(
            figure.key, worded('"{text}" is {parts} numbers', text=text, parts=len(parts)), wanted, do
        )
    try:
        values = [float(part) for part in parts]
    except ValueError:
        do = worded("Write decimals with a point, and the number alone, without its unit")
        raise FigureError(figure.key, worded('"{text}" is not a number', text=text), wanted, do) from None
    return (values[0],) * 3 if len(values) == 1 else (values[0], values[1], values[2])


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
    for figure in found:
        told(_lines(figure))
    if not found:
        say(worded("No figure has all these words."))
    say(
        worded(
            "{n} of {many} figures. A range runs from the 5th to the 95th percentile.", n=len(found), many=of
        )
    )


def _lines(figure: Figure) -> Iterator[tuple[str, str]]:
    """Key and value, meaning, and where it is from; an edit stands beside what was shipped."""
    yield "bold", f"{figure.key}: {_text(figure.span)} {unit_words(figure.unit)}"
    yield "", f"  {worded(figure.meaning)}"
    if figure.edit is not None:
        edited = worded("edited by you on {day}", day=day_and_year(figure.edit.on))
        yield "", f"  {edited}: {figure.edit.why}"
    value = f"{_text(figure.shipped)} {unit_words(figure.unit)}"
    shipped = worded("as shipped {value}", value=value) + "; " if figure.edited else ""
    yield "dim", f"  {shipped}{worded(READ_WORDS[figure.read])}; {figure.source}"


def _text(span: Span) -> str:
    return span_text(span.low, span.typical, span.high)
