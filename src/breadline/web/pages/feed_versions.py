"""What a recipe was before, and the batches made by it; each version can be made the newest again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, RedirectResponse, Response

from breadline.errors import RecordError
from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.recipe_book import BatchKept, Version
from breadline.jobs.recipe_changes import changes
from breadline.need.words import counted, day_and_year
from breadline.ration.measures import System, weight_said
from breadline.web.feed_desks import desk_of, ingredient_choices, path_of
from breadline.web.pages.feed_recipe import answer
from breadline.web.views import page

router = APIRouter()
SHOWN = 8  # changes of one version in full; the rest is counted


@dataclass(frozen=True)
class VersionRow:
    """One version in words: when, what for, and what changed in it."""

    number: int
    on: str
    because: str
    changed: tuple[str, ...]
    trouble: str = ""
    newest: bool = False


@dataclass(frozen=True)
class BatchRow:
    """One batch in words."""

    number: str
    on: str
    version: int
    made: str
    pieces: str
    went_in: str


@router.get("/feed/versions/{name:path}")
def versions(request: Request, name: str) -> HTMLResponse:
    """Every version of a recipe, newest first, and its batches."""
    desk = desk_of(request)
    kept = desk.version(name)
    rows, made = version_rows(desk, name), batch_rows(desk, kept)
    return page(
        "versions.html", "/feed", desk.operation_name, name=name, path=path_of(name), rows=rows, made=made,
        sentence=_sentence(rows, made),
    )  # fmt: skip


@router.get("/feed/version/{number}/{name:path}")
def version(request: Request, number: int, name: str) -> HTMLResponse:
    """One version as it was, with what it is by the figures of today."""
    desk = desk_of(request)
    kept = _one(desk, name, number)
    return page(
        "version.html", "/feed", desk.operation_name, name=name, path=path_of(name), number=number,
        on=day_and_year(kept.on), newest=desk.version(name).number == number, **answer(desk, kept.file),
    )  # fmt: skip


@router.post("/feed/version/{number}/{name:path}")
def make_newest(request: Request, number: int, name: str) -> Response:
    """The same again as the newest version; nothing is taken out of the book, and its prices stay."""
    desk = desk_of(request)
    kept = _one(desk, name, number)
    desk.keep(kept.file, f"version {number} again, of {day_and_year(kept.on)}", theirs=True)
    return RedirectResponse(f"/feed/recipe/{path_of(name)}?told=restored", 303)


def _one(desk: FeedDesk, name: str, number: int) -> Version:
    """One version.

    Errors
    ------
    RecordError
        If there is none of that number.
    RecipeError
        If a check of today no longer lets it through.
    """
    there = desk.versions_or_errors(name)
    if not 1 <= number <= len(there):
        raise RecordError(f"version {number} of {name}", "there is none", f"1 to {len(there)}", "Choose one")
    found = there[number - 1]
    if not isinstance(found, Version):
        raise found
    return found


def version_rows(desk: FeedDesk, name: str) -> list[VersionRow]:
    """Newest first, each against the one before it that can be read."""
    rows: list[VersionRow] = []
    before: Version | None = None
    there = desk.versions_or_errors(name)
    for number, kept in enumerate(there, 1):
        if not isinstance(kept, Version):
            rows.append(VersionRow(number, "", "", (), trouble=f"It cannot be read any more: {kept.what}"))
            continue
        changed = _changed(before, kept)
        last = number == len(there)
        rows.append(VersionRow(number, day_and_year(kept.on), kept.because, changed, newest=last))
        before = kept
    return rows[::-1]


def _changed(before: Version | None, kept: Version) -> tuple[str, ...]:
    if before is None:
        return (f"Begun with {counted(len(kept.file.amounts), 'ingredient')}.",)
    told = changes(before.file, kept.file)
    over = len(told) - SHOWN
    return told if over <= 1 else (*told[:SHOWN], f"and {over} more")


def batch_rows(desk: FeedDesk, kept: Version) -> list[BatchRow]:
    """The batches of a recipe, newest first, in the unit that it is mixed in now."""
    names = dict(ingredient_choices([one.file for one in desk.versions_or_errors(kept.file.name)
                                     if isinstance(one, Version)]))  # fmt: skip
    unit: System = kept.file.mixing.unit if kept.file.mixing else desk.unit
    return [_batch_row(number, one, names, unit) for number, one in desk.batches_of(kept.file.name)]


def _batch_row(version: int, one: BatchKept, names: dict[str, str], unit: System) -> BatchRow:
    load = sum(grams for _, grams in one.measured)
    made = weight_said(load * one.loads, unit)
    loads = f", in {one.loads} loads" if one.loads > 1 else ""
    pieces = f"{counted(one.pieces, 'piece')} of {weight_said(one.piece_g, unit)}" if one.pieces else "none"
    went_in = "; ".join(f"{weight_said(g * one.loads, unit)} {names.get(k, k)}" for k, g in one.measured)
    return BatchRow(one.number, day_and_year(one.on), version, f"{made}{loads}", pieces, went_in)


def _sentence(rows: Sequence[VersionRow], made: Sequence[BatchRow]) -> str:
    first = "One version" if len(rows) == 1 else f"{len(rows)} versions"
    batches = "no batch yet" if not made else f"{counted(len(made), 'batch', 'batches')}"
    newest = f", the newest of {rows[0].on}" if rows[0].on else ""
    return f"{first}{newest}; {batches} written down."
