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
from breadline.language import say, say_as, say_counted
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
    rows, made = version_rows(desk, name), batch_rows(desk, name)
    off = _taken_off(desk, name)
    return page(
        "versions.html", "/feed", desk.operation_name, name=name, path=path_of(name), rows=rows, made=made,
        sentence=f"{off} {_sentence(rows, made)}".strip(), off=off,
    )  # fmt: skip


@router.get("/feed/version/{number}/{name:path}")
def version(request: Request, number: int, name: str) -> HTMLResponse:
    """One version as it was, with what it is by the figures of today."""
    desk = desk_of(request)
    kept = _one(desk, name, number)
    return page(
        "version.html", "/feed", desk.operation_name, name=name, path=path_of(name), number=number,
        on=day_and_year(kept.on), off=_taken_off(desk, name), newest=_newest(desk, name) == number,
        **answer(desk, kept.file),
    )  # fmt: skip


@router.post("/feed/version/{number}/{name:path}")
def make_newest(request: Request, number: int, name: str) -> Response:
    """The same again as the newest version; nothing is taken out of the book, and its prices stay.

    Of a recipe that was taken off the list, it puts that back.
    """
    desk = desk_of(request)
    kept, off = _one(desk, name, number), _taken_off(desk, name)
    again = f"version {number} again, of {day_and_year(kept.on)}"
    desk.keep(kept.file, f"back on the list: {again}" if off else again, theirs=True)
    return RedirectResponse(
        f"/feed/recipe/{path_of(name)}?told={'back' if off else 'restored'}",
        303,
    )


def _taken_off(desk: FeedDesk, name: str) -> str:
    """Since when a recipe is off the list, in a sentence; empty where it is on it."""
    since = next((one.on for one in desk.off_the_list() if one.name == name), None)
    return "" if since is None else say("Taken off the list on {day}.", day=day_and_year(since))


def _newest(desk: FeedDesk, name: str) -> int:
    """The number of the version that holds now; none of a recipe that is off the list."""
    return len(desk.versions_or_errors(name)) if name in desk.names() else 0


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
        raise RecordError(
            f"version {number} of {name}",
            say("there is none"),
            say("1 to {there}", there=len(there)),
            say("Choose one"),
        )
    found = there[number - 1]
    if not isinstance(found, Version):
        raise found
    return found


def version_rows(desk: FeedDesk, name: str) -> list[VersionRow]:
    """Newest first, each against the one before it that can be read."""
    rows: list[VersionRow] = []
    before: Version | None = None
    there, newest = desk.versions_or_errors(name), _newest(desk, name)
    for number, kept in enumerate(there, 1):
        if not isinstance(kept, Version):
            rows.append(
                VersionRow(
                    number, "", "", (), trouble=say("It cannot be read any more: {what}", what=kept.what)
                )
            )
            continue
        changed = _changed(before, kept)
        holds = number == newest
        rows.append(
            VersionRow(
                number,
                day_and_year(kept.on),
                say(kept.because) if kept.because else "",
                changed,
                newest=holds,
            )
        )
        before = kept
    return rows[::-1]


def _changed(before: Version | None, kept: Version) -> tuple[str, ...]:
    if before is None:
        return (say("Begun with {many}.", many=counted(len(kept.file.amounts), "ingredient")),)
    told = changes(before.file, kept.file)
    over = len(told) - SHOWN
    return told if over <= 1 else (*told[:SHOWN], say("and {over} more", over=over))


def batch_rows(desk: FeedDesk, name: str) -> list[BatchRow]:
    """The batches of a recipe, newest first, in the unit that its newest version is mixed in."""
    there = [one.file for one in desk.versions_or_errors(name) if isinstance(one, Version)]
    names, mixing = dict(ingredient_choices(there)), there[-1].mixing if there else None
    unit: System = mixing.unit if mixing else desk.unit
    return [_batch_row(number, one, names, unit) for number, one in desk.batches_of(name)]


def _batch_row(version: int, one: BatchKept, names: dict[str, str], unit: System) -> BatchRow:
    load = sum(grams for _, grams in one.measured)
    made = weight_said(load * one.loads, unit)
    loads = say(", in {n} loads", n=one.loads) if one.loads > 1 else ""
    pieces = say_as("pieces", "none")
    if one.pieces:
        weight = weight_said(one.piece_g, unit)
        pieces = say_counted("{n} piece of {weight}", "{n} pieces of {weight}", one.pieces, weight=weight)
    went_in = "; ".join(f"{weight_said(g * one.loads, unit)} {names.get(k, k)}" for k, g in one.measured)
    return BatchRow(one.number, day_and_year(one.on), version, f"{made}{loads}", pieces, went_in)


def _sentence(rows: Sequence[VersionRow], made: Sequence[BatchRow]) -> str:
    batches = say("no batch yet") if not made else counted(len(made), "batch", "batches")
    if not rows[0].on:
        return say_counted(
            "One version; {batches} written down.",
            "{n} versions; {batches} written down.",
            len(rows),
            batches=batches,
        )
    return say_counted(
        "One version, the newest of {day}; {batches} written down.",
        "{n} versions, the newest of {day}; {batches} written down.",
        len(rows), batches=batches, day=rows[0].on,
    )  # fmt: skip
