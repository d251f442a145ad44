"""What a sheet would bring in, as it is told: a look, the questions, and the sheet with what to mend."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from datetime import date
from typing import Any

from breadline.jobs.bring_in import BroughtIn, LookedOver, asked_document
from breadline.jobs.export import guarded, unguarded
from breadline.jobs.sheet_fields import field_of
from breadline.jobs.sheet_read import Fault, Question
from breadline.language import say, say_as

TO_MEND = "what to mend"
LOOK = 5  # rows that are shown
FEW = 8  # rows with one fault that are named one by one
OPTIONS = {
    "decimal": "--decimal", "order": "--days", "yard": "--yard",
    "new-colonies": "--new-colonies or --no-new-colonies", "same-feed": "--same-feed or --no-same-feed",
}  # fmt: skip


def look(told: LookedOver) -> tuple[list[str], list[list[str]]]:
    """The first rows as they were understood: heads with their units, and cells."""
    keys = list(told.told.columns.values())
    heads = []
    for key in keys:
        one, unit = field_of(told.told.holds, key), told.asked.units.get(key)
        name = say_as("column", one.name)
        heads.append(f"{name} [{unit}]" if unit else name)
    rows = told.fresh[:LOOK]
    return heads, [[_said(_in_its_unit(told, key, row.values.get(key))) for key in keys] for row in rows]


def _in_its_unit(told: LookedOver, key: str, value: object) -> object:
    """A number in the unit of its head, which is not always the one in which it is kept."""
    by = field_of(told.told.holds, key).units.get(told.asked.units.get(key, ""), 1.0)
    return value / by if isinstance(value, float) and by != 1.0 else value


def matched(told: LookedOver) -> list[tuple[str, str, str, str]]:
    """Each column of the sheet: its head, its first cell, the key of what it is taken for, and its name."""
    body = told.told.body
    found = []
    for place, head in enumerate(told.told.heads):
        if not head:
            continue
        such = next(
            (cells[place].strip() for _, cells in body if place < len(cells) and cells[place].strip()), ""
        )
        key = told.told.columns.get(place, "")
        name = field_of(told.told.holds, key).name if key else ""
        found.append((head, such[:40], key, name))
    return found


def mend_sheet(told: LookedOver) -> bytes:
    """The rows as they came with one column more, which says what to mend; CSV in UTF-8."""
    said: dict[int, list[str]] = {}
    for one in told.faults:
        said.setdefault(one.line, []).append(f"{one.column}: {one.what}. {one.do}".strip(": "))
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([*map(guarded, told.told.heads), TO_MEND])
    width = len(told.told.heads)
    for line, cells in told.told.body:
        row = [*map(unguarded, cells), *[""] * width][:width]
        writer.writerow([*map(guarded, row), guarded("; ".join(said.get(line, [])))])
    return b"\xef\xbb\xbf" + text.getvalue().encode("utf-8", "replace")


def option_of(question: Question) -> str:
    """How a question is answered on the command line."""
    if question.key.startswith("unit:"):
        return f"--unit {question.key.removeprefix('unit:')}="
    return OPTIONS[question.key]


def looked_document(told: LookedOver) -> dict[str, Any]:
    """A sheet looked over, as one JSON object."""
    heads, rows = look(told)
    return {
        "shape": "breadline.import_look/1",
        "file": told.told.cells.name,
        "holds": told.told.holds,
        "sentence": told.sentence,
        "ready": told.ready,
        "said": list(told.told.said),
        "columns": [{"head": h, "such_as": such, "field": key or None} for h, such, key, _ in matched(told)],
        "questions": [
            {"key": one.key, "text": one.text, "choices": [answer for answer, _ in one.choices],
             "option": option_of(one)}
            for one in told.questions
        ],
        "to_mend": [_fault(one) for one in told.faults],
        "look": {"heads": heads, "rows": rows},
        "rows": len(told.fresh),
        "came_before": told.before,
        "asked": asked_document(told.asked, told.told),
    }  # fmt: skip


def brought_document(done: BroughtIn) -> dict[str, Any]:
    """What was brought in, as one JSON object."""
    return {
        "shape": "breadline.import/1", "file": done.name, "holds": done.holds, "sentence": done.sentence,
        "rows": done.rows, "came_before": done.before, "made": dict(done.made),
    }  # fmt: skip


def some(faults: Sequence[Fault], most: int = 20) -> list[str]:
    """The first things to mend, one fault of many rows said once, and how many more there are."""
    alike: dict[tuple[str, str, str, bool], list[Fault]] = {}
    for one in faults:
        alike.setdefault((one.column, one.what, one.do, one.line > 0), []).append(one)
    told = [_said_once(same) for same in alike.values()]
    more = [say("… and {n:,} more", n=len(told) - most)] if len(told) > most else []
    return told[:most] + more


def _said_once(same: Sequence[Fault]) -> str:
    """One line for all rows that have the same to mend."""
    rows = sorted({one.line for one in same})
    if len(rows) < 2:
        return str(same[0])
    if rows[-1] - rows[0] == len(rows) - 1:
        which = say("rows {first} to {last}", first=rows[0], last=rows[-1])
    else:
        named = ", ".join(f"{row}" for row in rows[:FEW])
        which = (
            say("rows {rows} and {n:,} more", rows=named, n=len(rows) - FEW)
            if len(rows) > FEW
            else say("rows {rows}", rows=named)
        )
    return same[0].told_of(which)


def _fault(one: Fault) -> dict[str, Any]:
    return {"row": one.line, "column": one.column, "what": one.what, "do": one.do}


def _said(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return say("yes") if value else say("no")
    if isinstance(value, date):
        return value.isoformat()
    return f"{value:g}" if isinstance(value, float) else str(value)
