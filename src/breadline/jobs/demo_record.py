"""The demo's invented past: counts of a year and the outlooks that were shown between them.

It is data and not worked out anew, because twelve seasons would keep the first look at
the demo waiting; ``scripts/demo_record.py`` made it from a seed.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any
from uuid import UUID

import numpy as np
from sqlalchemy.orm import Session

from breadline.need.yard import Count, Given
from breadline.records import outlooks, readings, yard_rows

DATA = Path(__file__).parent / "demo_record.json"
WEEK = 7


def pasts() -> dict[str, list[dict[str, Any]]]:
    """By yard: each count and each outlook of its invented year, in order."""
    found: dict[str, list[dict[str, Any]]] = json.loads(DATA.read_text("utf-8"))["yards"]
    return found


def first_count(past: list[dict[str, Any]]) -> Count:
    """The count with which a yard's year begins."""
    return _count(past[0]["count"])


def write_past(session: Session, yard_id: UUID, past: list[dict[str, Any]]) -> None:
    """Write the rest of a year down, outlook by outlook and count by count."""
    for step in past[1:]:
        if "outlook" in step:
            outlooks.keep(session, yard_id, _outlook(step["outlook"]))
            continue
        count = _count(step["count"])
        visit = readings.add_visit(session, yard_id, yard_rows.look_of(count))
        for seen in yard_rows.counted(count):
            readings.add(session, visit.id, seen)


def _count(told: Mapping[str, Any]) -> Count:
    return Count(**(dict(told) | {"on": date.fromisoformat(told["on"]), "boxes": tuple(told["boxes"])}))


def _outlook(told: Mapping[str, Any]) -> outlooks.Shown:
    days = {name: date.fromisoformat(told[name]) for name in ("shown_on", "counted_on", "first")}
    given = tuple(Given(date.fromisoformat(on), grams) for on, grams in told["given"])
    bands = {name: _daily(numbers) for name, numbers in told["bands"].items()}
    return outlooks.Shown(**(dict(told) | days | {"given": given, "bands": bands}))


def _daily(weeks: list[list[int]]) -> list[list[int]]:
    """The days between whole weeks, on straight lines."""
    numbers = np.array(weeks, dtype=np.float64)
    at = np.arange((len(weeks) - 1) * WEEK + 1) / WEEK
    days = np.stack([np.interp(at, np.arange(len(weeks)), column) for column in numbers.T], axis=1)
    return [[int(value) for value in day] for day in np.rint(days)]
