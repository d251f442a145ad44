"""Entries that carry a digest of themselves, held against it: weather files, recipes, outlooks."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session, undefer

from breadline.need.yard import Given
from breadline.records.outlooks import Shown
from breadline.records.tables import OutlookRow, RecipeRow, Weather


def changed(session: Session) -> Iterator[tuple[str, str, str]]:
    """Where, what, and what to do: entries that are no longer what they were when they were kept."""
    for weather in session.scalars(select(Weather).options(undefer(Weather.content))):
        if hashlib.sha256(weather.content).hexdigest() != weather.sha256:
            yield "weather", f"the kept file {weather.name} is not the one that came", "Add the file again"
    for recipe in session.scalars(select(RecipeRow)):
        if hashlib.sha256(recipe.text.encode()).hexdigest() != recipe.sha256:
            yield (
                "recipe", f"a version of “{recipe.name}” is not what was written down",
                "Write it down again from its sheet; its batches name the version that was changed",
            )  # fmt: skip
    for row in session.scalars(select(OutlookRow).options(undefer(OutlookRow.bands))):
        if _shown(row) != row.sha256:
            yield (
                "outlook", f"the outlook shown on {row.shown_on} is not what was shown",
                "The record of foretelling must not count it; the yard's own entries are not touched by it",
            )  # fmt: skip


def _shown(row: OutlookRow) -> str:
    """The digest of an outlook as it stands there."""
    told = {name: getattr(row, name) for name in Shown.__dataclass_fields__}
    try:
        given = tuple(Given(date.fromisoformat(on), grams) for on, grams in row.given)
        return Shown(**(told | {"given": given})).sha256
    except (KeyError, TypeError, ValueError):
        return ""
